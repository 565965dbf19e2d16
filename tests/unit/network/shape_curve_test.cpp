// Runs of bends that are one curve.
#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "solotaxi/network/shape.hpp"
#include "unit/network/bends.hpp"

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

}  // namespace

TEST_CASE("an arc of 20 m drawn in steps of 20 degrees is not made wider") {
  const double chord = 2 * 20 * std::sin(10 * kDeg);
  const Shape shape =
      trace_shape(network_of({drawn({0, 0}, 0, {100, chord, chord, chord, 100}, {20.01, 20.01, 20.01, 20.01})}), {});
  for (const Bend& b : shape.bends_of(ArcId{0})) CHECK(b.radius_m == Approx(20).epsilon(0.02));
}

TEST_CASE("a run of bends of one hand is one curve from its first bend to its last") {
  const Bend b = only_bend(drawn({0, 0}, 0, {100, 20, 20, 20, 100}, {7.5, 15, 15, 7.5}));
  CHECK(b.curve);
  CHECK(b.angle_rad == Approx(45 * kDeg));
  CHECK(b.own_angle_rad == Approx(45 * kDeg));
  CHECK(b.radius_m == Approx(60 / (45 * kDeg)));
  CHECK(b.from_m == Approx(100));
  CHECK(b.to_m == Approx(160));
  CHECK(b.curve_begins);
  CHECK(b.curve_ends);
  CHECK(b.zone_before_m == Approx(0.0).margin(1e-9));
  // Legs drawn unevenly say nearly the same.
  CHECK(only_bend(drawn({0, 0}, 0, {100, 20, 30, 20, 100}, {7.5, 15, 15, 7.5})).radius_m ==
        Approx(70 / (45 * kDeg)).epsilon(0.06));
  // Shorter than the wheelbase it is as long as the wheelbase, half of the rest on each side.
  const Bend small = only_bend(drawn({0, 0}, 0, {100, 6, 100}, {20.5, 20.5}));
  CHECK(small.radius_m == Approx(12.6 / (41 * kDeg)));
  CHECK(small.zone_before_m == Approx(3.3));
  CHECK(small.zone_after_m == Approx(3.3));
}

TEST_CASE("a leg of 60 m, a long leg beside a marked bend, a bend of 60 degrees and the other hand each end a curve") {
  const auto bends = [](double first_deg, double leg_m, double second_deg) {
    const Line line = drawn({0, 0}, 0, {100, leg_m, 100}, {first_deg, second_deg});
    return trace_shape(network_of({line}), {}).bends_of(ArcId{0}).size();
  };
  CHECK(bends(10, 59, 10) == 1);
  CHECK(bends(10, 60, 10) == 2);
  CHECK(bends(10, 30, -10) == 2);
  // From 20° to 30° the longest leg falls to 25 m: a curve and two corners are then about as tight.
  CHECK(bends(25, 42, 25) == 1);
  CHECK(bends(25, 43, 25) == 2);
  CHECK(bends(40, 24, 40) == 1);
  CHECK(bends(40, 26, 40) == 2);
  CHECK(bends(59, 20, 59) == 1);
  CHECK(bends(60, 20, 30) == 2);
}

TEST_CASE("where two bends stop to be one curve their radius hardly changes") {
  for (const double angle : {30.0, 40.0, 50.0}) {
    INFO(angle);
    const auto radius = [&](double leg_m) {
      const Line line = drawn({0, 0}, 0, {100, leg_m, 100}, {angle, angle});
      return trace_shape(network_of({line}), {}).bends_of(ArcId{0})[0].radius_m;
    };
    CHECK(radius(15) == Approx(7.5 / std::tan(0.5 * angle * kDeg)).epsilon(0.09));  // of each by itself
    if (angle > 35) CHECK(radius(24.9) == Approx(radius(25.1)).epsilon(0.25));
  }
}

TEST_CASE("a corner beside which the way hardly turns is no curve, and a slight curve is no tighter than a corner") {
  // As long as the others turn no more than a straight beside it may.
  CHECK(trace_shape(network_of({drawn({0, 0}, 0, {100, 12, 100}, {40, 4})}), {}).bends_of(ArcId{0})[0].radius_m == 30.0);
  const Line kink = drawn({0, 0}, 0, {100, 12, 100}, {20, 4.9}), curve = drawn({0, 0}, 0, {100, 12, 100}, {20, 5.1});
  const double cap = 30.0 * (1.0 / std::cos(15 * kDeg) - 1.0);
  CHECK(trace_shape(network_of({kink}), {}).bends_of(ArcId{0})[0].radius_m ==
        Approx(cap / (1.0 / std::cos(10 * kDeg) - 1.0)));
  const Bend slight = trace_shape(network_of({curve}), {}).bends_of(ArcId{0})[0];
  CHECK(slight.curve);
  CHECK(slight.radius_m == Approx(cap / (1.0 / std::cos(12.55 * kDeg) - 1.0)));
  CHECK(only_bend(drawn({0, 0}, 0, {100, 6, 100}, {20, 20})).radius_m == Approx(12.6 / (40 * kDeg)));  // 40° and more
  // In between by how much of a corner it is: half of the way from 12.6 m over 55° to the fillet.
  const Bend between =
      trace_shape(network_of({drawn({0, 0}, 0, {100, 6, 100}, {45, 10 * 1.125})}), {}).bends_of(ArcId{0})[0];
  CHECK(between.radius_m == Approx(0.5 * (30.0 + 12.6 / (56.25 * kDeg))));
}

TEST_CASE("a vertex that noise has drawn to the other hand does not end a curve") {
  Line line = arc_between_straights(120, 5, 12, 100);
  const double whole = only_bend(line).radius_m;
  CHECK(whole == Approx(120).epsilon(0.01));
  // The sixth vertex of the arc 0.86 m nearer to its centre, 0.4 m beyond the chord: there the line bends left.
  const LocalXY centre{120, 0}, inward = centre - line[6];
  line[6] = line[6] + inward * (0.86 / 120.0);
  CHECK(deflection(heading(line[5], line[6]), heading(line[6], line[7])).value() < 0.0);
  const auto curves = [&] {
    std::vector<Bend> out;
    const Shape shape = trace_shape(network_of({line}), {});
    for (const Bend& b : shape.bends_of(ArcId{0}))
      if (b.curve) out.push_back(b);
    return out;
  };
  REQUIRE(curves().size() == 1);
  CHECK(curves()[0].angle_rad == Approx(60 * kDeg));
  CHECK(curves()[0].radius_m == Approx(whole).epsilon(0.1));
  line[6] = line[6] + inward * (2.0 / 120.0);  // more than noise
  CHECK(curves().size() == 2);
}

TEST_CASE("too much turning under the steering limit is a tight drawing where only sharp vertices make it so") {
  // 114° over some 24 m, as real fields draw the way out of a stand.
  const Bend sharp = only_bend(drawn({0, 0}, 0, {100, 6, 8, 5, 100}, {25, 41, 27, 23}));
  CHECK(sharp.tight_drawing);
  CHECK_FALSE(sharp.refused);
  const Bend round = only_bend(drawn({0, 0}, 0, {100, 3.5, 3.5, 3.5, 3.5, 3.5, 100}, {20, 20, 20, 20, 20, 20}));
  CHECK(round.drawn_radius_m < 13.0);
  CHECK(round.refused);
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
