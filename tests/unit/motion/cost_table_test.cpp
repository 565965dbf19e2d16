#include "solotaxi/motion/cost_table.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "drawn_way.hpp"

using namespace solotaxi;
using namespace solotaxi::motion;
using namespace solotaxi::test;
using network::ArcId;
using network::LineKind;

namespace {

const aircraft::Aircraft kTwin;
constexpr aircraft::RunningSet kLeft{1}, kRight{2}, kBoth{3};
const double kTaxi = knots(20).value();
using Words = std::vector<std::string>;

/// Network, shape and table that live together.
struct Field {
  network::Network net;
  Conditions conditions;
  network::Shape shape;
  explicit Field(network::Network n, Conditions c = {})
      : net(std::move(n)), conditions(c), shape(shape_for(net, kTwin, c)) {}
  [[nodiscard]] CostTable table(aircraft::RunningSet set) const { return {net, shape, kTwin, set, conditions}; }
};

/// East along a straight of a grade, cut at the middle.
network::Network straight(double length_m, double grade = 0.0, LineKind kind = LineKind::taxiway) {
  return draw_way({{{0, 0}, 0}, {{length_m / 2, 0}, grade * length_m / 2, true}, {{length_m, 0}, grade * length_m}}, kind);
}

/// East, then a corner to the right (south), both sides of this length.
network::Network corner(double side_m, double grade = 0.0) {
  return draw_way({{{0, 0}, 0}, {{side_m, 0}, grade * side_m, true}, {{side_m, -side_m}, 2 * grade * side_m}});
}

}  // namespace

TEST_CASE("a level straight costs its length over the place's speed at the steady flow") {
  const Field f(straight(1000));
  const CostTable both = f.table(kBoth), left = f.table(kLeft);
  const double length = f.net.segments[0].length_m;
  CHECK(both.arc(ArcId{0}).time_s == Approx(length / kTaxi));
  // 602 and 536 kg/h [S:MODEL-CALC].
  CHECK(both.arc(ArcId{0}).fuel_kg == Approx(602.0 / 3600 * length / kTaxi).epsilon(1e-3));
  CHECK(left.arc(ArcId{0}).fuel_kg == Approx(536.0 / 3600 * length / kTaxi).epsilon(1e-3));
  CHECK(left.standing_flow_kg_s() * 3600 == Approx(411).margin(0.5));
  // A node where the line runs straight on adds nothing.
  const TurnCost& on = left.movement(movement_between(f.net, ArcId{0}, ArcId{2}));
  CHECK(on.cost.time_s == 0.0);
  CHECK(on.cost.fuel_kg == 0.0);
  CHECK(on.place.verdict == Verdict::standing);
}

