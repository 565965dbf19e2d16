#include "solotaxi/network/shape.hpp"

#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>

#include "solotaxi/base/error.hpp"
#include "unit/network/drawn_network.hpp"

using namespace solotaxi;
using namespace solotaxi::network;
using namespace solotaxi::test;

namespace {

/// An arc to the right with vertices on it every `step_deg`, between two straights.
Line arc_between_straights(double radius_m, double step_deg, int steps, double straight_m) {
  Line line{{0, -straight_m}};
  for (int i = 0; i <= steps; ++i) {
    const double a = i * step_deg * kDeg;
    line.push_back({radius_m * (1 - std::cos(a)), radius_m * std::sin(a)});
  }
  const double a = steps * step_deg * kDeg;
  line.push_back(line.back() + LocalXY{std::sin(a), std::cos(a)} * straight_m);
  return line;
}

const Movement& movement(const Network& net, std::uint32_t from, std::uint32_t to, std::size_t& i) {
  for (i = 0; i < net.movements.size(); ++i)
    if (net.movements[i].from == ArcId{from} && net.movements[i].to == ArcId{to}) return net.movements[i];
  throw std::out_of_range("no such movement");
}
Bend turn(const Network& net, const Shape& shape, std::uint32_t from, std::uint32_t to) {
  std::size_t i = 0;
  movement(net, from, to, i);
  return shape.movement[i];
}

/// The only bend of the first line, along it.
Bend only_bend(const Shape& shape) {
  REQUIRE(shape.bends_of(ArcId{0}).size() == 1);
  return shape.bends_of(ArcId{0})[0];
}
Bend only_bend(const Line& line, const ShapeOptions& options = {}) {
  return only_bend(trace_shape(network_of({line}), options));
}

}  // namespace

// The values below follow from the ground-movement model, section 2, by hand.
TEST_CASE("an undrawn corner is steered on the fillet radius and says so") {
  const Bend b = only_bend(drawn({0, 0}, 10, {200, 200}, {90}));
  CHECK(b.angle_rad == Approx(90 * kDeg));
  CHECK(b.radius_m == 30.0);
  CHECK(b.assumed);
  CHECK_FALSE(b.tight_drawing);
  CHECK_FALSE(b.curve);
  CHECK(b.at_m == Approx(200));
  CHECK(b.zone_before_m == Approx(30.0));  // R tan 45°
  CHECK(b.from_m == Approx(170.0));
  CHECK(b.to_m == Approx(230.0));
}

TEST_CASE("a slight bend on a long straight is no turn") {
  const Bend b = only_bend(drawn({0, 0}, 10, {400, 400}, {-3}));
  const double cap_m = 30 * (1 / std::cos(15 * kDeg) - 1) / (1 / std::cos(1.5 * kDeg) - 1);  // 3,087 m
  CHECK(b.radius_m == Approx(cap_m));
  CHECK(b.angle_rad == Approx(-3 * kDeg));
  CHECK_FALSE(b.assumed);
  CHECK(trace_shape(network_of({drawn({0, 0}, 10, {40, 40}, {0.09})}), {}).bends.empty());
}

TEST_CASE("a bend between short straights is held to half of the shorter, and a dead end lends its whole length") {
  // 22° bends right and left with a straight of 20 m between: t = 10 there, and R = 10 / tan 11° = 51.4 m.
  const auto net = network_of({drawn({0, 0}, 0, {15, 20, 100}, {22, -22})});
  const Shape shape = trace_shape(net, {});
  REQUIRE(shape.bends_of(ArcId{0}).size() == 2);
  CHECK(shape.bends_of(ArcId{0})[0].radius_m == Approx(10.0 / std::tan(11 * kDeg)));
  CHECK(shape.bends_of(ArcId{0})[1].radius_m == Approx(10.0 / std::tan(11 * kDeg)));
  CHECK(only_bend(drawn({0, 0}, 0, {8, 100}, {25})).radius_m == Approx(8.0 / std::tan(12.5 * kDeg)));
}

