// Small networks made straight from drawn lines, for tests of the shape of ways.
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "solotaxi/geo/line.hpp"
#include "solotaxi/network/network.hpp"

namespace solotaxi::test {

using Line = std::vector<LocalXY>;
inline constexpr double kDeg = std::numbers::pi / 180.0;

/// A network of drawn lines that meet where their ends coincide; every movement up to 135° is there.
inline network::Network network_of(const std::vector<Line>& lines) {
  using namespace network;
  Network net;
  const auto node = [&](LocalXY at) {
    for (std::uint32_t n = 0; n < net.nodes.size(); ++n)
      if (distance_m(net.nodes[n].xy, at) < 1e-6) return NodeId{n};
    net.nodes.emplace_back().xy = at;
    return NodeId{static_cast<std::uint32_t>(net.nodes.size() - 1)};
  };
  for (const Line& line : lines) {
    Segment s;
    s.from = node(line.front());
    s.to = node(line.back());
    s.line = line;
    s.chainage_m = chainage(line);
    s.length_m = s.chainage_m.back();
    net.segments.push_back(s);
  }
  const auto leg = [&](ArcId a, bool first) {
    Line l = net.segment(a).line;
    if (!is_along(a)) std::reverse(l.begin(), l.end());
    return first ? heading(l[0], l[1]) : heading(l[l.size() - 2], l.back());
  };
  net.first_movement.push_back(0);
  for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
    for (std::uint32_t b = 0; b < net.arc_count(); ++b) {
      const ArcId from{a}, to{b};
      if (net.head(from) != net.tail(to) || to == reversed(from)) continue;
      const double angle = deflection(leg(from, false), leg(to, true)).value();
      if (std::abs(angle) <= 135 * kDeg) net.movements.push_back({from, to, static_cast<float>(angle), false});
    }
    net.first_movement.push_back(static_cast<std::uint32_t>(net.movements.size()));
  }
  return net;
}

/// A line from `from` of legs of the given lengths, turning by the given angles [deg] between them.
inline Line drawn(LocalXY from, double heading_deg, const std::vector<double>& legs, const std::vector<double>& turns) {
  Line line{from};
  for (std::size_t k = 0; k < legs.size(); ++k) {
    line.push_back(line.back() + LocalXY{std::sin(heading_deg * kDeg), std::cos(heading_deg * kDeg)} * legs[k]);
    if (k < turns.size()) heading_deg += turns[k];
  }
  return line;
}

}  // namespace solotaxi::test