TEST_CASE("steady taxiing reproduces the published time-only formula for one-engine fuel") {
  // Zhang, Huang, Liu & Li, Sustainability 2019, 11(21):6110 [S:ZHANG2019]: N = 2, f = 0.113 kg/s, T = 20 min: 271.20 kg on
  // all engines, 169.50 kg with one for 15 min and all for 5; with a 110 kg/h APU over the one-engine time 74.20 kg are
  // saved.
  aircraft::Aircraft a;
  a.idle_thrust_share = 0.07;
  a.n1_limit_pct = a.idle_n1_pct;
  a.apu_run_kg_h = 0;
  Conditions c;
  c.n1_limit_pct = a.idle_n1_pct;
  check_ranges(a);
  check_ranges(c, a);
  const auto net = straight(2 * kTaxi * 60);  // each arc one minute
  const auto shape = shape_for(net, a, c);
  const double all = CostTable(net, shape, a, kBoth, c).arc(ArcId{0}).fuel_kg;
  const double one = CostTable(net, shape, a, kLeft, c).arc(ArcId{0}).fuel_kg;
  CHECK(20 * all == Approx(271.20).epsilon(1e-4));
  CHECK(15 * one + 5 * all == Approx(169.50).epsilon(1e-4));
  // Saved of the whole: 25 % of 10 min, 37.5 % of 20 min, 40.385 % of 26 min.
  for (const auto& [minutes, saved] : {std::pair{10.0, 0.25}, {20.0, 0.375}, {26.0, 0.40385}})
    CHECK((minutes - 5) * (all - one) / (minutes * all) == Approx(saved).margin(1e-5));
  a.apu_run_kg_h = 110;
  const double with_apu = CostTable(net, shape, a, kLeft, c).arc(ArcId{0}).fuel_kg;
  CHECK(20 * all - 15 * with_apu - 5 * all == Approx(74.20).epsilon(1e-3));
  // N = 4 with two kept, f = 0.255: 1224.0 and 765.0 kg.
  a.engine_arms_m = {-20, -11, 11, 20};
  a.flow_7_kg_s = 0.255;
  a.flow_30_kg_s = 0.8;
  a.apu_run_kg_h = 0;
  const double four = CostTable(net, shape, a, {15}, c).arc(ArcId{0}).fuel_kg;
  const double two = CostTable(net, shape, a, {9}, c).arc(ArcId{0}).fuel_kg;
  CHECK(20 * four == Approx(1224.0).epsilon(1e-4));
  CHECK(15 * two + 5 * four == Approx(765.0).epsilon(1e-4));
}

TEST_CASE("an auxiliary power unit may burn more than a small engine left off saves") {
  // Engine 1AS001 [S:DATABANK] with the unit of business and regional aircraft, 101 kg/h [S:DOC9889]: 0.0041 kg/s are lost.
  aircraft::Aircraft a;
  a.thrust_rated_n = 15600;
  a.flow_7_kg_s = 0.024;
  a.flow_30_kg_s = 0.067;
  a.idle_thrust_share = 0.07;
  a.n1_limit_pct = a.idle_n1_pct;
  a.apu_run_kg_h = 101;
  check_ranges(a);
  Conditions c;
  c.n1_limit_pct = a.idle_n1_pct;
  const auto net = straight(2 * kTaxi);  // each arc one second
  const auto shape = shape_for(net, a, c);
  const double all = CostTable(net, shape, a, kBoth, c).arc(ArcId{0}).fuel_kg;
  CHECK(CostTable(net, shape, a, kLeft, c).arc(ArcId{0}).fuel_kg - all == Approx(0.0041).margin(5e-5));
}

TEST_CASE("speed belongs to the kind of place and to a posted limit") {
  const std::pair<LineKind, double> kinds[] = {{LineKind::taxiway, 20},
                                               {LineKind::runway, 20},
                                               {LineKind::taxilane, 10},
                                               {LineKind::stand_line, 5},
                                               {LineKind::connector, 5}};
  for (const auto& [kind, kt] : kinds) {
    CHECK(Field(straight(400, 0, kind)).table(kBoth).speed_mps(ArcId{0}) == Approx(knots(kt).value()));
    auto posted = straight(400, 0, kind);
    posted.segments[0].speed_limit = knots(8);
    CHECK(Field(posted).table(kBoth).speed_mps(ArcId{1}) == Approx(knots(std::min(8.0, kt)).value()));
    posted.segments[0].speed_limit = knots(30);
    CHECK(Field(posted).table(kBoth).speed_mps(ArcId{0}) == Approx(knots(kt).value()));
  }
}

TEST_CASE("entering a slower arc is braked for, and leaving it is sped up from") {
  auto net = straight(2000);
  net.segments[1].speed_limit = knots(10);
  const Field f(net);
  const CostTable both = f.table(kBoth);
  const double slow = knots(10).value(), gap = kTaxi - slow;
  const Cost in = both.movement(movement_between(f.net, ArcId{0}, ArcId{2})).cost;
  CHECK(in.time_s == Approx(gap * gap / (2 * 0.8 * kTaxi)));
  CHECK(in.fuel_kg == Approx(in.time_s * both.standing_flow_kg_s()));
  const Cost out = both.movement(movement_between(f.net, ArcId{3}, ArcId{1})).cost;
  CHECK(out.time_s == Approx(gap * gap / (2 * 0.3 * kTaxi)));
  CHECK(out.fuel_kg > 0.0);
}

