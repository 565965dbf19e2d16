// The network as feature layers: segments, nodes, stands, holding positions, runway entries, findings.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "common.hpp"
#include "solotaxi/report/check_report.hpp"

namespace solotaxi::report {
namespace {

io::Feature point_at(LatLon at, double height_m = std::numeric_limits<double>::quiet_NaN()) {
  io::Feature feature;
  feature.line.push_back(at);
  feature.height_m.push_back(height_m);
  return feature;
}

/// Height of a segment's profile at a way from its start.
double height_at(const network::Segment& segment, double at_m) {
  for (std::size_t k = 0; k + 1 < segment.profile.size(); ++k) {
    const network::Knot &a = segment.profile[k], &b = segment.profile[k + 1];
    if (at_m > b.at_m && k + 2 < segment.profile.size()) continue;
    const double way = b.at_m - a.at_m;
    return way > 0.0 ? a.height_m + (b.height_m - a.height_m) * std::clamp((at_m - a.at_m) / way, 0.0, 1.0) : a.height_m;
  }
  return std::numeric_limits<double>::quiet_NaN();
}

io::Value exact_value(double value) { return std::isfinite(value) ? io::Value(value) : io::Value{}; }

io::Value runway_value(int runway) { return runway < 0 ? io::Value{} : io::Value(static_cast<std::int64_t>(runway)); }

/// What a network read back must hold to the last digit is not rounded.
io::FeatureLayer segments_layer(const network::Network& network) {
  io::FeatureLayer layer{"segments",
                         "",
                         {"segment",        "from_node",     "to_node",          "kind",    "name",
                          "source_id",      "length_m",      "grade_mean_pct",   "one_way", "bridge",
                          "tunnel",         "closed",        "assumed",          "width_m", "wingspan_limit_m",
                          "speed_limit_kt", "mass_limit_kg", "stated_grade_pct", "surface", "drawing_layer",
                          "runway"},
                         {}};
  type_columns(
      layer, {"grade_mean_pct", "width_m", "wingspan_limit_m", "speed_limit_kt", "mass_limit_kg", "stated_grade_pct"}, {});
  const auto exact = [](const auto& value) { return value ? io::Value(value->value()) : io::Value{}; };
  for (std::size_t s = 0; s < network.segments.size(); ++s) {
    const network::Segment& segment = network.segments[s];
    io::Feature& f = layer.features.emplace_back();
    f.line = segment.geodetic;
    for (const double at_m : segment.chainage_m) f.height_m.push_back(height_at(segment, at_m));
    const double rise = segment.profile.empty() ? std::numeric_limits<double>::quiet_NaN()
                                                : segment.profile.back().height_m - segment.profile.front().height_m;
    f.values.push_back(whole_value(s));
    f.values.push_back(whole_value(index(segment.from)));
    f.values.push_back(whole_value(index(segment.to)));
    f.values.push_back(text_value(airfield::to_string(segment.kind)));
    f.values.push_back(text_value(segment.name));
    f.values.push_back(text_value(segment.source_id));
    f.values.push_back(rounded_value(segment.length_m, 2));
    f.values.push_back(rounded_value(rise / segment.length_m * 100.0, 2));
    f.values.push_back(text_value(segment.one_way == network::OneWay::no        ? "no"
                                  : segment.one_way == network::OneWay::forward ? "forward"
                                                                                : "backward"));
    f.values.push_back(flag_value(segment.bridge));
    f.values.push_back(flag_value(segment.tunnel));
    f.values.push_back(flag_value(segment.closed));
    f.values.push_back(flag_value(segment.assumed));
    f.values.push_back(exact(segment.width));
    f.values.push_back(exact(segment.wingspan_limit));
    f.values.push_back(segment.speed_limit ? io::Value(in_knots(*segment.speed_limit)) : io::Value{});
    f.values.push_back(exact(segment.mass_limit));
    f.values.push_back(segment.stated_grade ? io::Value(*segment.stated_grade * 100.0) : io::Value{});
    f.values.push_back(text_value(segment.surface));
    f.values.push_back(io::Value(static_cast<std::int64_t>(segment.layer)));
    f.values.push_back(runway_value(segment.runway));
  }
  return layer;
}

io::FeatureLayer nodes_layer(const network::Network& network) {
  io::FeatureLayer layer{"nodes", "", {"node", "source_id", "height_m", "component"}, {}};
  type_columns(layer, {"height_m"}, {});
  for (std::size_t n = 0; n < network.nodes.size(); ++n) {
    const network::Node& node = network.nodes[n];
    io::Feature& f = layer.features.emplace_back(point_at(node.at, node.height_m));
    f.values.push_back(whole_value(n));
    f.values.push_back(text_value(node.source_id));
    f.values.push_back(exact_value(node.height_m));
    f.values.push_back(n < network.component.size() ? whole_value(network.component[n]) : io::Value{});
  }
  return layer;
}

io::FeatureLayer places_layer(const network::Network& network) {
  io::FeatureLayer layer{"places", "", {"kind", "name", "source_id", "node", "assumed", "closed", "runway", "apron"}, {}};
  layer.typical = {std::string(), std::string(), std::string(),  std::int64_t{},
                   false,         false,         std::int64_t{}, std::string()};
  const auto add = [&](const char* kind, const std::string& name, const std::string& id, network::NodeId node, bool assumed,
                       bool closed, int runway, const std::string& apron = {}) {
    io::Feature& f = layer.features.emplace_back(point_at(network.node(node).at, network.node(node).height_m));
    f.values.push_back(text_value(kind));
    f.values.push_back(text_value(name));
    f.values.push_back(text_value(id));
    f.values.push_back(whole_value(index(node)));
    f.values.push_back(flag_value(assumed));
    f.values.push_back(flag_value(closed));
    f.values.push_back(runway_value(runway));
    f.values.push_back(text_value(apron));
  };
  for (const network::Stand& stand : network.stands)
    add("stand", stand.ref, stand.id, stand.node, stand.approximate, stand.closed, -1, stand.apron);
  for (const network::HoldingPoint& hold : network.holding_points)
    add("holding_position", hold.ref, hold.id, hold.node, hold.assumed, false, hold.runway);
  for (std::size_t r = 0; r < network.runways.size(); ++r) {
    const network::Runway& runway = network.runways[r];
    const int number = static_cast<int>(r);
    add("runway_end", runway.designators[0], runway.id, runway.front, false, runway.closed, number);
    add("runway_end", runway.designators[1], runway.id, runway.back, false, runway.closed, number);
    for (const network::RunwayEntry& entry : runway.entries)
      add("runway_entry", fmt::format("{} @ {}", runway.name, fmt::join(entry.names, ", ")), runway.id, entry.node, false,
          runway.closed, number);
  }
  return layer;
}

io::FeatureLayer runways_layer(const network::Network& network) {
  io::FeatureLayer layer{"runways",
                         "",
                         {"runway", "name", "source_id", "front_designator", "back_designator", "front_node", "back_node",
                          "length_m", "front_displaced_m", "back_displaced_m", "closed", "front_no_take_off",
                          "back_no_take_off", "front_no_landing", "back_no_landing"},
                         {}};
  for (std::size_t r = 0; r < network.runways.size(); ++r) {
    const network::Runway& runway = network.runways[r];
    io::Feature& f = layer.features.emplace_back();
    f.line = {network.node(runway.front).at, network.node(runway.back).at};
    f.values = {whole_value(r),
                text_value(runway.name),
                text_value(runway.id),
                text_value(runway.designators[0]),
                text_value(runway.designators[1]),
                whole_value(index(runway.front)),
                whole_value(index(runway.back)),
                rounded_value(runway.length_m, 2),
                exact_value(runway.displaced_m[0]),
                exact_value(runway.displaced_m[1]),
                flag_value(runway.closed),
                flag_value(runway.no_take_off[0]),
                flag_value(runway.no_take_off[1]),
                flag_value(runway.no_landing[0]),
                flag_value(runway.no_landing[1])};
  }
  return layer;
}

/// A point a knot; the grade and its standard deviation (rise over run) are those up to the next knot.
io::FeatureLayer profile_layer(const network::Network& network) {
  io::FeatureLayer layer{"profile", "", {"segment", "at_m", "height_m", "grade_pct", "grade_sd"}, {}};
  type_columns(layer, {"at_m", "height_m", "grade_pct", "grade_sd"}, {});
  for (std::size_t s = 0; s < network.segments.size(); ++s) {
    const network::Segment& segment = network.segments[s];
    for (std::size_t k = 0; k < segment.profile.size(); ++k) {
      const network::Knot& knot = segment.profile[k];
      io::Feature& f =
          layer.features.emplace_back(point_at(network::position_at(network, segment, knot.at_m), knot.height_m));
      const bool last = k + 1 == segment.profile.size();
      const double grade =
          last ? std::numeric_limits<double>::quiet_NaN()
               : (segment.profile[k + 1].height_m - knot.height_m) / (segment.profile[k + 1].at_m - knot.at_m);
      f.values = {whole_value(s), exact_value(knot.at_m), exact_value(knot.height_m), rounded_value(grade * 100.0, 2),
                  last ? io::Value{} : exact_value(segment.grade_sd[k])};
    }
  }
  return layer;
}

/// The field as a whole, at the origin of its plane.
io::FeatureLayer field_layer(const network::Network& network) {
  io::FeatureLayer layer{"field", "", {"name", "ident", "elevation_m", "centrelines", "gradient_wander_per_m"}, {}};
  type_columns(layer, {"elevation_m", "gradient_wander_per_m"}, {});
  io::Feature& f = layer.features.emplace_back(point_at(network.frame.origin()));
  f.values = {text_value(network.name), text_value(network.ident),
              network.elevation ? io::Value(network.elevation->value()) : io::Value{}, whole_value(network.centrelines),
              exact_value(network.gradient_wander_per_m)};
  return layer;
}

}  // namespace

io::FeatureLayer findings_layer(const Findings& findings) {
  io::FeatureLayer layer{"findings", "", {"code", "severity", "source_id", "text"}, {}};
  for (const Finding& finding : findings) {
    io::Feature& f = layer.features.emplace_back();  // a finding on the whole field has no geometry
    if (finding.where.has_position) f.line.push_back(LatLon::degrees(finding.where.lat_deg, finding.where.lon_deg));
    f.values.push_back(text_value(finding.code));
    f.values.push_back(text_value(to_string(finding.severity)));
    f.values.push_back(text_value(finding.where.id));
    f.values.push_back(text_value(finding.text));
  }
  return layer;
}

std::vector<io::FeatureLayer> network_layers(const network::Network& network) {
  std::vector<io::FeatureLayer> layers{segments_layer(network),
                                       nodes_layer(network),
                                       places_layer(network),
                                       runways_layer(network),
                                       profile_layer(network),
                                       field_layer(network),
                                       findings_layer(in_order(network.findings))};
  const std::string thanks = attribution(network, "");
  for (io::FeatureLayer& layer : layers) {
    layer.description = cautions().front();
    if (!thanks.empty()) layer.description += " " + thanks;
  }
  return layers;
}

}  // namespace solotaxi::report