TEST_CASE("a straight goes on through a node under 5 degrees and ends at one over it") {
  for (const double node_deg : {4.0, 6.0}) {
    // A branch at the node keeps it a node.
    const Line first = drawn({0, 0}, 0, {60, 12}, {40});
    const LocalXY node = first.back();
    const Line on = drawn(node, 40 + node_deg, {100}, {});
    const Line branch = drawn(node, 130, {100}, {});
    const auto net = network_of({first, on, branch});
    const double t = node_deg < 5 ? std::min(60.0, 12.0 + 100.0) : 6.0;
    const double drawn_radius = std::max(t / std::tan(20 * kDeg), 12.6 / ((40 + node_deg) * kDeg));
    CHECK(only_bend(trace_shape(net, {})).radius_m == Approx(std::min(30.0, drawn_radius)));
  }
}

TEST_CASE("a straight goes on through several nodes, and so do a curve's legs of up to 60 m") {
  // Nodes are kept by a branch to either side.
  const auto through = [](const Line& first, double node_deg, const std::vector<Line>& more) {
    std::vector<Line> lines{first};
    for (Line line : more) {
      const LocalXY node = lines.back().back();
      const Radians on = heading(lines.back()[lines.back().size() - 2], node);
      const double to_deg = on.in_degrees() + node_deg;
      Line moved;
      for (const LocalXY p : line)  // drawn northward from the origin
        moved.push_back(node + LocalXY{p.x_m * std::cos(to_deg * kDeg) + p.y_m * std::sin(to_deg * kDeg),
                                       p.y_m * std::cos(to_deg * kDeg) - p.x_m * std::sin(to_deg * kDeg)});
      lines.insert(lines.begin(), drawn(node, on.in_degrees() + 90, {100}, {}));
      lines.insert(lines.begin(), drawn(node, on.in_degrees() - 90, {100}, {}));
      lines.push_back(moved);
    }
    std::swap(lines[0], lines[2 * more.size()]);
    return network_of(lines);
  };
  // 40° after 60 m, then 8 m + 8 m + 100 m over nodes of 4°: held by half of 60 m and the dead end's 116 m, so undrawn.
  const Line corner = drawn({0, 0}, 0, {60, 8}, {40});
  const Line more = drawn({0, 0}, 0, {8}, {}), last = drawn({0, 0}, 0, {100}, {});
  CHECK(only_bend(trace_shape(through(corner, 4, {more, last}), {})).radius_m == 30.0);
  // A node of 6° ends the straight after 8 m, and is turned within a wheelbase of the corner.
  CHECK(only_bend(trace_shape(through(corner, 6, {more, last}), {})).radius_m == Approx(12.6 / (46 * kDeg)));

  // Bends of 10° at 50 m from each other, with straight nodes between them.
  const Line start = drawn({0, 0}, 0, {100, 25}, {10});
  const Line next = drawn({0, 0}, 0, {25, 50, 25}, {10, 10}), end = drawn({0, 0}, 0, {25, 100}, {10});
  const Bend curve = only_bend(trace_shape(through(start, 0, {next, end}), {}));
  CHECK(curve.curve);
  CHECK(curve.angle_rad == Approx(40 * kDeg));
  CHECK(curve.radius_m == Approx(200 / (40 * kDeg)));  // drawn with tangents: half a chord more at either end
  CHECK(curve.curve_begins);
  CHECK_FALSE(curve.curve_ends);
}

TEST_CASE("two bends that undo each other within a wheelbase are each as sharp as if alone") {
  for (const double angle : {30.0, 60.0}) {
    const Shape shape = trace_shape(network_of({drawn({0, 0}, 0, {100, 4, 100}, {angle, -angle})}), {});
    REQUIRE(shape.bends_of(ArcId{0}).size() == 2);
    for (const Bend& b : shape.bends_of(ArcId{0})) {
      CHECK(b.drawn_radius_m == Approx(12.6 / (angle * kDeg)));
      CHECK(b.tight_drawing == (angle == 60.0));  // 12.0 m is under the steering limit of 13.0 m
    }
  }
}

