#include "named_nodes.hpp"

#include <fmt/format.h>

#include <cmath>
#include <map>

#include "solotaxi/geo/geodesic.hpp"

namespace solotaxi::io {
namespace {

using airfield::RawFeature;
using airfield::RawVertex;

/// Ends of one name this far apart are drawn apart [m]: the resolution of aerodrome mapping data is finer.
constexpr double kDrawnApart_m = 0.1;
/// This far apart the name is wrong [m]; assumed.
constexpr double kWrongName_m = 5.0;

double apart_m(const RawVertex& a, const RawVertex& b) {
  for (const RawVertex* v : {&a, &b})
    if (!(std::abs(v->lat_deg) <= 90.0 && std::abs(v->lon_deg) <= 180.0)) return NAN;  // refused later, with its id
  return geodesic_length(LatLon::degrees(a.lat_deg, a.lon_deg), LatLon::degrees(b.lat_deg, b.lon_deg)).value();
}

}  // namespace

void tie_named_nodes(airfield::RawMap& map) {
  struct Node {
    RawVertex vertex;
    std::string from;
  };
  std::map<std::string, Node> nodes;
  std::int64_t count = 0;
  const auto name_of = [](RawFeature& feature, const char* tag) {
    const auto found = feature.tags.find(tag);
    if (found == feature.tags.end()) return std::string();
    std::string name = found->second;
    feature.tags.erase(found);
    return name;
  };
  // Points name themselves with from_node.
  for (RawFeature& f : map.features) {
    if (f.shape != RawFeature::Shape::point || f.vertices.size() != 1) continue;
    const std::string name = name_of(f, "from_node");
    if (name.empty()) continue;
    const auto [it, fresh] = nodes.try_emplace(name, Node{f.vertices.front(), f.id});
    if (fresh) it->second.vertex.ref = ++count;
    f.vertices.front().ref = it->second.vertex.ref;
  }
  for (RawFeature& f : map.features) {
    if (f.shape != RawFeature::Shape::line || f.vertices.size() < 2) continue;
    for (const auto& [tag, vertex] : {std::pair{"from_node", &f.vertices.front()}, {"to_node", &f.vertices.back()}}) {
      const std::string name = name_of(f, tag);
      if (name.empty()) continue;
      const auto [it, fresh] = nodes.try_emplace(name, Node{*vertex, f.id});
      if (fresh) it->second.vertex.ref = ++count;
      const double apart = apart_m(it->second.vertex, *vertex);
      if (apart > kDrawnApart_m) {
        Finding finding;
        finding.code = "node-reference-disagrees";
        finding.severity = apart > kWrongName_m ? Severity::serious : Severity::caution;
        finding.where = {f.id, vertex->lat_deg, vertex->lon_deg, true};
        finding.text = fmt::format("its end lies {:.2f} m from node {}, which it names and {} places; {}", apart, name,
                                   it->second.from, apart > kWrongName_m ? "not joined" : "joined as named");
        map.findings.push_back(std::move(finding));
      }
      if (!(apart <= kWrongName_m)) continue;
      const auto height = vertex->height_m ? vertex->height_m : it->second.vertex.height_m;
      *vertex = it->second.vertex;
      vertex->height_m = height;
    }
  }
}

}  // namespace solotaxi::io
