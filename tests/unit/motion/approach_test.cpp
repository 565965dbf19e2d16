// Braking to a turn from the speed there is, and turns hard by each other.
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

/// 1,000 m, a corner of 90° to the right, a leg, one to the left, 1,000 m.
struct Zigzag {
  explicit Zigzag(double leg_m)
      : net(draw_way({{{0, 0}, 0}, {{1000, 0}, 0, true}, {{1000, -leg_m}, 0, true}, {{2000, -leg_m}, 0}})) {}
  network::Network net;
  network::Shape shape = shape_for(net, {}, {});
  CostTable both{net, shape, {}, kBoth, {}};
  std::size_t first = movement_between(net, ArcId{0}, ArcId{2}), second = movement_between(net, ArcId{2}, ArcId{4});
};

/// 300 m north, then legs after turns to the right, all one arc.
Cost way(const std::vector<double>& turns_deg, const std::vector<double>& legs_m) {
  std::vector<WayPoint> points{{{0, 0}}, {{0, 300}}};
  double heading_deg = 0.0;
  for (std::size_t i = 0; i < turns_deg.size(); ++i) {
    heading_deg += turns_deg[i];
    const LocalXY along{std::sin(heading_deg * kDegree), std::cos(heading_deg * kDegree)};
    points.push_back({points.back().at + along * legs_m[i]});
  }
  const auto net = draw_way(points);
  const auto shape = shape_for(net, {}, {});
  return CostTable(net, shape, {}, kBoth, {}).arc(ArcId{0});
}

}  // namespace

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
  const Cost corner = way({90}, {400});
  for (const double gap : {60.0, 70.0}) {
    INFO(gap);
    const Cost both = way({90, 22}, {gap, 400 - gap});
    CHECK(both.time_s == Approx(corner.time_s).epsilon(0.005));
    CHECK(both.fuel_kg == Approx(corner.fuel_kg).epsilon(0.005));
    CHECK(both.fuel_kg >= corner.fuel_kg);
  }
}
