// What may not change the shape of a way: its direction, mirroring, rotation, and how it is cut into segments.
#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "solotaxi/network/shape.hpp"
#include "unit/network/drawn_network.hpp"

using namespace solotaxi;
using namespace solotaxi::network;
using namespace solotaxi::test;

namespace {

/// Random lines: chains of gentle bends, sharp corners, short and long legs, branching where they end.
std::vector<Line> random_lines(std::mt19937& draw) {
  std::uniform_real_distribution<double> unit(0, 1);
  std::vector<Line> lines;
  std::vector<LocalXY> ends{{0, 0}};
  std::vector<double> headings{unit(draw) * 360};
  const auto grow = [&](std::size_t from, double heading_deg) {
    std::vector<double> legs, turns;
    const double hand = unit(draw) < 0.5 ? -1 : 1;
    for (int n = 1 + static_cast<int>(unit(draw) * 7); n > 0; --n) {
      legs.push_back(unit(draw) < 0.7 ? 4 + 40 * unit(draw) : 100 * unit(draw) + 5);
      const double kind = unit(draw);
      turns.push_back(kind < 0.7    ? hand * 19 * unit(draw)
                      : kind < 0.85 ? 8 * (unit(draw) - 0.5)
                                    : 240 * (unit(draw) - 0.5));
    }
    turns.pop_back();
    lines.push_back(drawn(ends[from], heading_deg, legs, turns));
    ends.push_back(lines.back().back());
    headings.push_back(Radians{heading(lines.back()[lines.back().size() - 2], ends.back())}.in_degrees());
  };
  grow(0, headings[0]);
  for (int n = static_cast<int>(unit(draw) * 4); n > 0; --n) {
    const auto from = static_cast<std::size_t>(unit(draw) * static_cast<double>(ends.size() - 1)) + 1;
    for (int branch = 0; branch < 2; ++branch)
      grow(from, headings[from] + (unit(draw) < 0.6 ? 30 : 140) * (unit(draw) - 0.5));
  }
  return lines;
}

bool near(double a, double b) { return a == b || std::abs(a - b) < 1e-6 * (1 + std::min(std::abs(a), std::abs(b))); }

/// Equal but for rounding; places are left out.
bool same(const Bend& a, const Bend& b) {
  // A radius over ten kilometres comes from bends that undo each other; its size is rounding.
  const auto radius = [&](double r, double s) { return near(r, s) || (r > 1e4 && s > 1e4); };
  return near(a.angle_rad, b.angle_rad) && near(a.own_angle_rad, b.own_angle_rad) && radius(a.radius_m, b.radius_m) &&
         radius(a.drawn_radius_m, b.drawn_radius_m) && a.assumed == b.assumed && a.tight_drawing == b.tight_drawing &&
         a.curve == b.curve && a.curve_begins == b.curve_begins && a.curve_ends == b.curve_ends && a.refused == b.refused &&
         near(a.zone_before_m, b.zone_before_m) && near(a.zone_after_m, b.zone_after_m);
}
bool same_place(const Bend& a, const Bend& b) {
  return same(a, b) && near(a.at_m, b.at_m) && near(a.from_m, b.from_m) && near(a.to_m, b.to_m);
}

Bend backward(Bend b, double length_m) {
  b.at_m = length_m - b.at_m;
  std::swap(b.from_m, b.to_m);
  b.from_m = length_m - b.from_m;
  b.to_m = length_m - b.to_m;
  b.angle_rad = -b.angle_rad;
  b.own_angle_rad = -b.own_angle_rad;
  std::swap(b.curve_begins, b.curve_ends);
  std::swap(b.zone_before_m, b.zone_after_m);
  return b;
}
Bend mirrored(Bend b) {
  b.angle_rad = -b.angle_rad;
  b.own_angle_rad = -b.own_angle_rad;
  return b;
}

std::size_t movement_of(const Network& net, ArcId from, ArcId to) {
  for (std::size_t i = net.first_movement[index(from)]; i < net.first_movement[index(from) + 1]; ++i)
    if (net.movements[i].to == to) return i;
  throw std::out_of_range("no such movement");
}

/// What is met along consecutive arcs: bends with their places, portions of a curve put together again.
std::vector<Bend> along(const Network& net, const Shape& shape, const std::vector<ArcId>& arcs) {
  std::vector<Bend> met;
  const auto add = [&](Bend b, double start) {
    b.at_m += start;
    b.from_m += start;
    b.to_m += start;
    if (b.curve && !met.empty() && met.back().curve && !b.curve_begins && !met.back().curve_ends) {
      Bend& last = met.back();
      last.to_m = b.to_m;
      last.own_angle_rad += b.own_angle_rad;
      last.curve_ends = b.curve_ends;
      last.zone_after_m = b.zone_after_m;
      last.at_m = 0.5 * (last.from_m + last.to_m);
    } else {
      met.push_back(b);
    }
  };
  double start = 0.0;
  for (std::size_t k = 0; k < arcs.size(); ++k) {
    for (const Bend& b : shape.bends_of(arcs[k])) add(b, start);
    start += net.segment(arcs[k]).length_m;
    if (k + 1 == arcs.size()) break;
    Bend b = shape.movement[movement_of(net, arcs[k], arcs[k + 1])];
    if (b.curve || !std::isinf(b.radius_m) || b.own_angle_rad != 0.0) add(b, start);
  }
  // A single bend's extent is cut to its arc, so it depends on where arcs end.
  for (Bend& b : met)
    if (!b.curve) b.from_m = b.to_m = b.at_m;
  return met;
}

}  // namespace