TEST_CASE("a corner adds bend, braking and speeding up exactly") {
  const Field f(corner(1000));
  const CostTable left = f.table(kLeft);
  const std::size_t m = movement_between(f.net, ArcId{0}, ArcId{2});
  const network::Bend& bend = f.shape.movement[m];
  REQUIRE(bend.radius_m == Approx(30).epsilon(1e-6));
  REQUIRE(bend.angle_rad == Approx(std::acos(0.0)).epsilon(1e-4));
  const TurnCost& turn = left.movement(m);
  // Worked by hand from the model: right turn, left engine, so away from it.
  const double slow = knots(10).value(), tau = 30.0, force = 60000 * 9.80665 * 0.015, factor = 0.8256;
  CHECK(turn.speed_mps == Approx(slow));  // 90° is over 60°
  CHECK(turn.thrust_factor == Approx(factor).epsilon(1e-4));
  const auto flow = [](double thrust) { return 0.113 + 0.225 * (thrust / 117000 - 0.07) / 0.23 + 110.0 / 3600; };
  const double a = (4 * 4680.0 - force) / 60000, gap = kTaxi - slow;
  const double bend_time = 2 * tau * (1 / slow - 1 / kTaxi);
  const double bend_fuel = 2 * tau * (flow(force * factor) / slow - flow(force) / kTaxi);
  const double brake_time = gap * gap / (2 * 0.8 * kTaxi), up_time = gap * gap / (2 * a * kTaxi);
  const double up_fuel = flow(4 * 4680.0) * gap / a - flow(force) * (gap / a - up_time);
  CHECK(turn.cost.time_s == Approx(bend_time + brake_time + up_time).epsilon(1e-4));
  CHECK(turn.cost.fuel_kg == Approx(bend_fuel + brake_time * flow(4680) + up_fuel).epsilon(1e-4));
  // The other way round is a left turn, toward the left engine.
  const TurnCost& toward = left.movement(movement_between(f.net, ArcId{3}, ArcId{1}));
  CHECK(toward.thrust_factor == Approx(1.2677).epsilon(1e-4));
  CHECK(toward.place.verdict == Verdict::rolling);
  CHECK(words(toward.place.reasons) == Words{"turn toward the running engine"});
  CHECK(toward.cost.fuel_kg > turn.cost.fuel_kg);
}

TEST_CASE("speed is not regained where the way to the next corner is too short") {
  const auto zigzag = [](double leg) {
    return Field(draw_way({{{0, 0}, 0}, {{1000, 0}, 0, true}, {{1000, -leg}, 0, true}, {{2000, -leg}, 0}}));
  };
  const Field near = zigzag(80), far = zigzag(900);
  const std::size_t m = movement_between(near.net, ArcId{0}, ArcId{2});
  const CostTable both = near.table(kBoth);
  const double slow = both.movement(m).speed_mps, way = near.net.segments[1].length_m - near.shape.movement[m].zone_after_m;
  const double high = std::sqrt(slow * slow + 2 * 0.3 * way), gap = high - slow;
  REQUIRE(high < kTaxi);
  const double tau = near.shape.movement[m].zone_before_m + near.shape.movement[m].zone_after_m;
  CHECK(both.movement(m).cost.time_s ==
        Approx(tau * (1 / slow - 1 / kTaxi) + std::pow(kTaxi - slow, 2) / (2 * 0.8 * kTaxi) + gap * gap / (2 * 0.3 * high) +
               way * (1 / high - 1 / kTaxi)));
  CHECK(far.table(kBoth).movement(m).cost.time_s > 0.0);
}