TEST_CASE("the turning over a wheelbase is that of its sharpest stretch, and ends a wheelbase from the bend") {
  const auto radii = [](double gap_m) {
    const Shape shape = trace_shape(network_of({drawn({0, 0}, 0, {100, gap_m, 5, 100}, {25, 25, -40})}), {});
    std::vector<double> out;
    for (const Bend& b : shape.bends_of(ArcId{0})) out.push_back(b.drawn_radius_m);
    return out;
  };
  REQUIRE(radii(6.0).size() == 3);
  CHECK(radii(6.0)[0] == Approx(12.6 / (50 * kDeg)));  // with the second bend, not with the third that undoes it
  CHECK(radii(6.0)[1] == Approx(12.6 / (50 * kDeg)));
  CHECK(radii(6.0)[2] == Approx(12.6 / (40 * kDeg)));
  CHECK(radii(13.0)[0] == Approx(6.5 / std::tan(12.5 * kDeg)));  // more than a wheelbase off; its own tangent is the wider
}

TEST_CASE("a hook over 100 degrees is a drawing fault where it is undone within the wheelbase, else refused") {
  for (const double back_deg : {80.0, 30.0}) {  // 40° or 90° are left of 120°; 55° over a wheelbase are still steered
    const Shape shape = trace_shape(network_of({drawn({0, 0}, 0, {100, 4, 100}, {120, -back_deg})}), {});
    const Bend& b = shape.bends_of(ArcId{0})[0];
    CHECK(b.drawn_radius_m == Approx(12.6 / (120 * kDeg)));
    CHECK(b.tight_drawing == (back_deg == 80.0));
    CHECK(b.refused == (back_deg == 30.0));
  }
}

TEST_CASE("an arc of 20 m drawn in steps of 20 degrees is not made wider") {
  const double chord = 2 * 20 * std::sin(10 * kDeg);
  const Shape shape =
      trace_shape(network_of({drawn({0, 0}, 0, {100, chord, chord, chord, 100}, {20.01, 20.01, 20.01, 20.01})}), {});
  for (const Bend& b : shape.bends_of(ArcId{0})) CHECK(b.radius_m == Approx(20).epsilon(0.02));
}

TEST_CASE("the turning over a wheelbase goes on over a junction") {
  // The bend of 60° lies 4 m before a fork whose straightest continuation turns 50° on the same hand.
  const Line line = drawn({0, 0}, 0, {100, 4}, {60});
  const LocalXY node = line.back();
  const Shape shape = trace_shape(network_of({line, drawn(node, 110, {100}, {}), drawn(node, 170, {100}, {})}), {});
  REQUIRE(shape.bends_of(ArcId{0}).size() == 1);
  CHECK(shape.bends_of(ArcId{0})[0].drawn_radius_m == Approx(12.6 / (110 * kDeg)));
  CHECK(shape.bends_of(ArcId{1})[0].drawn_radius_m == Approx(12.6 / (110 * kDeg)));
}

TEST_CASE("a run of bends of one hand is one curve from its first bend to its last") {
  const Line line = drawn({0, 0}, 0, {100, 20, 30, 20, 100}, {7.5, 15, 15, 7.5});
  const Bend b = only_bend(line);
  CHECK(b.curve);
  CHECK(b.angle_rad == Approx(45 * kDeg));
  CHECK(b.own_angle_rad == Approx(45 * kDeg));
  CHECK(b.radius_m == Approx(70 / (45 * kDeg)));
  CHECK(b.from_m == Approx(100));
  CHECK(b.to_m == Approx(170));
  CHECK(b.curve_begins);
  CHECK(b.curve_ends);
  CHECK(b.zone_before_m == Approx(0.0).margin(1e-9));
  // A leg of 60 m, a bend of 25° and the other hand each end it.
  CHECK(trace_shape(network_of({drawn({0, 0}, 0, {100, 60, 100}, {10, 10})}), {}).bends_of(ArcId{0}).size() == 2);
  CHECK(trace_shape(network_of({drawn({0, 0}, 0, {100, 30, 100}, {10, 25.001})}), {}).bends_of(ArcId{0}).size() == 2);
  CHECK(trace_shape(network_of({drawn({0, 0}, 0, {100, 30, 100}, {10, -10})}), {}).bends_of(ArcId{0}).size() == 2);
  // Shorter than the wheelbase it is as long as the wheelbase, half of the rest on each side.
  const Bend small = only_bend(drawn({0, 0}, 0, {100, 6, 100}, {19, 19}));
  CHECK(small.radius_m == Approx(12.6 / (38 * kDeg)));
  CHECK(small.zone_before_m == Approx(3.3));
  CHECK(small.zone_after_m == Approx(3.3));
}