TEST_CASE("a way driven backward has the same bends to the other hand") {
  const bool ok = rc::check([] {
    std::mt19937 draw(*rc::gen::arbitrary<unsigned>());
    const Network net = network_of(random_lines(draw));
    const Shape shape = trace_shape(net, {});
    for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
      const auto there = shape.bends_of(ArcId{a}), back = shape.bends_of(reversed(ArcId{a}));
      RC_ASSERT(there.size() == back.size());
      for (std::size_t k = 0; k < there.size(); ++k)
        RC_ASSERT(same_place(there[k], backward(back[back.size() - 1 - k], net.segment(ArcId{a}).length_m)));
    }
    for (std::size_t i = 0; i < net.movements.size(); ++i) {
      const Movement& m = net.movements[i];
      RC_ASSERT(same(shape.movement[i], backward(shape.movement[movement_of(net, reversed(m.to), reversed(m.from))], 0)));
    }
  });
  CHECK(ok);
}

TEST_CASE("a mirrored or turned field has the same shape, mirrored or not") {
  const bool ok = rc::check([] {
    std::mt19937 draw(*rc::gen::arbitrary<unsigned>());
    const auto lines = random_lines(draw);
    const bool mirror = *rc::gen::arbitrary<bool>();
    const double turned = std::uniform_real_distribution<double>(0, 360)(draw) * kDeg;
    auto moved = lines;
    for (Line& line : moved)
      for (LocalXY& p : line) {
        if (mirror) p.x_m = -p.x_m;
        p = {p.x_m * std::cos(turned) + p.y_m * std::sin(turned) + 500,
             p.y_m * std::cos(turned) - p.x_m * std::sin(turned)};
      }
    const Network net = network_of(lines);
    const Shape a = trace_shape(net, {}), b = trace_shape(network_of(moved), {});
    RC_ASSERT(a.first_bend == b.first_bend);
    for (std::size_t k = 0; k < a.bends.size(); ++k)
      RC_ASSERT(same_place(a.bends[k], mirror ? mirrored(b.bends[k]) : b.bends[k]));
    RC_ASSERT(a.movement.size() == b.movement.size());
    for (std::size_t k = 0; k < a.movement.size(); ++k)
      RC_ASSERT(same(a.movement[k], mirror ? mirrored(b.movement[k]) : b.movement[k]));
    RC_ASSERT(a.straight_on == b.straight_on);
  });
  CHECK(ok);
}

