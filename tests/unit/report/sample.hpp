// A small network and a route over it, made by hand.
#pragma once

#include <limits>
#include <string>

#include "solotaxi/geo/geodesic.hpp"
#include "solotaxi/network/network.hpp"
#include "solotaxi/report/route_report.hpp"

namespace solotaxi::report::test {

inline constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

inline network::SegmentId add_segment(network::Network& net, std::uint32_t from, std::uint32_t to, network::LineKind kind,
                                      const std::string& name, const std::string& id) {
  network::Segment s;
  s.from = network::NodeId{from};
  s.to = network::NodeId{to};
  s.kind = kind;
  s.name = name;
  s.source_id = id;
  s.geodetic = {net.nodes[from].at, net.nodes[to].at};
  s.line = {net.nodes[from].xy, net.nodes[to].xy};
  s.length_m = geodesic_length(s.geodetic).value();
  s.chainage_m = {0.0, s.length_m};
  s.profile = {{0.0, net.nodes[from].height_m}, {s.length_m, net.nodes[to].height_m}};
  s.grade_sd = {0.001};
  net.segments.push_back(s);
  return network::SegmentId{static_cast<std::uint32_t>(net.segments.size() - 1)};
}

/// (Findings are added one by one: g++ 12 takes a list of them for uninitialised.)
inline void add_finding(Findings& findings, const char* code, Severity severity, const char* id, const char* text,
                        bool has_position = false) {
  Finding& f = findings.emplace_back();
  f.code = code;
  f.severity = severity;
  f.where.id = id;
  if (has_position) f.where.lat_deg = -30.0, f.where.lon_deg = -20.0, f.where.has_position = true;
  f.text = text;
}

/// Nodes in a row eastward, `spacing_m` apart, with these heights; joined by one segment of taxiway A each; straight
/// movements.
inline network::Network row(const std::vector<double>& heights, double spacing_m, double sd = 0.001) {
  network::Network net;
  net.name = "Sand Bank";
  net.ident = "XXSB";
  net.frame = LocalFrame(LatLon::degrees(-30.0, -20.0));
  for (std::size_t i = 0; i < heights.size(); ++i) {
    network::Node node;
    node.xy = {spacing_m * static_cast<double>(i), 0.0};
    node.at = net.frame.to_geodetic(node.xy);
    node.height_m = heights[i];
    net.nodes.push_back(node);
  }
  for (std::uint32_t i = 0; i + 1 < heights.size(); ++i) {
    const auto s = add_segment(net, i, i + 1, network::LineKind::taxiway, "A", "way/" + std::to_string(i + 1));
    net.segments[index(s)].grade_sd = {sd};
  }
  const auto arcs = static_cast<std::uint32_t>(net.arc_count());
  for (std::uint32_t a = 0; a < arcs; ++a) {
    net.first_movement.push_back(static_cast<std::uint32_t>(net.movements.size()));
    const network::ArcId arc{a};
    for (std::uint32_t b = 0; b < arcs; ++b)
      if (net.tail(network::ArcId{b}) == net.head(arc) && network::ArcId{b} != reversed(arc))
        net.movements.push_back({arc, network::ArcId{b}, 0.0F, false});
  }
  net.first_movement.push_back(static_cast<std::uint32_t>(net.movements.size()));
  net.component.assign(net.nodes.size(), 0);
  net.components = 1;
  net.centrelines = heights.size() - 1;
  return net;
}

/// A departure that pushes back, rolls along a long-named taxiway, crosses a runway and needs every engine at the end.
inline routing::Route sample_route() {
  routing::Route r;
  r.from = "stand:12";
  r.to = "runway:08L";
  r.direction = routing::Direction::departure;
  r.objective = routing::Objective::fuel;
  r.engines = "left";
  r.length_m = 1234.56;
  r.time_s = 305.25;
  r.fuel_kg = 50.0;
  r.push_back_s = 120;
  r.push_back_fuel_kg = 13.7;
  r.probability = 0.873;
  const auto point = [](double lat, double lon, double h) { return routing::RoutePoint{LatLon::degrees(lat, lon), h}; };
  routing::Leg push;
  push.kind = network::LineKind::stand_line;
  push.push_back = true;
  push.length_m = 34.56;
  push.grade_mean = push.grade_max = 0.0;
  push.geometry = {point(-30.0, -20.0, 4.0), point(-30.0003, -20.0, 4.0)};
  routing::Leg first;
  first.name =
      "Größe 滑行道 滑行道 滑行道 滑行道 滑行道 滑行道 滑行道 滑行道 滑行道 "
      "滑行道滑行道滑行道滑行道滑行道滑行道滑行道滑行道滑行道";
  first.from_m = 34.56;
  first.length_m = 700.0;
  first.grade_mean = 0.004;
  first.grade_max = 0.011;
  first.place.verdict = motion::Verdict::rolling;
  first.place.reasons.add(motion::Reason::grade);
  first.place.margin = 0.123;
  first.place.probability = 0.9;
  first.time_s = 90.0;
  first.fuel_kg = 20.0;
  first.geometry = {point(-30.0003, -20.0, 4.0), point(-30.0003, -19.99, kNaN)};
  routing::Leg last;
  last.kind = network::LineKind::taxilane;
  last.from_m = 734.56;
  last.length_m = 500.0;
  last.grade_mean = last.grade_max = kNaN;
  last.place.verdict = motion::Verdict::all;
  last.place.reasons.add(motion::Reason::turn);
  last.place.margin = -0.14;
  last.time_s = 95.25;
  last.fuel_kg = 16.3;
  last.geometry = {point(-30.0003, -19.99, kNaN), point(-30.0003, -19.98, kNaN)};
  r.legs = {push, first, last};
  routing::Turn turn;
  turn.at_m = 734.56;
  turn.at = LatLon::degrees(-30.0003, -19.99);
  turn.angle_rad = -1.6;
  turn.radius_m = 30.0;
  turn.assumed = true;
  turn.toward_running = true;
  turn.thrust_factor = std::numeric_limits<double>::infinity();
  turn.place = last.place;
  r.turns = {turn};
  routing::RunwayUse use;
  use.runway = "08L/26R";
  use.at_m = 400.0;
  use.at = LatLon::degrees(-30.0003, -19.995);
  use.hold = "A1";
  use.hold_at_m = 310.0;
  routing::RunwayUse up = use;
  up.kind = routing::RunwayUse::Kind::line_up;
  up.at_m = 1230.0;
  up.hold = "";
  up.hold_at_m = kNaN;
  r.runway_uses = {use, up};
  add_finding(r.findings, "assumed-name", Severity::note, "", "A note.");
  add_finding(r.findings, "joined-crossing", Severity::serious, "way/9", "A hidden crossing.", true);
  return r;
}

}  // namespace solotaxi::report::test