TEST_CASE("an end vertex counts as a curve's by how much it turns") {
  const auto radius = [](double end_deg) {
    return only_bend(drawn({0, 0}, 0, {100, 20, 20, 20, 100}, {end_deg, 12, 12, end_deg})).radius_m;
  };
  // Chords: the arc begins at the vertex, which turns half as much. Tangents: it begins half a chord before.
  CHECK(radius(6) == Approx(60 / (36 * kDeg)));
  CHECK(radius(12) == Approx(80 / (48 * kDeg)));
  // A straight that drawing noise bends a little is no part of it, and lends it no width.
  const Line faint = drawn({0, 0}, 0, {100, 50, 20, 20, 20, 100}, {0.2, 6, 12, 12, 6});
  const Shape shape = trace_shape(network_of({faint}), {});
  for (const Bend& bend : shape.bends_of(ArcId{0})) {
    if (!bend.curve) continue;
    CHECK(bend.radius_m == Approx(60 / (36 * kDeg)).epsilon(0.05));
    CHECK(bend.from_m == Approx(150).margin(4));
  }
}

TEST_CASE("an arc drawn as a polyline gives its radius back") {
  // Chord steps of 2–15°, legs under 60 m, at least 45° in all. The 0.3 m simplification may drop the vertex at a tangent
  // point, which makes the drawn curve look up to 18 % tighter (the safe side) and no more than 5 % wider.
  const bool ok = rc::check([] {
    std::mt19937 draw(*rc::gen::arbitrary<unsigned>());
    std::uniform_real_distribution<double> unit(0, 1);
    const double radius = 25 * std::pow(20.0, unit(draw));
    const double step = 2 + 13 * unit(draw);
    RC_PRE(2 * radius * std::sin(step / 2 * kDeg) < 59.0);
    const int steps = static_cast<int>(45 / step) + 1 + static_cast<int>(unit(draw) * 90 / step);
    const auto shape = trace_shape(network_of({arc_between_straights(radius, step, steps, 150)}), {});
    const auto bends = shape.bends_of(ArcId{0});
    double turned = 0.0;
    int curves = 0;
    for (const Bend& bend : bends) {
      turned += bend.own_angle_rad;
      curves += bend.curve;
      if (bend.curve) {
        RC_ASSERT(bend.radius_m > 0.82 * radius);
        RC_ASSERT(bend.radius_m < 1.05 * radius);
        RC_ASSERT(std::abs(bend.angle_rad - steps * step * kDeg) < 1 * kDeg);
      } else {  // what is left of a tangent point
        RC_ASSERT(bend.radius_m > radius);
      }
    }
    RC_ASSERT(curves == 1);
    RC_ASSERT(std::abs(turned - steps * step * kDeg) < 1 * kDeg);
  });
  CHECK(ok);
  for (const double radius : {20.0, 60.0, 200.0, 500.0})  // steps whose vertices all stay
    CHECK(only_bend(arc_between_straights(radius, radius < 100 ? 15 : 5, 6, 150)).radius_m == Approx(radius).epsilon(0.01));
}

TEST_CASE("0.3 m of drawing noise on a straight makes no tight bend") {
  const bool ok = rc::check([] {
    std::mt19937 draw(*rc::gen::arbitrary<unsigned>());
    std::uniform_real_distribution<double> unit(-1, 1);
    const double spacing = 4 + 40 * std::abs(unit(draw));
    Line line;
    for (double x = 0; x < 600; x += spacing * (1 + 0.5 * unit(draw))) line.push_back({x, 0.3 * unit(draw)});
    RC_PRE(line.size() > 2U);
    const Shape shape = trace_shape(network_of({line}), {});
    for (const Bend& b : shape.bends) {
      RC_ASSERT(!b.tight_drawing);
      RC_ASSERT(!b.refused);
      if (spacing >= 10) RC_ASSERT(b.radius_m > 55.0);
    }
  });
  CHECK(ok);
}

