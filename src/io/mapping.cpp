#include "mapping.hpp"

#include <toml++/toml.h>

#include <algorithm>

#include "solotaxi/airfield/tag_value.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

[[noreturn]] void refuse(const std::filesystem::path& file, const toml::node& node, const std::string& key,
                         const std::string& message, const std::string& hint = {}) {
  throw data_error(message, Where{file.string(), static_cast<long>(node.source().begin.line), key}, hint);
}

std::string text_of(const std::filesystem::path& file, const toml::node& node, const std::string& key) {
  const auto text = node.value_exact<std::string>();
  if (!text) refuse(file, node, key, "a text in quotes is expected");
  return *text;
}

const toml::table& table_of(const std::filesystem::path& file, const toml::node& node, const std::string& key) {
  if (!node.is_table()) refuse(file, node, key, "a table is expected");
  return *node.as_table();
}

void check_tag(const std::filesystem::path& file, const toml::node& node, const std::string& key, const std::string& tag) {
  const auto known = airfield::tags_read();
  if (std::find(known.begin(), known.end(), tag) == known.end())
    refuse(file, node, key, "\"" + tag + "\" is no tag that is read", "aeroway, ref, name, ele, width and so on");
}

}  // namespace

Mapping::Mapping(const std::filesystem::path& file) {
  if (!std::filesystem::exists(file))
    throw data_error("there is no such mapping file", Where{file.string(), std::nullopt, ""});
  toml::table root;
  try {
    root = toml::parse_file(file.string());
  } catch (const toml::parse_error& error) {
    throw data_error(std::string(error.description()),
                     Where{file.string(), static_cast<long>(error.source().begin.line), ""}, "mapping files are TOML");
  }
  std::map<std::string, std::string> renamed_to;
  for (const auto& [section_key, section] : root) {
    const std::string name(section_key.str());
    if (name != "rename" && name != "values" && name != "layers")
      refuse(file, section, name, "unknown section", "sections are rename, values, layers");
    for (const auto& [entry_key, entry] : table_of(file, section, name)) {
      const std::string key(entry_key.str()), path = name + "." + key;
      if (name == "rename") {
        const std::string tag = text_of(file, entry, path);
        check_tag(file, entry, path, tag);
        if (const auto [other, fresh] = renamed_to.emplace(tag, key); !fresh)
          refuse(file, entry, path, "both " + other->second + " and " + key + " are renamed to " + tag);
        rename_[key] = tag;
        continue;
      }
      if (name == "values") check_tag(file, entry, path, key);
      for (const auto& [inner_key, inner] : table_of(file, entry, path)) {
        const std::string inner_name(inner_key.str()), inner_path = path + "." + inner_name;
        if (name == "layers") check_tag(file, inner, inner_path, inner_name);
        (name == "values" ? values_ : layers_)[key][inner_name] = text_of(file, inner, inner_path);
      }
    }
  }
}

Tags Mapping::apply(Tags attributes, const std::string& layer) const {
  for (const auto& [attribute, tag] : rename_) {
    const auto found = attributes.find(attribute);
    if (found == attributes.end()) continue;
    used_.insert("rename." + attribute);
    auto node = attributes.extract(found);
    node.key() = tag;
    attributes.erase(tag);  // the mapping's own word counts
    attributes.insert(std::move(node));
  }
  for (const auto& [tag, table] : values_) {
    const auto found = attributes.find(tag);
    if (found == attributes.end()) continue;
    if (const auto value = table.find(found->second); value != table.end())
      found->second = value->second;
    else
      untranslated_.insert({tag, found->second});
  }
  if (const auto fixed = layers_.find(layer); fixed != layers_.end()) {
    used_.insert("layers." + layer);
    for (const auto& [tag, value] : fixed->second) attributes.emplace(tag, value);
  }
  return attributes;
}

bool Mapping::names_kind(std::string_view attribute) const {
  const auto found = rename_.find(std::string(attribute));
  return found != rename_.end() && found->second == "aeroway";
}

bool Mapping::layer_has_kind(const std::string& layer) const {
  const auto found = layers_.find(layer);
  return found != layers_.end() && found->second.count("aeroway") > 0;
}

Findings Mapping::findings() const {
  Findings findings;
  const auto add = [&](const char* code, const std::string& id, const std::string& text) {
    Finding finding;
    finding.code = code;
    finding.severity = Severity::caution;
    finding.where.id = id;
    finding.text = text;
    findings.push_back(std::move(finding));
  };
  for (const auto& [attribute, tag] : rename_)
    if (!used_.count("rename." + attribute))
      add("mapping-unused", attribute, "the map has no attribute \"" + attribute + "\" the mapping renames");
  for (const auto& [layer, tags] : layers_)
    if (!used_.count("layers." + layer))
      add("mapping-unused", layer, "the map has no layer \"" + layer + "\" the mapping names");
  for (const auto& [tag, value] : untranslated_)
    add("mapping-value-unknown", tag,
        "the mapping has no word for " + tag + "=\"" + value + "\"; it is taken as it stands");
  return findings;
}

}  // namespace solotaxi::io
