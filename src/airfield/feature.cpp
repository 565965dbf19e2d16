#include "feature.hpp"

#include <fmt/format.h>

#include <cmath>

#include "solotaxi/base/error.hpp"

namespace solotaxi::airfield {

bool Feature::is_ring() const {
  return is(RawFeature::Shape::line) && line.size() > 3 && same_vertex(line.front(), line.back());
}

bool same_vertex(const Vertex& a, const Vertex& b) { return (a.ref != 0 && a.ref == b.ref) || a.at == b.at; }

std::vector<Feature> check_features(const RawMap& map, Findings& findings) {
  std::vector<Feature> features;
  features.reserve(map.features.size());
  std::vector<const Feature*> repeated;
  for (const RawFeature& raw : map.features) {
    Feature feature{&raw, {}};
    feature.line.reserve(raw.vertices.size());
    bool merged = false;
    for (const RawVertex& vertex : raw.vertices) {
      if (!std::isfinite(vertex.lat_deg) || !std::isfinite(vertex.lon_deg))
        throw data_error("a coordinate is not a number", Where{"", std::nullopt, raw.id},
                         "mend or remove this feature in the map");
      if (std::abs(vertex.lat_deg) > 90 || std::abs(vertex.lon_deg) > 180)
        throw data_error(
            fmt::format("a coordinate is out of range: latitude {}, longitude {}", vertex.lat_deg, vertex.lon_deg),
            Where{"", std::nullopt, raw.id}, "check the map's coordinate reference system");
      std::optional<Metres> height;
      if (vertex.height_m && std::isfinite(*vertex.height_m)) height = Metres{*vertex.height_m};
      const Vertex checked{LatLon::degrees(vertex.lat_deg, vertex.lon_deg), height, vertex.ref,
                           vertex.height_is_tag};
      if (!feature.line.empty() && same_vertex(feature.line.back(), checked))
        merged = true;
      else
        feature.line.push_back(checked);
    }
    if (feature.line.empty()) {
      findings.push_back(
          finding_about("empty-geometry", Severity::caution, raw.id, "a feature without any position is left out"));
      continue;
    }
    if (merged)
      findings.push_back(
          finding_at("repeated-vertex", Severity::note, feature, "a vertex drawn twice in a row is taken once"));
    features.push_back(std::move(feature));
  }
  return features;
}

Finding finding_at(std::string code, Severity severity, const Feature& feature, std::string text) {
  Finding finding = finding_about(std::move(code), severity, feature.id(), std::move(text));
  if (!feature.line.empty()) {
    finding.where.lat_deg = feature.line.front().at.lat_deg();
    finding.where.lon_deg = feature.line.front().at.lon_deg();
    finding.where.has_position = true;
  }
  return finding;
}

void add_counted(Findings& findings, std::string code, Severity severity, const std::vector<const Feature*>& features,
                 const std::string& text) {
  if (features.empty()) return;
  constexpr std::size_t kNamed = 40;
  std::string ids;
  for (std::size_t i = 0; i < features.size() && i < kNamed; ++i) ids += (i ? ", " : "") + features[i]->id();
  if (features.size() > kNamed) ids += ", …";
  findings.push_back(
      finding_at(std::move(code), severity, *features[0], fmt::format("{}: {} ({})", text, features.size(), ids)));
}

}  // namespace solotaxi::airfield