TEST_CASE("the legs of a curve are driven at its speed, and its ends charged once each") {
  // A quarter circle of radius 60 m in chords of 9°, between straights.
  std::vector<WayPoint> points = {{{-800, 0}, 0}, {{0, 0}, 0}};
  for (int i = 1; i <= 10; ++i) {
    const double t = i * std::acos(0.0) / 10;
    points.push_back({{60 * std::sin(t), 60 * (std::cos(t) - 1)}, 0});
  }
  points.push_back({{60, -860}, 0});
  const Field f(draw_way(points));
  const auto bends = f.shape.bends_of(ArcId{0});
  REQUIRE(bends.size() == 1);
  REQUIRE(bends[0].curve);
  REQUIRE(bends[0].curve_begins);
  REQUIRE(bends[0].curve_ends);
  const CostTable both = f.table(kBoth);
  const double slow = knots(10).value(), gap = kTaxi - slow;  // 90° in all: over 60°
  const double legs = bends[0].to_m - bends[0].from_m, tau = bends[0].zone_before_m + bends[0].zone_after_m;
  const double length = f.net.segments[0].length_m;
  CHECK(legs == Approx(2 * 10 * 60 * std::sin(std::acos(0.0) / 20)).epsilon(1e-3));
  CHECK(both.arc(ArcId{0}).time_s == Approx((length - legs) / kTaxi + legs / slow + tau * (1 / slow - 1 / kTaxi) +
                                            gap * gap / (2 * 0.8 * kTaxi) + gap * gap / (2 * 0.3 * kTaxi)));
  CHECK(both.arc(ArcId{1}).time_s == Approx(both.arc(ArcId{0}).time_s));
  // The way back is left-handed, toward the left engine, all along the legs.
  const CostTable left = f.table(kLeft);
  CHECK(left.bend(0).thrust_factor == Approx(0.9107).epsilon(1e-3));  // 60 m away [S:MODEL-CALC]
  CHECK(left.bend(1).thrust_factor == Approx(1.1087).epsilon(1e-3));  // 60 m toward
  const double straight_room = 1 + left.arc_verdict(ArcId{0}).margin;
  CHECK(1 + left.arc_verdict(ArcId{1}).margin == Approx(straight_room / left.bend(1).thrust_factor));
  CHECK(left.arc(ArcId{1}).fuel_kg > left.arc(ArcId{0}).fuel_kg);
}

TEST_CASE("starting from rest and stopping are changes of speed from and to nought") {
  const Field f(straight(4000));
  const CostTable both = f.table(kBoth);
  const Cost start = both.start_from_rest(ArcId{0}), stop = both.stop(ArcId{2});
  CHECK(start.time_s == Approx(kTaxi / (2 * 0.3)));
  CHECK(start.fuel_kg > start.time_s * both.standing_flow_kg_s());
  CHECK(stop.time_s == Approx(kTaxi / (2 * 0.8)));
  CHECK(stop.fuel_kg == Approx(stop.time_s * both.standing_flow_kg_s()));
}

TEST_CASE("a symmetric pair of four engines turns alike to both hands, an outer engine does not") {
  aircraft::Aircraft four;
  four.engine_arms_m = {-16, -8, 8, 16};
  four.wheelbase_m = 14;
  const Conditions c;
  const auto net = draw_way({{{0, 0}, 0}, {{600, 0}, 0, true}, {{600, -600}, 0}});
  const auto shape = shape_for(net, four, c);
  const std::size_t right = movement_between(net, ArcId{0}, ArcId{2}), left = movement_between(net, ArcId{3}, ArcId{1});
  const CostTable outer(net, shape, four, {9}, c), one(net, shape, four, {1}, c), every(net, shape, four, {15}, c);
  CHECK(outer.movement(right).thrust_factor == 1.0);
  CHECK(outer.movement(left).cost.fuel_kg == Approx(outer.movement(right).cost.fuel_kg));
  CHECK(one.movement(left).thrust_factor > 2.0);  // 1 / (1 - 16 / √(30² - 14²))
  CHECK(one.movement(right).thrust_factor < 1.0);
  CHECK(every.standing_flow_kg_s() > outer.standing_flow_kg_s());
  CHECK(outer.running_set() == aircraft::RunningSet{9});
}

