// Properties of costs over whole ways and fields drawn at random.
#include <catch2/catch.hpp>
#include <rapidcheck.h>

#include <cmath>
#include <random>

#include "drawn_way.hpp"

using namespace solotaxi;
using namespace solotaxi::motion;
using namespace solotaxi::test;
using network::ArcId;

namespace {

const aircraft::Aircraft kTwin;
constexpr aircraft::RunningSet kLeft{1}, kRight{2}, kBoth{3};

/// A wandering way of straights, corners and curves over uneven ground; mean grades up to 2 %.
std::vector<WayPoint> random_way(std::mt19937_64& random, double hilliness = 0.02) {
  std::vector<WayPoint> way = {{{0, 0}, 0, true}};
  double heading = 0.0;
  const auto pieces = random_int(random, 2, 12);
  for (std::int64_t i = 0; i < pieces; ++i) {
    const auto kind = random_int(random, 0, 3);
    const double hand = random_unit(random) < 0.5 ? -1.0 : 1.0;
    const std::int64_t steps = kind == 0 ? random_int(random, 3, 8) : 1;
    const double most[] = {0.15, 1.4, 0.05, 0.0};
    const double turn = kind == 0 ? most[0] : most[kind] * random_unit(random);
    for (std::int64_t s = 0; s < steps; ++s) {
      heading += hand * turn;
      const double length = kind == 0 ? 8.0 + 8.0 * random_unit(random) : 40.0 + 250.0 * random_unit(random);
      const WayPoint& last = way.back();
      const double grade = hilliness * (2.0 * random_unit(random) - 1.0);
      way.push_back({{last.at.x_m + length * std::cos(heading), last.at.y_m + length * std::sin(heading)},
                     last.height_m + grade * length,
                     random_unit(random) < 0.3});
    }
  }
  return way;
}

Conditions random_conditions(std::mt19937_64& random) {
  Conditions c;
  c.mass_kg = static_cast<double>(random_int(random, 42000, 79000));
  if (random_unit(random) < 0.3) c.surface = Surface::wet;
  return c;
}

Cost cost_of(const network::Network& net, aircraft::RunningSet set, const Conditions& c, bool forward = true) {
  const auto shape = shape_for(net, kTwin, c);
  return way_cost(net, CostTable(net, shape, kTwin, set, c), forward);
}

// A turn takes the straight's flow off on the mean grade of both sides, the arcs charge it piece by piece; where grades
// change by several per cent at a bend this may leave a trace.
constexpr double kTrace = 1e-4;

std::mt19937_64 generator() { return std::mt19937_64{*rc::gen::arbitrary<std::uint64_t>()}; }

}  // namespace

TEST_CASE("dividing segments changes no cost of a way") {
  CHECK(rc::check("division", [] {
    auto random = generator();
    const auto way = random_way(random);
    const Conditions c = random_conditions(random);
    std::vector<WayPoint> divided;
    for (const WayPoint& point : way) {
      if (!divided.empty() && random_unit(random) < 0.5) {
        const WayPoint& last = divided.back();
        const double share = 0.05 + 0.9 * random_unit(random);
        divided.push_back({last.at + (point.at - last.at) * share,
                           last.height_m + (point.height_m - last.height_m) * share,
                           true});
      }
      divided.push_back(point);
      if (random_unit(random) < 0.5) divided.back().node = true;
    }
    for (const auto set : {kBoth, kLeft}) {
      const Cost whole = cost_of(draw_way(way), set, c), parts = cost_of(draw_way(divided), set, c);
      RC_ASSERT(std::abs(whole.time_s - parts.time_s) <= 1e-5 * whole.time_s);
      RC_ASSERT(std::abs(whole.fuel_kg - parts.fuel_kg) <= 1e-5 * whole.fuel_kg);
    }
  }));
}

TEST_CASE("a mirrored field costs the other engine the same") {
  CHECK(rc::check("mirror", [] {
    auto random = generator();
    auto way = random_way(random);
    const Conditions c = random_conditions(random);
    const Cost left = cost_of(draw_way(way), kLeft, c);
    for (WayPoint& point : way) point.at.y_m = -point.at.y_m;
    const Cost right = cost_of(draw_way(way), kRight, c);
    RC_ASSERT(std::abs(left.time_s - right.time_s) <= 1e-6 * left.time_s);
    RC_ASSERT(std::abs(left.fuel_kg - right.fuel_kg) <= 1e-6 * left.fuel_kg);
  }));
}

TEST_CASE("fuel of a way never falls with mass, nor when all of it is tilted uphill") {
  CHECK(rc::check("monotone", [] {
    auto random = generator();
    auto way = random_way(random);
    Conditions c = random_conditions(random);
    const auto set = random_unit(random) < 0.5 ? kBoth : kLeft;
    const double fuel = cost_of(draw_way(way), set, c).fuel_kg;
    Conditions heavier = c;
    heavier.mass_kg = static_cast<double>(random_int(random, static_cast<std::int64_t>(c.mass_kg), 79000));
    RC_ASSERT(cost_of(draw_way(way), set, heavier).fuel_kg >= fuel * (1 - kTrace));
    const double tilt = 0.01 * random_unit(random);
    double run = 0.0;
    LocalXY last = way.front().at;
    for (WayPoint& point : way) {
      run += std::hypot(point.at.x_m - last.x_m, point.at.y_m - last.y_m);
      last = point.at;
      point.height_m += tilt * run;
    }
    RC_ASSERT(cost_of(draw_way(way), set, c).fuel_kg >= fuel * (1 - kTrace));
  }));
}

TEST_CASE("no arc and no movement has a negative or endless cost, and margins agree with verdicts") {
  CHECK(rc::check("costs", [] {
    auto random = generator();
    auto net = random_network(random);
    for (auto& s : net.segments) s.profile.back().height_m = 0.03 * s.length_m * (2 * random_unit(random) - 1);
    const Conditions c = random_conditions(random);
    const auto shape = shape_for(net, kTwin, c);
    for (const auto set : {kBoth, kLeft, kRight}) {
      const CostTable table(net, shape, kTwin, set, c);
      for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
        RC_ASSERT(table.arc(ArcId{a}).time_s > 0.0);
        RC_ASSERT(table.arc(ArcId{a}).fuel_kg > 0.0);
        RC_ASSERT(std::isfinite(table.arc(ArcId{a}).time_s + table.arc(ArcId{a}).fuel_kg));
        const PlaceVerdict& v = table.arc_verdict(ArcId{a});
        RC_ASSERT((v.verdict == Verdict::standing) == (v.reasons.bits == 0));
        if (v.verdict <= Verdict::rolling) RC_ASSERT(std::isnan(v.margin) || v.margin >= 0.1 - 1e-9);
        RC_ASSERT(v.probability >= 0.0 && v.probability <= 1.0);
        double reached = 0.0;
        for (const Stretch& s : table.stretches(ArcId{a})) {
          RC_ASSERT(s.from_m == reached);
          RC_ASSERT(s.place.verdict <= v.verdict);
          reached = s.to_m;
        }
        RC_ASSERT(reached == net.segment(ArcId{a}).length_m);
      }
      for (std::size_t m = 0; m < net.movements.size(); ++m) {
        const TurnCost& turn = table.movement(m);
        RC_ASSERT(turn.cost.time_s >= 0.0);
        RC_ASSERT(turn.cost.fuel_kg >= 0.0);
        RC_ASSERT(std::isfinite(turn.cost.time_s + turn.cost.fuel_kg));
        RC_ASSERT(turn.speed_mps > 0.0);
      }
    }
  }));
}
