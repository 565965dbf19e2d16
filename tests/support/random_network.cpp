#include "support/random_network.hpp"

#include <cmath>
#include <numbers>
#include <utility>

namespace solotaxi::test {

using network::ArcId;
using network::index;
using network::NodeId;
using network::SegmentId;

namespace {

constexpr double kSharpest_rad = 135.0 * std::numbers::pi / 180.0;

network::Segment draw_segment(const LocalFrame& frame, const std::vector<LocalXY>& nodes, const DrawnLine& drawn) {
  network::Segment s;
  s.from = NodeId{drawn.from};
  s.to = NodeId{drawn.to};
  s.kind = drawn.kind;
  s.one_way = drawn.one_way;
  s.line.push_back(nodes[drawn.from]);
  s.line.insert(s.line.end(), drawn.between.begin(), drawn.between.end());
  s.line.push_back(nodes[drawn.to]);
  for (const LocalXY& at : s.line) {
    s.geodetic.push_back(frame.to_geodetic(at));
    const std::size_t n = s.geodetic.size();
    s.length_m += n < 2 ? 0.0 : geodesic_length(s.geodetic[n - 2], s.geodetic[n - 1]).value();
    s.chainage_m.push_back(s.length_m);
  }
  s.profile = {{0.0, 0.0}, {s.length_m, 0.0}};
  s.grade_sd = {0.0};
  return s;
}

Radians heading_in(const network::Network& net, ArcId a) {
  const auto& line = net.segment(a).line;
  return is_along(a) ? heading(line[line.size() - 2], line.back()) : heading(line[1], line.front());
}

Radians heading_out(const network::Network& net, ArcId a) {
  const auto& line = net.segment(a).line;
  return is_along(a) ? heading(line.front(), line[1]) : heading(line.back(), line[line.size() - 2]);
}

void number_components(network::Network& net) {
  constexpr std::uint32_t kUnset = 0xFFFFFFFF;
  net.component.assign(net.nodes.size(), kUnset);
  std::vector<std::vector<std::uint32_t>> beside(net.nodes.size());
  for (const auto& s : net.segments) {
    beside[index(s.from)].push_back(index(s.to));
    beside[index(s.to)].push_back(index(s.from));
  }
  std::uint32_t count = 0;
  for (std::uint32_t n = 0; n < net.nodes.size(); ++n) {
    if (net.component[n] != kUnset) continue;
    std::vector<std::uint32_t> open = {n};
    while (!open.empty()) {
      const std::uint32_t at = open.back();
      open.pop_back();
      if (net.component[at] != kUnset) continue;
      net.component[at] = count;
      open.insert(open.end(), beside[at].begin(), beside[at].end());
    }
    ++count;
  }
  net.components = count;
}

}  // namespace

network::Network draw_network(const std::vector<LocalXY>& nodes, const std::vector<DrawnLine>& lines) {
  network::Network net;
  net.name = "drawn";
  net.frame = LocalFrame{LatLon::degrees(0.0, -30.0)};
  for (const LocalXY& at : nodes) net.nodes.push_back({.at = net.frame.to_geodetic(at), .xy = at, .source_id = {}});
  for (const DrawnLine& drawn : lines) net.segments.push_back(draw_segment(net.frame, nodes, drawn));
  net.centrelines = lines.size();

  std::vector<std::vector<ArcId>> out(nodes.size());
  for (std::uint32_t a = 0; a < net.arc_count(); ++a)
    if (net.may_drive(ArcId{a})) out[index(net.tail(ArcId{a}))].push_back(ArcId{a});
  net.first_out.push_back(0);
  for (const auto& arcs : out) {
    net.out_arcs.insert(net.out_arcs.end(), arcs.begin(), arcs.end());
    net.first_out.push_back(static_cast<std::uint32_t>(net.out_arcs.size()));
  }
  net.first_movement.push_back(0);
  for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
    const ArcId from{a};
    if (net.may_drive(from)) {
      for (const ArcId to : net.arcs_from(net.head(from))) {
        if (to == network::reversed(from)) continue;
        const double angle = deflection(heading_in(net, from), heading_out(net, to)).value();
        if (std::abs(angle) <= kSharpest_rad) net.movements.push_back({from, to, static_cast<float>(angle), false});
      }
    }
    net.first_movement.push_back(static_cast<std::uint32_t>(net.movements.size()));
  }
  number_components(net);
  return net;
}

std::int64_t random_int(std::mt19937_64& random, std::int64_t low, std::int64_t high) {
  const auto span = static_cast<std::uint64_t>(high - low) + 1;
  return low + static_cast<std::int64_t>(random() % span);  // the bias is under 1e-9 for every span used here
}

double random_unit(std::mt19937_64& random) { return static_cast<double>(random() >> 11U) * 0x1p-53; }

network::Network random_network(std::mt19937_64& random, const RandomNetworkOptions& options) {
  std::vector<LocalXY> nodes;
  for (std::uint32_t row = 0; row < options.rows; ++row)
    for (std::uint32_t column = 0; column < options.columns; ++column)
      nodes.push_back({options.spacing_m * (column + options.jitter * (2.0 * random_unit(random) - 1.0)),
                       options.spacing_m * (row + options.jitter * (2.0 * random_unit(random) - 1.0))});
  std::vector<DrawnLine> lines;
  const auto draw = [&](std::uint32_t from, std::uint32_t to, double share) {
    if (random_unit(random) >= share) return;
    DrawnLine line{from, to, {}, network::LineKind::taxiway, network::OneWay::no};
    if (random_unit(random) < options.one_way)
      line.one_way = random_unit(random) < 0.5 ? network::OneWay::forward : network::OneWay::backward;
    if (random_unit(random) < 0.3) {
      const LocalXY middle = (nodes[from] + nodes[to]) * 0.5;
      line.between.push_back({middle.x_m + 0.1 * options.spacing_m * random_unit(random),
                              middle.y_m + 0.1 * options.spacing_m * random_unit(random)});
    }
    lines.push_back(std::move(line));
  };
  for (std::uint32_t row = 0; row < options.rows; ++row) {
    for (std::uint32_t column = 0; column < options.columns; ++column) {
      const std::uint32_t n = row * options.columns + column;
      const bool right = column + 1 < options.columns, up = row + 1 < options.rows;
      if (right) draw(n, n + 1, 1.0 - options.missing);
      if (up) draw(n, n + options.columns, 1.0 - options.missing);
      if (right && up) draw(n, n + options.columns + 1, options.diagonals);
    }
  }
  return draw_network(nodes, lines);
}

}  // namespace solotaxi::test
