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
    if (name != "rename" && name != "values" && name != "layers" && name != "rename_in" && name != "units" &&
        name != "source" && name != "kinds_in")
      refuse(file, section, name, "unknown section",
             "sections are source, rename, rename_in, values, kinds_in, units, layers");
    for (const auto& [entry_key, entry] : table_of(file, section, name)) {
      const std::string key(entry_key.str()), path = name + "." + key;
      if (name == "source") {
        if (key != "layer_attribute" && key != "layer_prefix")
          refuse(file, entry, path, "unknown key", "keys are layer_attribute, layer_prefix");
        (key == "layer_attribute" ? layer_attribute_ : layer_prefix_) = text_of(file, entry, path);
        continue;
      }
      if (name == "units") {
        check_tag(file, entry, path, key);
        units_[key] = text_of(file, entry, path);
        continue;
      }
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
        const std::string text = text_of(file, inner, inner_path);
        if (name == "layers") check_tag(file, inner, inner_path, inner_name);
        if (name == "rename_in") check_tag(file, inner, inner_path, text);
        (name == "values"     ? values_
         : name == "layers"   ? layers_
         : name == "kinds_in" ? kinds_in_
                              : rename_in_)[key][inner_name] = text;
      }
    }
  }
  // The prefix may stand behind the layers in the file.
  for (auto* tables : {&layers_, &rename_in_, &kinds_in_}) {
    std::map<std::string, Tags> keyed;
    for (auto& [layer, table] : *tables) keyed[layer_key(layer)] = std::move(table);
    *tables = std::move(keyed);
  }
}

std::string Mapping::layer_key(std::string layer) const {
  const auto lower = [](std::string text) {
    for (char& c : text)
      if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return text;
  };
  layer = lower(std::move(layer));
  const std::string prefix = lower(layer_prefix_);
  if (!prefix.empty() && layer.starts_with(prefix)) layer.erase(0, prefix.size());
  return layer;
}

std::string Mapping::layer_of(const Tags& attributes, const std::string& layer) const {
  const auto found = layer_attribute_.empty() ? attributes.end() : attributes.find(layer_attribute_);
  return found == attributes.end() ? layer : found->second;
}

Tags Mapping::apply(Tags attributes, const std::string& layer_name) const {
  const std::string layer = layer_key(layer_of(attributes, layer_name));
  if (!layer_attribute_.empty()) attributes.erase(layer_attribute_);
  const auto rename = [&](const std::string& attribute, const std::string& tag) {
    const auto found = attributes.find(attribute);
    if (found == attributes.end()) return false;
    auto node = attributes.extract(found);
    node.key() = tag;
    attributes.erase(tag);  // the mapping's own word counts
    attributes.insert(std::move(node));
    return true;
  };
  if (const auto in_layer = rename_in_.find(layer); in_layer != rename_in_.end())
    for (const auto& [attribute, tag] : in_layer->second) rename(attribute, tag);
  for (const auto& [attribute, tag] : rename_)
    if (rename(attribute, tag)) used_.insert("rename." + attribute);
  const auto kinds = kinds_in_.find(layer);
  for (const auto& [tag, of_all] : values_) {
    const auto found = attributes.find(tag);
    if (found == attributes.end()) continue;
    const Tags& table = tag == "aeroway" && kinds != kinds_in_.end() ? kinds->second : of_all;
    if (const auto value = table.find(found->second); value != table.end())
      found->second = value->second;
    else
      untranslated_.insert({tag, found->second});
  }
  for (const auto& [tag, unit] : units_)
    if (const auto found = attributes.find(tag); found != attributes.end() && airfield::parse_number(found->second))
      found->second += " " + unit;
  if (const auto fixed = layers_.find(layer); fixed != layers_.end()) {
    used_.insert("layers." + layer);
    for (const auto& [tag, value] : fixed->second) attributes.emplace(tag, value);
  }
  return attributes;
}

bool Mapping::names_kind(std::string_view attribute) const {
  const auto found = rename_.find(std::string(attribute));
  return (found != rename_.end() && found->second == "aeroway") ||
         (!layer_attribute_.empty() && attribute == layer_attribute_);
}

bool Mapping::layer_has_kind(const std::string& layer) const {
  const auto found = layers_.find(layer_key(layer));
  if (found != layers_.end() && found->second.count("aeroway") > 0) return true;
  const auto renamed = rename_in_.find(layer_key(layer));
  return renamed != rename_in_.end() && std::any_of(renamed->second.begin(), renamed->second.end(),
                                                    [](const auto& rename) { return rename.second == "aeroway"; });
}

Findings Mapping::findings() const {
  Findings findings;
  const auto add = [&](const char* code, const std::string& id, const std::string& text) {
    findings.push_back(finding_about(code, Severity::caution, id, text));
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