TEST_CASE("an uphill arc is judged uphill only in its uphill direction") {
  const Field f(straight(1000, 0.01));
  const CostTable left = f.table(kLeft);
  CHECK(left.arc_verdict(ArcId{0}).verdict == Verdict::rolling);
  CHECK(words(left.arc_verdict(ArcId{0}).reasons) == Words{"grade"});
  CHECK(left.arc_verdict(ArcId{1}).verdict == Verdict::standing);
  CHECK(left.arc(ArcId{0}).fuel_kg > left.arc(ArcId{1}).fuel_kg);
  CHECK(left.movement(movement_between(f.net, ArcId{0}, ArcId{2})).place.verdict == Verdict::rolling);
}

TEST_CASE("a movement between two grades is judged on their mean") {
  const Field f(draw_way({{{0, 0}, 0}, {{500, 0}, 10, true}, {{1000, 0}, 10}}));  // 2 %, then level: mean 1 %
  const std::size_t m = movement_between(f.net, ArcId{0}, ArcId{2});
  CHECK(f.table(kLeft).arc_verdict(ArcId{0}).verdict == Verdict::all);
  CHECK(f.table(kLeft).movement(m).place.verdict == Verdict::rolling);
}

TEST_CASE("an unknown grade burns as the level and is judged cautiously, either way, by the spread stated") {
  auto net = straight(1000);
  for (auto& s : net.segments) {
    for (auto& k : s.profile) k.height_m = std::numeric_limits<double>::quiet_NaN();
    s.grade_sd = {0.015};
  }
  const Field unknown(net), level(straight(1000));
  for (const ArcId a : {ArcId{0}, ArcId{1}}) {
    CHECK(unknown.table(kLeft).arc(a).fuel_kg == Approx(level.table(kLeft).arc(a).fuel_kg));
    CHECK(unknown.table(kLeft).arc_verdict(a).verdict == Verdict::all);
    CHECK(words(unknown.table(kLeft).arc_verdict(a).reasons) == Words{"unknown grade"});
    CHECK(unknown.table(kBoth).arc_verdict(a).verdict == Verdict::standing);
  }
  Conditions trusting;
  trusting.unknown_grade_sigmas = 0;
  CHECK(Field(net, trusting).table(kLeft).arc_verdict(ArcId{0}).verdict == Verdict::standing);
}

TEST_CASE("a centreline that is closed, too narrow or limited to smaller wings is blocked both ways") {
  const auto verdict = [](auto change) {
    auto net = straight(400);
    change(net.segments[0]);
    const Field f(net);
    const CostTable both = f.table(kBoth);
    CHECK(both.arc_verdict(ArcId{0}).verdict == both.arc_verdict(ArcId{1}).verdict);
    CHECK(both.start_zone(ArcId{0}).verdict == both.arc_verdict(ArcId{0}).verdict);
    const bool blocked = both.arc_verdict(ArcId{0}).verdict == Verdict::blocked;
    if (blocked) CHECK(words(both.arc_verdict(ArcId{0}).reasons) == Words{"closed to this aircraft"});
    return blocked;
  };
  CHECK(verdict([](network::Segment& s) { s.closed = true; }));
  CHECK(verdict([](network::Segment& s) { s.width = 8.8_m; }));
  CHECK_FALSE(verdict([](network::Segment& s) { s.width = 9.0_m; }));
  CHECK(verdict([](network::Segment& s) { s.wingspan_limit = 35.7_m; }));
  CHECK_FALSE(verdict([](network::Segment& s) { s.wingspan_limit = 35.8_m; }));
}