TEST_CASE("a place under the steering limit is a tight drawing up to 100 degrees and refused beyond") {
  // 12.6 / sin 75° = 13.04 m. Legs of 10 m: t = 5 m, R = 5 / tan(α/2), but not under 12.6 / α.
  const auto middle = [](double deg) {
    return trace_shape(network_of({drawn({0, 0}, 0, {100, 10, 10, 100}, {-30, deg, -30})}), {}).bends_of(ArcId{0})[1];
  };
  const Bend tight = middle(95);
  CHECK(tight.tight_drawing);
  CHECK(tight.radius_m == 30.0);
  CHECK(tight.drawn_radius_m == Approx(12.6 / (95 * kDeg)));
  CHECK_FALSE(tight.refused);
  CHECK(tight.zone_before_m == Approx(10.0));  // 30 tan 47.5° cut to the straight
  const Bend refused = middle(105);
  CHECK(refused.refused);
  CHECK_FALSE(refused.tight_drawing);
  CHECK(refused.radius_m == Approx(12.6 / (105 * kDeg)));
  CHECK(middle(60).radius_m == Approx(30.0));
  // A curve of eight bends of 17° with legs of 3.4 m turns 136° in all, on 10 m.
  const Bend curve =
      only_bend(drawn({0, 0}, 0, {100, 3.4, 3.4, 3.4, 3.4, 3.4, 3.4, 3.4, 100}, {17, 17, 17, 17, 17, 17, 17, 17}));
  CHECK(curve.curve);
  CHECK(curve.refused);
  ShapeOptions wide;
  wide.wheelbase_m = 31.0;  // least radius 32.1 m, more than the judged radius
  CHECK(only_bend(drawn({0, 0}, 0, {100, 100}, {95}), wide).radius_m == Approx(31.0 / std::sin(75 * kDeg)));
}

TEST_CASE("a vertex over 135 degrees is refused") {
  CHECK(only_bend(drawn({0, 0}, 0, {100, 100}, {136})).refused);
  CHECK(only_bend(drawn({0, 0}, 0, {100, 80}, {180})).refused);
  CHECK_FALSE(only_bend(drawn({0, 0}, 0, {100, 100}, {134})).refused);
}

TEST_CASE("a curve over nodes is shared between arcs and movements, with one beginning and one end") {
  //  Taxiway 0 runs straight to the node; exit 1 curves off it in steps of 10°, is cut by a node in a leg with a branch,
  //  goes on.
  const Line taxiway = drawn({0, 0}, 0, {200}, {});
  const Line on = drawn(taxiway.back(), 0, {200}, {});
  const Line exit = drawn(taxiway.back(), 10, {20, 20, 10}, {10, 10});
  const Line rest = drawn(exit.back(), 30, {10, 20, 150}, {10, 10});
  const Line branch = drawn(exit.back(), 130, {100}, {});
  const auto net = network_of({taxiway, on, exit, rest, branch});
  const Shape shape = trace_shape(net, {});
  const double radius = 100 / (50 * kDeg);  // drawn with tangents: half a chord more at either end
  const Bend enter = turn(net, shape, 0, 4);
  CHECK(enter.curve);
  CHECK(enter.curve_begins);
  CHECK_FALSE(enter.curve_ends);
  CHECK(enter.radius_m == Approx(radius));
  CHECK(enter.own_angle_rad == Approx(10 * kDeg));
  REQUIRE(shape.bends_of(ArcId{4}).size() == 1);
  const Bend first = shape.bends_of(ArcId{4})[0];
  CHECK(first.from_m == 0.0);
  CHECK(first.to_m == Approx(50.0));
  CHECK_FALSE(first.curve_begins);
  CHECK_FALSE(first.curve_ends);
  CHECK(first.radius_m == Approx(radius));
  const Bend middle = turn(net, shape, 4, 6);
  CHECK(middle.curve);
  CHECK_FALSE(middle.curve_begins);
  CHECK_FALSE(middle.curve_ends);
  CHECK(middle.own_angle_rad == 0.0);
  REQUIRE(shape.bends_of(ArcId{6}).size() == 1);
  const Bend last = shape.bends_of(ArcId{6})[0];
  CHECK(last.to_m == Approx(30.0));
  CHECK_FALSE(last.curve_begins);
  CHECK(last.curve_ends);
  // Leaving the curve by the branch: a turn of its own, and the curve owed an end.
  const Bend off = turn(net, shape, 4, 8);
  CHECK_FALSE(off.curve);
  CHECK(off.angle_rad == Approx(100 * kDeg));
  CHECK(off.curve_ends);
  CHECK_FALSE(off.curve_begins);
  CHECK(turn(net, shape, 9, 6).curve == false);
  CHECK(turn(net, shape, 0, 2).radius_m > 1e6);
  // Straightest continuations.
  CHECK(net.movements[shape.straight_on[0]].to == ArcId{2});
  CHECK(net.movements[shape.straight_on[4]].to == ArcId{6});
  CHECK(shape.straight_on[6] == Shape::kNoMovement);
}

