// Speeding up after a turn and braking to the next: all of it is paid for once, whatever lies between.
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "drawn_way.hpp"

using namespace solotaxi;
using namespace solotaxi::motion;
using namespace solotaxi::test;
using network::ArcId;

namespace {

constexpr double kDegree = std::numbers::pi / 180.0;
constexpr aircraft::RunningSet kBoth{3};
const double kTaxi = knots(20).value(), kSharp = knots(10).value();

LocalXY ahead(LocalXY from, double heading_deg, double metres) {
  return from + LocalXY{std::sin(heading_deg * kDegree), std::cos(heading_deg * kDegree)} * metres;
}

/// 300 m north, a corner of 90°, `gap_m` on a bend of `bend_deg`, the rest of `after_m`.
Cost corner_then_bend(double gap_m, double bend_deg, double after_m) {
  const LocalXY corner{0, 300}, bend = ahead(corner, 90, gap_m);
  const auto net = draw_way({{{0, 0}}, {corner}, {bend}, {ahead(bend, 90 + bend_deg, after_m - gap_m)}});
  const auto shape = shape_for(net, {}, {});
  return CostTable(net, shape, {}, kBoth, {}).arc(ArcId{0});
}
double corner_then_bend_kg(double gap_m, double bend_deg) { return corner_then_bend(gap_m, bend_deg, gap_m + 400).fuel_kg; }

/// 1,000 m, a corner of 90° to the right, a leg, one to the left, 1,000 m.
struct Zigzag {
  explicit Zigzag(double leg_m)
      : net(draw_way({{{0, 0}, 0}, {{1000, 0}, 0, true}, {{1000, -leg_m}, 0, true}, {{2000, -leg_m}, 0}})) {}
  network::Network net;
  network::Shape shape = shape_for(net, {}, {});
  CostTable both{net, shape, {}, kBoth, {}};
  std::size_t first = movement_between(net, ArcId{0}, ArcId{2}), second = movement_between(net, ArcId{2}, ArcId{4});
};

/// Out of a curve of 48° to the right into a taxiway that comes from a branch and bends to the left twice by `bend_deg`.
Cost out_of_curve(double bend_deg) {
  const LocalXY start{0, 0}, a = ahead(start, 42, 200), b = ahead(a, 54, 8), c = ahead(b, 66, 8), node = ahead(c, 78, 8);
  const LocalXY bend = ahead(node, 90 - bend_deg, 40);
  const auto net = draw_network({start, node, ahead(node, -90, 200), ahead(bend, 90 - 2 * bend_deg, 400)},
                                {{0, 1, {a, b, c}}, {2, 1, {}}, {1, 3, {bend}}});
  const auto shape = shape_for(net, {}, {});
  const std::size_t m = movement_between(net, ArcId{0}, ArcId{4});
  CHECK(shape.movement[m].curve);
  CHECK(shape.bends_of(ArcId{4}).size() == (bend_deg > 0.0 ? 1U : 0U));
  return CostTable(net, shape, {}, kBoth, {}).movement(m).cost;
}

}  // namespace

TEST_CASE("a bend that hardly slows hardly changes the speeding up before it") {
  // 18.2° on long straights is flown on 83 m and holds nothing back from 20 kt, 18.6° on 79 m and holds back by 0.2 kt.
  for (const double gap_m : {60.0, 90.0, 150.0})
    CHECK(corner_then_bend_kg(gap_m, 18.6) == Approx(corner_then_bend_kg(gap_m, 18.2)).margin(0.1));
}

TEST_CASE("the speed lost in a corner is paid for though a milder bend follows before it is regained") {
  // Speeding up from 5.1 to 10.3 m/s takes 130 m at 0.3 m/s².
  for (const double gap_m : {60.0, 100.0, 140.0, 200.0})
    CHECK(corner_then_bend_kg(gap_m, 22.0) > corner_then_bend_kg(gap_m, 0.0));
}

TEST_CASE("out of a tight curve the speed is regained, also where the way ahead lies on a curve to the other hand") {
  const Cost free = out_of_curve(0.0), curved = out_of_curve(0.5);
  CHECK(free.fuel_kg > 2.0);
  CHECK(curved.fuel_kg == Approx(free.fuel_kg).epsilon(0.15));
  CHECK(curved.time_s == Approx(free.time_s).epsilon(0.15));
}

TEST_CASE("a second corner is braked to from the speed gathered since the first") {
  const Zigzag near(80);
  const network::Bend& bend = near.shape.movement[near.second];
  const double leg = near.net.segments[1].length_m - near.shape.movement[near.first].zone_after_m;
  const double gathered = std::sqrt(kSharp * kSharp + 2 * 0.3 * leg);
  REQUIRE(gathered < kTaxi);
  const double brake = gathered - kSharp, up = kTaxi - kSharp;
  CHECK(near.both.movement(near.second).speed_mps == Approx(kSharp));
  CHECK(near.both.movement(near.second).cost.time_s ==
        Approx(bend.zone_before_m * (1 / kSharp - 1 / gathered) + bend.zone_after_m * (1 / kSharp - 1 / kTaxi) +
               brake * brake / (2 * 0.8 * gathered) + up * up / (2 * 0.3 * kTaxi)));
  // After 900 m it is that of the arc.
  const Zigzag far(900);
  CHECK(far.both.movement(far.second).cost.time_s == Approx(far.both.movement(far.first).cost.time_s));
  CHECK(near.both.movement(near.second).cost.time_s < far.both.movement(far.second).cost.time_s);
}

TEST_CASE("what is gathered between turns hangs on neither mass nor engines") {
  const Zigzag way(80);
  Conditions light;
  light.mass_kg = 45000;
  const CostTable one(way.net, way.shape, {}, aircraft::RunningSet{1}, {}), less(way.net, way.shape, {}, kBoth, light);
  // Left turn, away from the right engine: its speed is that of comfort, and braking and zone are the same.
  CHECK(less.movement(way.second).cost.time_s == Approx(way.both.movement(way.second).cost.time_s));
  CHECK(one.movement(way.second).speed_mps == Approx(kSharp));
}

TEST_CASE("a turn faster than the speed there is costs next to nothing") {
  // 22° is flown at 8.6 m/s; 60 or 70 m after a corner of 90°, 30 m of them its own, some 7 m/s are reached.
  const Cost corner = corner_then_bend(200, 0, 400);
  for (const double gap : {60.0, 70.0}) {
    INFO(gap);
    const Cost both = corner_then_bend(gap, 22, 400);
    CHECK(both.time_s == Approx(corner.time_s).epsilon(0.005));
    CHECK(both.fuel_kg == Approx(corner.fuel_kg).epsilon(0.005));
    CHECK(both.fuel_kg >= corner.fuel_kg);
  }
}
