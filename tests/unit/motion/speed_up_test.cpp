// Speeding up after a turn: all of it is paid for once, whatever lies ahead.
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

LocalXY ahead(LocalXY from, double heading_deg, double metres) {
  return from + LocalXY{std::sin(heading_deg * kDegree), std::cos(heading_deg * kDegree)} * metres;
}

/// 300 m north, a corner of 90°, `gap_m` on a bend of `bend_deg`, 400 m.
double corner_then_bend_kg(double gap_m, double bend_deg) {
  const LocalXY corner{0, 300}, bend = ahead(corner, 90, gap_m);
  const auto net = draw_way({{{0, 0}}, {corner}, {bend}, {ahead(bend, 90 + bend_deg, 400)}});
  const auto shape = shape_for(net, {}, {});
  return CostTable(net, shape, {}, kBoth, {}).arc(ArcId{0}).fuel_kg;
}

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
