// The network as feature layers: segments, nodes, stands, holding positions, runway entries, findings.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "common.hpp"
#include "solotaxi/report/check_report.hpp"

namespace solotaxi::report {
namespace {

io::Feature point(LatLon at, double height_m = std::numeric_limits<double>::quiet_NaN()) {
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

io::FeatureLayer segments_layer(const network::Network& network) {
  io::FeatureLayer layer{
      "segments",
      "",
      {"segment", "from_node", "to_node", "kind", "name", "source_id", "length_m", "grade_mean_pct", "one_way", "bridge",
       "tunnel", "closed", "assumed", "width_m", "wingspan_limit_m", "speed_limit_kt"},
      {}};
  type_columns(layer, {"grade_mean_pct", "width_m", "wingspan_limit_m", "speed_limit_kt"}, {});
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
    f.values.push_back(segment.width ? rounded_value(segment.width->value(), 2) : io::Value{});
    f.values.push_back(segment.wingspan_limit ? rounded_value(segment.wingspan_limit->value(), 2) : io::Value{});
    f.values.push_back(segment.speed_limit ? rounded_value(in_knots(*segment.speed_limit), 1) : io::Value{});
  }
  return layer;
}

io::FeatureLayer nodes_layer(const network::Network& network) {
  io::FeatureLayer layer{"nodes", "", {"node", "source_id", "height_m", "component"}, {}};
  type_columns(layer, {"height_m"}, {});
  for (std::size_t n = 0; n < network.nodes.size(); ++n) {
    const network::Node& node = network.nodes[n];
    io::Feature& f = layer.features.emplace_back(point(node.at, node.height_m));
    f.values.push_back(whole_value(n));
    f.values.push_back(text_value(node.source_id));
    f.values.push_back(rounded_value(node.height_m, 2));
    f.values.push_back(n < network.component.size() ? whole_value(network.component[n]) : io::Value{});
  }
  return layer;
}

io::FeatureLayer places_layer(const network::Network& network) {
  io::FeatureLayer layer{"places", "", {"kind", "name", "source_id", "node", "assumed"}, {}};
  const auto add = [&](const char* kind, const std::string& name, const std::string& id, network::NodeId node,
                       bool assumed) {
    io::Feature& f = layer.features.emplace_back(point(network.node(node).at, network.node(node).height_m));
    f.values.push_back(text_value(kind));
    f.values.push_back(text_value(name));
    f.values.push_back(text_value(id));
    f.values.push_back(whole_value(index(node)));
    f.values.push_back(flag_value(assumed));
  };
  for (const network::Stand& stand : network.stands) add("stand", stand.ref, stand.id, stand.node, stand.approximate);
  for (const network::HoldingPoint& hold : network.holding_points)
    add("holding_position", hold.ref, hold.id, hold.node, hold.assumed);
  for (const network::Runway& runway : network.runways) {
    add("runway_end", runway.designators[0], runway.id, runway.front, false);
    add("runway_end", runway.designators[1], runway.id, runway.back, false);
    for (const network::RunwayEntry& entry : runway.entries)
      add("runway_entry", fmt::format("{} @ {}", runway.name, fmt::join(entry.names, ", ")), runway.id, entry.node, false);
  }
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
  std::vector<io::FeatureLayer> layers{segments_layer(network), nodes_layer(network), places_layer(network),
                                       findings_layer(in_order(network.findings))};
  const std::string thanks = attribution(network, "");
  for (io::FeatureLayer& layer : layers) {
    layer.description = cautions().front();
    if (!thanks.empty()) layer.description += " " + thanks;
  }
  return layers;
}

}  // namespace solotaxi::report