TEST_CASE("stretches cut an arc into equal parts and join what has one verdict") {
  // 450 m: level, but 2 % in the fourth fifth.
  const Field f(draw_way({{{0, 0}, 0}, {{270, 0}, 0}, {{360, 0}, 1.8}, {{450, 0}, 1.8}}));
  const auto parts = f.table(kLeft).stretches(ArcId{0});
  REQUIRE(parts.size() == 3);
  CHECK(parts[0].place.verdict == Verdict::standing);
  CHECK(parts[1].place.verdict == Verdict::all);
  CHECK(parts[2].place.verdict == Verdict::standing);
  CHECK(parts[1].from_m == Approx(270).epsilon(1e-4));
  CHECK(parts[1].to_m == Approx(360).epsilon(1e-4));
  CHECK(parts[2].to_m == f.net.segments[0].length_m);
  CHECK(f.table(kBoth).stretches(ArcId{0}).size() == 1);
}

TEST_CASE("the start zone looks no farther than the way driven first") {
  const Field f(draw_way({{{0, 0}, 0}, {{40, 0}, 0}, {{140, 0}, 2}}));
  const CostTable left = f.table(kLeft);
  CHECK(left.start_zone(ArcId{0}).verdict == Verdict::standing);  // 30 m of 40 level ones
  CHECK(left.start_zone(ArcId{0}, 41).verdict == Verdict::all);
  CHECK(left.start_zone(ArcId{0}, 5000).verdict == left.arc_verdict(ArcId{0}).verdict);
}

TEST_CASE("a turn-round is made at the steering limit away from the running engine, else to the right") {
  const Field f(straight(2000, 0.0, LineKind::runway));
  CHECK(f.table(kLeft).turn_round(ArcId{0}).side == 1.0);
  CHECK(f.table(kRight).turn_round(ArcId{0}).side == -1.0);
  const auto both = f.table(kBoth).turn_round(ArcId{0});
  CHECK(both.side == 1.0);
  const double radius = 12.6 / std::sin(Radians::degrees(75).value()), v = knots(5).value(), gap = kTaxi - v;
  CHECK(both.radius_m == Approx(radius));
  CHECK(both.turn.place.verdict == Verdict::standing);
  CHECK(both.turn.cost.time_s ==
        Approx(std::acos(-1.0) * radius / v + gap * gap / (2 * 0.8 * kTaxi) + gap * gap / (2 * 0.3 * kTaxi)));
  CHECK(f.table(kLeft).turn_round(ArcId{0}).turn.place.verdict == Verdict::standing);
  CHECK(f.table(kLeft).turn_round(ArcId{0}).turn.thrust_factor < 1.0);
}

TEST_CASE("a tight drawing is judged at its milder radius, and beside it at the steering limit") {
  // A right angle drawn as two vertices 6 m apart: about 45° on a radius of 7 m, under the steering limit of 13 m.
  const Field f(draw_way({{{-300, 0}, 0}, {{0, 0}, 0}, {{4.2, -4.2}, 0}, {{4.2, -300}, 0}}));
  const auto bends = f.shape.bends_of(ArcId{0});
  REQUIRE_FALSE(bends.empty());
  REQUIRE(bends[0].tight_drawing);
  const CostTable left = f.table(kLeft), right = f.table(kRight);
  CHECK(left.bend(0).thrust_factor == 1.0);  // away, but thrust is not taken below F
  CHECK(right.bend(0).thrust_factor > 1.0);
  CHECK(right.bend(0).place.verdict == Verdict::rolling);
  CHECK(right.bend_at_limit(0).verdict == Verdict::all);
  // It is driven as what steering just allows, so that the drawing's last half metre decides nothing.
  CHECK(left.bend(0).speed_mps == Approx(std::sqrt(0.133 * 9.80665 * 12.6 / std::sin(75 * std::acos(-1.0) / 180))));
  Conditions limit;
  limit.tight_at_limit = true;
  const Field strict(f.net, limit);
  CHECK(strict.table(kRight).bend(0).place.verdict == Verdict::all);
  CHECK(strict.table(kRight).arc_verdict(ArcId{0}).verdict == Verdict::all);
}
