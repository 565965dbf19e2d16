// One way through a chain of segments, with heights at its vertices, for cost tests.
#pragma once

#include <cmath>
#include <numbers>
#include <vector>

#include "solotaxi/motion/cost_table.hpp"
#include "support/random_network.hpp"

namespace solotaxi::test {

struct WayPoint {
  LocalXY at;
  double height_m = 0.0;
  bool node = false;  ///< a segment ends here (the first and last always do)
};

/// A chain drawn through the points: arc 2 i is its i-th segment in the order drawn, arc 2 i + 1 the way back.
inline network::Network draw_way(const std::vector<WayPoint>& points, network::LineKind kind = network::LineKind::taxiway) {
  std::vector<LocalXY> nodes = {points.front().at};
  std::vector<DrawnLine> lines;
  std::vector<std::vector<double>> heights;
  DrawnLine line;
  std::vector<double> along = {points.front().height_m};
  for (std::size_t i = 1; i < points.size(); ++i) {
    along.push_back(points[i].height_m);
    if (!points[i].node && i + 1 < points.size()) {
      line.between.push_back(points[i].at);
      continue;
    }
    nodes.push_back(points[i].at);
    line.from = static_cast<std::uint32_t>(nodes.size() - 2);
    line.to = line.from + 1;
    line.kind = kind;
    lines.push_back(line);
    heights.push_back(along);
    line = {};
    along = {points[i].height_m};
  }
  network::Network net = draw_network(nodes, lines);
  for (std::size_t s = 0; s < net.segments.size(); ++s) {
    network::Segment& segment = net.segments[s];
    segment.profile.clear();
    for (std::size_t v = 0; v < heights[s].size(); ++v) segment.profile.push_back({segment.chainage_m[v], heights[s][v]});
    segment.grade_sd.assign(segment.profile.size() - 1, 0.0);
  }
  return net;
}

inline network::Shape shape_for(const network::Network& net, const aircraft::Aircraft& a, const motion::Conditions& c) {
  return network::trace_shape(net, {a.wheelbase_m, a.steering_max_deg, c.fillet_radius_m, c.tight_radius_m});
}

/// Index of the movement from arc to arc; throws where there is none.
inline std::size_t movement_between(const network::Network& net, network::ArcId from, network::ArcId to) {
  for (std::size_t m = net.first_movement[index(from)]; m < net.first_movement[index(from) + 1]; ++m)
    if (net.movements[m].to == to) return m;
  throw std::out_of_range("no such movement");
}

/// Arcs and movements of the whole chain, forward or back.
inline motion::Cost way_cost(const network::Network& net, const motion::CostTable& table, bool forward = true) {
  using network::ArcId;
  motion::Cost sum;
  const auto n = static_cast<std::uint32_t>(net.segments.size());
  for (std::uint32_t i = 0; i < n; ++i) {
    const ArcId arc{forward ? 2 * i : 2 * (n - 1 - i) + 1};
    sum += table.arc(arc);
    if (i > 0) sum += table.movement(movement_between(net, ArcId{forward ? 2 * i - 2 : 2 * (n - i) + 1}, arc)).cost;
  }
  return sum;
}

}  // namespace solotaxi::test
