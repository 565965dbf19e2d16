#include "vector_attributes.hpp"

#include <algorithm>
#include <charconv>
#include <nlohmann/json.hpp>

#include "solotaxi/airfield/tag_value.hpp"

namespace solotaxi::io {
namespace {

/// Takes a quoted text off the front.
std::optional<std::string> take_quoted(std::string_view& text) {
  if (text.empty() || text.front() != '"') return std::nullopt;
  std::string out;
  for (std::size_t i = 1; i < text.size(); ++i) {
    if (text[i] == '"') {
      text.remove_prefix(i + 1);
      return out;
    }
    if (text[i] == '\\' && ++i == text.size()) break;
    out += text[i];
  }
  return std::nullopt;
}

void skip_blanks(std::string_view& text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\n' || text.front() == '\t')) text.remove_prefix(1);
}

std::optional<Tags> parse_json_tags(std::string_view text) {
  const auto json = nlohmann::json::parse(text, nullptr, false);
  if (!json.is_object()) return std::nullopt;
  Tags tags;
  for (const auto& [key, value] : json.items())
    if (!value.is_null()) tags.emplace(key, value.is_string() ? value.get<std::string>() : value.dump());
  return tags;
}

std::optional<long long> whole_number(std::string_view text) {
  long long value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (text.empty() || error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return value;
}

/// "way/123", "w123" or, for areas of OpenStreetMap tools, "a246" (twice the way's id) and "a247" (relation 123).
std::string typed_id(std::string_view text) {
  for (const std::string_view kind : {"node", "way", "relation"})
    if (text.starts_with(kind) && text.size() > kind.size() && text[kind.size()] == '/' &&
        whole_number(text.substr(kind.size() + 1)))
      return std::string(text);
  if (text.size() < 2) return {};
  const auto number = whole_number(text.substr(1));
  if (!number) return {};
  switch (text[0]) {
    case 'n':
      return "node/" + std::to_string(*number);
    case 'w':
      return "way/" + std::to_string(*number);
    case 'r':
      return "relation/" + std::to_string(*number);
    case 'a':
      return (*number % 2 == 0 ? "way/" : "relation/") + std::to_string(*number / 2);
    default:
      return {};
  }
}

}  // namespace

std::optional<Tags> parse_packed_tags(std::string_view text) {
  skip_blanks(text);
  if (!text.empty() && text.front() == '{') return parse_json_tags(text);
  Tags tags;
  while (!text.empty()) {
    const auto key = take_quoted(text);
    skip_blanks(text);
    if (!key || !text.starts_with("=>")) return std::nullopt;
    text.remove_prefix(2);
    skip_blanks(text);
    if (text.starts_with("NULL")) {
      text.remove_prefix(4);
    } else {
      const auto value = take_quoted(text);
      if (!value) return std::nullopt;
      tags.emplace(*key, *value);
    }
    skip_blanks(text);
    if (text.empty()) break;
    if (text.front() != ',') return std::nullopt;
    text.remove_prefix(1);
    skip_blanks(text);
  }
  return tags;
}

bool is_packed_column(std::string_view name) { return name == "other_tags" || name == "all_tags" || name == "tags"; }

std::string full_name(const std::string& attribute) {
  constexpr std::size_t kLongest = 10;
  const auto shortened = [](std::string_view tag) {
    std::string out(tag.substr(0, kLongest));
    std::replace(out.begin(), out.end(), ':', '_');
    return out;
  };
  const auto known = airfield::tags_read();
  if (std::find(known.begin(), known.end(), attribute) != known.end()) return attribute;
  for (const std::string_view tag : known)
    if (shortened(tag) == attribute) return std::string(tag);
  return attribute;
}

std::string osm_id(const Tags& attributes, std::string_view kind) {
  const auto value = [&](const char* key) {
    const auto found = attributes.find(key);
    return found == attributes.end() ? std::string() : found->second;
  };
  for (const char* key : {"@id", "osm_id", "id"})
    if (const std::string id = typed_id(value(key)); !id.empty()) return id;
  if (const auto type = value("@type");
      (type == "node" || type == "way" || type == "relation") && whole_number(value("@id")))
    return type + "/" + value("@id");
  if (whole_number(value("osm_way_id"))) return "way/" + value("osm_way_id");
  if (const auto id = whole_number(value("osm_id")))
    return *id < 0 ? "relation/" + std::to_string(-*id) : std::string(kind) + "/" + std::to_string(*id);
  return {};
}

}  // namespace solotaxi::io