TEST_CASE("cutting segments, at a vertex or between, and adding collinear vertices changes no bend") {
  const bool ok = rc::check([] {
    std::mt19937 draw(*rc::gen::arbitrary<unsigned>());
    std::uniform_real_distribution<double> unit(0, 1);
    const auto lines = random_lines(draw);
    std::vector<Line> cut;
    std::vector<std::vector<std::uint32_t>> parts;
    for (const Line& line : lines) {
      auto& own = parts.emplace_back();
      Line part{line[0]};
      for (std::size_t v = 1; v < line.size(); ++v) {
        if (unit(draw) < 0.3) {  // between two vertices: a vertex, or a node
          part.push_back(line[v - 1] + (line[v] - line[v - 1]) * (0.1 + 0.8 * unit(draw)));
          if (unit(draw) < 0.5) {
            own.push_back(static_cast<std::uint32_t>(cut.size()));
            cut.push_back(part);
            part = {part.back()};
          }
        }
        part.push_back(line[v]);
        if (v + 1 == line.size() || unit(draw) < 0.3) {
          own.push_back(static_cast<std::uint32_t>(cut.size()));
          cut.push_back(part);
          part = {part.back()};
        }
      }
      for (const std::uint32_t s : own)  // drawn either way
        if (unit(draw) < 0.3) std::reverse(cut[s].begin(), cut[s].end());
    }
    const Network whole = network_of(lines), pieces = network_of(cut);
    const Shape a = trace_shape(whole, {}), b = trace_shape(pieces, {});
    // Arcs of the pieces along each arc of the whole.
    std::vector<std::vector<ArcId>> arcs(whole.arc_count());
    for (std::uint32_t s = 0; s < lines.size(); ++s) {
      LocalXY at = lines[s].front();
      for (const std::uint32_t p : parts[s]) {
        const bool forward = distance_m(cut[p].front(), at) < 1e-6;
        arcs[2 * s].push_back(forward ? arc_along(SegmentId{p}) : arc_against(SegmentId{p}));
        at = forward ? cut[p].back() : cut[p].front();
      }
      for (auto it = arcs[2 * s].rbegin(); it != arcs[2 * s].rend(); ++it) arcs[2 * s + 1].push_back(reversed(*it));
    }
    const auto movement_there = [&](const Movement& m) {
      for (std::size_t i = 0; i < pieces.movements.size(); ++i)
        if (pieces.movements[i].from == arcs[index(m.from)].back() && pieces.movements[i].to == arcs[index(m.to)].front())
          return i;
      throw std::out_of_range("no such movement");
    };
    for (std::uint32_t k = 0; k < whole.arc_count(); ++k) {
      const auto there = along(whole, a, {ArcId{k}}), here = along(pieces, b, arcs[k]);
      RC_ASSERT(there.size() == here.size());
      for (std::size_t i = 0; i < there.size(); ++i) RC_ASSERT(same_place(there[i], here[i]));
    }
    for (std::size_t i = 0; i < whole.movements.size(); ++i)
      RC_ASSERT(same(a.movement[i], b.movement[movement_there(whole.movements[i])]));
  });
  CHECK(ok);
}

TEST_CASE("the angles met along a route sum to its change of heading") {
  const bool ok = rc::check([] {
    std::mt19937 draw(*rc::gen::arbitrary<unsigned>());
    const auto lines = random_lines(draw);
    const Network net = network_of(lines);
    const Shape shape = trace_shape(net, {});
    for (std::size_t i = 0; i < net.movements.size(); ++i) {
      const Movement& m = net.movements[i];
      double sum = shape.movement[i].own_angle_rad;
      for (const ArcId a : {m.from, m.to})
        for (const Bend& b : shape.bends_of(a)) sum += b.own_angle_rad;
      Line l = net.segment(m.from).line, n = net.segment(m.to).line;
      if (!is_along(m.from)) std::reverse(l.begin(), l.end());
      if (!is_along(m.to)) std::reverse(n.begin(), n.end());
      const double turned = deflection(heading(l[0], l[1]), heading(n[n.size() - 2], n.back())).value();
      // Simplification may turn the first and the last leg: by its 0.3 m over the least leg of 4 m, twice.
      RC_ASSERT(std::abs(std::remainder(sum - turned, 2 * std::numbers::pi)) < 0.25);
    }
  });
  CHECK(ok);
}