TEST_CASE("a turn-round has the least radius steering allows") {
  Network net = network_of({drawn({0, 0}, 0, {500}, {})});
  net.movements.push_back({ArcId{0}, ArcId{1}, static_cast<float>(std::numbers::pi), true});
  net.first_movement = {0, 1, 1};
  const Shape shape = trace_shape(net, {});
  CHECK(shape.movement[0].radius_m == Approx(12.6 / std::sin(75 * kDeg)));
  CHECK(shape.movement[0].angle_rad == Approx(std::numbers::pi));
  CHECK(shape.straight_on[0] == Shape::kNoMovement);
}

TEST_CASE("a symmetric fork has no straightest continuation, so its mirror image is the same") {
  const Line stem = drawn({0, 0}, 0, {60, 10}, {40});
  const auto net = network_of({stem, drawn(stem.back(), 36, {100}, {}), drawn(stem.back(), 44, {100}, {})});
  const double held = std::max(5.0 / std::tan(20 * kDeg), 12.6 / (40 * kDeg));  // half of 10 m: neither branch lends more
  CHECK(only_bend(trace_shape(net, {})).radius_m == Approx(held));
}

TEST_CASE("options out of their range are refused by name") {
  const auto net = network_of({drawn({0, 0}, 0, {500}, {})});
  const auto refused = [&](auto set) {
    ShapeOptions o;
    set(o);
    CHECK_THROWS_AS(trace_shape(net, o), Error);
  };
  refused([](ShapeOptions& o) { o.wheelbase_m = 0; });
  refused([](ShapeOptions& o) { o.steering_max_deg = 91; });
  refused([](ShapeOptions& o) { o.fillet_radius_m = std::nan(""); });
  refused([](ShapeOptions& o) { o.tight_radius_m = -1; });
  refused([](ShapeOptions& o) { o.simplify_m = -0.1; });
  CHECK(trace_shape(Network(), {}).bends.empty());
}

TEST_CASE("a ring without a junction is traced and turns through a full circle") {
  Line ring;
  for (int i = 0; i <= 24; ++i) ring.push_back({80 * std::cos(i * 15 * kDeg), 80 * std::sin(i * 15 * kDeg)});
  ring.back() = ring.front();
  const auto net = network_of({Line(ring.begin(), ring.begin() + 13), Line(ring.begin() + 12, ring.end())});
  const Shape shape = trace_shape(net, {});
  for (std::uint32_t a = 0; a < 4; ++a) {
    REQUIRE(shape.bends_of(ArcId{a}).size() == 1);
    CHECK(shape.bends_of(ArcId{a})[0].radius_m == Approx(80).epsilon(0.02));
    CHECK(shape.bends_of(ArcId{a})[0].to_m == Approx(net.segment(ArcId{a}).length_m));
  }
}
