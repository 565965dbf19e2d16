#include "solotaxi/io/map_writer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <set>

#include "solotaxi/airfield/tag_value.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

using airfield::RawFeature;

/// "k"=>"v","k2"=>"v2", as parse_packed_tags takes apart.
std::string packed(const std::map<std::string, std::string>& tags) {
  const auto quoted = [](const std::string& text) {
    std::string out = "\"";
    for (const char c : text) {
      if (c == '"' || c == '\\') out += '\\';
      out += c;
    }
    return out + '"';
  };
  std::string out;
  for (const auto& [key, value] : tags) out += (out.empty() ? "" : ",") + quoted(key) + "=>" + quoted(value);
  return out;
}

Finding counted(const char* code, Severity severity, const std::set<std::string>& ids, const std::string& text) {
  return finding_about(code, severity, *ids.begin(), fmt::format("{}: {}", text, ids.size()));
}

}  // namespace

FeatureLayer map_layer(const airfield::RawMap& map, Findings& findings) {
  FeatureLayer layer;
  layer.name = "map";
  const auto known = airfield::tags_read();
  const auto is_known = [&](const std::string& tag) { return std::find(known.begin(), known.end(), tag) != known.end(); };
  std::set<std::string> used;
  for (const RawFeature& feature : map.features)
    for (const auto& [tag, value] : feature.tags)
      if (is_known(tag)) used.insert(tag);
  layer.columns = {"feature_id"};
  layer.columns.insert(layer.columns.end(), used.begin(), used.end());
  layer.columns.emplace_back("other_tags");
  std::set<std::string> in_part, from_tags, nowhere;
  for (const RawFeature& feature : map.features) {
    if (feature.vertices.empty()) {
      nowhere.insert(feature.id);
      continue;
    }
    Feature& out = layer.features.emplace_back();
    std::map<std::string, std::string> tags = feature.tags;
    std::size_t heights = 0;
    for (const auto& v : feature.vertices) {
      try {
        out.line.push_back(LatLon::degrees(v.lat_deg, v.lon_deg));
      } catch (const Error& error) {
        throw data_error(error.message(), Where{map.file, std::nullopt, feature.id}, error.hint());
      }
      out.height_m.push_back(v.height_m.value_or(std::numeric_limits<double>::quiet_NaN()));
      heights += v.height_m ? 1U : 0U;
    }
    out.area = feature.shape == RawFeature::Shape::area;
    const bool tagged = std::any_of(feature.vertices.begin(), feature.vertices.end(),
                                    [](const auto& v) { return v.height_m && v.height_is_tag; });
    if (heights > 0 && heights < feature.vertices.size())
      in_part.insert(feature.id);
    else if (heights > 0 && tagged)
      from_tags.insert(feature.id);
    out.values.assign(layer.columns.size(), {});
    out.values.front() = feature.id;
    for (std::size_t c = 1; c + 1 < layer.columns.size(); ++c)
      if (const auto tag = tags.find(layer.columns[c]); tag != tags.end()) {
        out.values[c] = tag->second;
        tags.erase(tag);
      }
    if (!tags.empty()) out.values.back() = packed(tags);
  }
  if (!in_part.empty())
    findings.push_back(counted("conversion-heights", Severity::caution, in_part,
                               "lines with heights on some vertices only; they are written without heights"));
  if (!from_tags.empty())
    findings.push_back(counted("conversion-height-tags", Severity::caution, from_tags,
                               "features whose heights are `ele` tags; they will count as third coordinates"));
  if (!nowhere.empty())
    findings.push_back(
        counted("conversion-left-out", Severity::caution, nowhere, "features without any position, left out"));
  return layer;
}

}  // namespace solotaxi::io
