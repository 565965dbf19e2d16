#include "solotaxi/network/shape.hpp"

#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>

#include "solotaxi/base/error.hpp"
#include "unit/network/bends.hpp"

using namespace solotaxi;
using namespace solotaxi::network;
using namespace solotaxi::test;

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
    const Bend bend = only_bend(trace_shape(net, {}));
    CHECK(bend.curve == (node_deg > 5));  // which is then one curve with the corner, and hardly tighter
    CHECK(bend.radius_m == Approx(node_deg < 5 ? 30.0 : 28.6).epsilon(0.01));
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
  // 40° after 60 m, then 8 m + 8 m + 100 m over nodes of 2.4°: held by half of 60 m and the dead end's 116 m, so undrawn.
  const Line corner = drawn({0, 0}, 0, {60, 8}, {40});
  const Line more = drawn({0, 0}, 0, {8}, {}), last = drawn({0, 0}, 0, {100}, {});
  CHECK(only_bend(trace_shape(through(corner, 2.4, {more, last}), {})).radius_m == 30.0);
  // Nodes of 8° do not: they are one curve with the corner, of 56° over some of the 16 m they lie on.
  const Bend tighter = only_bend(trace_shape(through(corner, 8, {more, last}), {}));
  CHECK(tighter.curve);
  CHECK(tighter.radius_m >= 12.6 / (56 * kDeg));
  CHECK(tighter.radius_m < 16.0 / (56 * kDeg));

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
    const Shape shape = trace_shape(network_of({drawn({0, 0}, 0, {100, gap_m, 5, 100}, {62, 63, -80})}), {});
    std::vector<double> out;
    for (const Bend& b : shape.bends_of(ArcId{0})) out.push_back(b.drawn_radius_m);
    return out;
  };
  REQUIRE(radii(6.0).size() == 3);
  CHECK(radii(6.0)[0] == Approx(12.6 / (125 * kDeg)));  // with the second bend, not with the third that undoes it
  CHECK(radii(6.0)[1] == Approx(12.6 / (125 * kDeg)));
  CHECK(radii(6.0)[2] == Approx(12.6 / (80 * kDeg)));
  CHECK(radii(13.0)[0] == Approx(12.6 / (62 * kDeg)));  // more than a wheelbase off
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

TEST_CASE("the turning over a wheelbase goes on over a junction") {
  // The bend of 60° lies 4 m before a fork whose straightest continuation turns 50° on the same hand.
  const Line line = drawn({0, 0}, 0, {100, 4}, {60});
  const LocalXY node = line.back();
  const Shape shape = trace_shape(network_of({line, drawn(node, 110, {100}, {}), drawn(node, 170, {100}, {})}), {});
  REQUIRE(shape.bends_of(ArcId{0}).size() == 1);
  CHECK(shape.bends_of(ArcId{0})[0].drawn_radius_m == Approx(12.6 / (110 * kDeg)));
  CHECK(shape.bends_of(ArcId{1})[0].drawn_radius_m == Approx(12.6 / (110 * kDeg)));
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

TEST_CASE("a vertex hard by a junction that noise alone moves makes no bend") {
  // The line's first vertex 2 m behind the node, 0.4 m aside: 11° there and 13° back.
  const auto bends = [](double aside_m) {
    const Line on{{0, 0}, {aside_m, 2}, {0, 102}};
    const auto net = network_of({on, {{0, -100}, {0, 0}}, {{0, 0}, {100, 0}}});
    return trace_shape(net, {}).bends_of(ArcId{0}).size();
  };
  CHECK(bends(0.4) == 0);
  CHECK(bends(0.8) == 1);
}

TEST_CASE("a taxiway goes straight on along itself, not off to a stand") {
  // The stand line leaves by 10°, the taxiway goes on after 25°.
  auto net = network_of({drawn({0, 0}, 0, {100}, {}), drawn({0, 100}, 25, {100}, {}), drawn({0, 100}, -10, {100}, {})});
  CHECK(net.movements[trace_shape(net, {}).straight_on[0]].to == ArcId{4});
  net.segments[2].kind = LineKind::stand_line;
  CHECK(net.movements[trace_shape(net, {}).straight_on[0]].to == ArcId{2});
  net.segments[0].kind = LineKind::stand_line;  // of two lines alike the straightest
  CHECK(net.movements[trace_shape(net, {}).straight_on[0]].to == ArcId{4});
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
