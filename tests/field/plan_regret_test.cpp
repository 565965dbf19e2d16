// The regret of the plan shown: how much more it burns, driven, than the best of many ways between the same places, each
// planned and driven for itself. Up to fifty ways are looked for with each engine; a field may not have so many.
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <iomanip>
#include <numeric>
#include <random>
#include <set>
#include <sstream>
#include <variant>
#include <vector>

#include "planning/drive_plan.hpp"
#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/io/raster.hpp"
#include "solotaxi/network/build.hpp"
#include "field/fields.hpp"
#include "support/random_network.hpp"
#include "support/shared.hpp"

using namespace solotaxi;
using namespace solotaxi::planning;

namespace {

constexpr std::size_t kWays = 50;
constexpr int kTries = 400;  // searches made to find them
constexpr double kDearer = 1.05, kDearest = 8.0;
constexpr double kSameCharge_kg = 1e-3;

struct Asked {
  const char *from, *to;
};

/// Everything a plan of one question is made of, laid open.
struct OpenPlan {
  aircraft::Aircraft aircraft;
  motion::Conditions conditions;
  PlanRequest request;
  routing::PartedNetwork parted;
  routing::Question q;

  OpenPlan(const network::Network& net, const motion::Conditions& c, const Asked& asked) : conditions(c) {
    request.route.from = routing::parse_place(asked.from);
    request.route.to = routing::parse_place(asked.to);
    request.route.objective = routing::Objective::fuel;
    using Kind = routing::Place::Kind;
    request.route.direction =
        request.route.to.kind == Kind::runway ? routing::Direction::departure : routing::Direction::arrival;
    parted = routing::network_in_parts(net, 100.0);
    q = routing::make_question(parted.network, aircraft, conditions, request.route);
  }
};

bool relies_on_speed(const DrivenPlan& plan) {
  return std::any_of(plan.sim.carried.begin(), plan.sim.carried.end(), [&](const motion::Carried& c) {
    return c.phase >= plan.phases.size() || plan.phases[c.phase].phase != Phase::all;
  });
}

struct Best {
  double one_kg = std::numeric_limits<double>::infinity();
  std::size_t ways = 0;
};

/// The best of many ways driven with ONE, over both engines.
Best best_of_many(OpenPlan& open, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  const auto& net = open.parted.network;
  const motion::CostTable all(net, open.q.shape, open.aircraft, aircraft::all_engines(open.aircraft), open.conditions);
  auto every = routing::on_every_engine(open.q, all, true);
  if (!every) every = routing::on_every_engine(open.q, all, false);
  REQUIRE(every);
  Best best;
  Barred barred;
  barred.arc.assign(net.arc_count(), 0);
  std::set<std::vector<network::ArcId>> known;
  for (const auto set : aircraft::sets_to_try(open.aircraft)) {
    const motion::CostTable one(net, open.q.shape, open.aircraft, set, open.conditions);
    const PhaseField field(open.q, every->attempt, one, all, barred, open.request);
    const PlannedWays exact = field.plan(0.0);
    if (!exact.with_one) continue;
    std::set<std::vector<network::ArcId>> ways;
    std::vector<double> used(net.arc_count(), 1.0);
    for (int t = 0; t < kTries && ways.size() < kWays; ++t) {
      // From small disturbances to ways that are another thing altogether; what is found already gets dearer.
      const double most = 4.0 * test::random_unit(random);
      std::vector<double> factor = used;
      if (t > 0)
        for (double& f : factor) f *= 1.0 + most * test::random_unit(random);
      const auto way = field.way_if_dearer(factor, 0.0);
      if (!way) break;
      for (const auto a : way->arcs) used[index(a)] = std::min(kDearest, used[index(a)] * kDearer);
      if (!ways.insert(way->arcs).second) continue;
      const PlannedWays on = field.plan_on(*way, 0.0);
      if (!on.with_one || on.with_one->charge_kg > exact.with_one->charge_kg + kSameCharge_kg) continue;
      // The cheapest plan found on a way can be no cheaper than the cheapest of all.
      CHECK(on.with_one->cost_kg >= exact.with_one->cost_kg - 1e-6);
      const DrivenPlan driven = drive_plan(open.q, field, *on.with_one, 0.0, open.request);
      if (driven.sim.stalled || !driven.one || relies_on_speed(driven)) continue;
      best.one_kg = std::min(best.one_kg, driven.route.fuel_kg);
    }
    known.insert(ways.begin(), ways.end());
  }
  best.ways = known.size();
  return best;
}

void check_regret(const std::string& name, const network::Network& net, const motion::Conditions& conditions,
                  const std::vector<Asked>& questions) {
  std::vector<double> regrets_pct;
  std::size_t ways = 0;
  for (const Asked& asked : questions) {
    INFO(name << " " << asked.from << " to " << asked.to);
    OpenPlan open(net, conditions, asked);
    const auto answer = make_plan(net, open.aircraft, conditions, open.request);
    REQUIRE(std::holds_alternative<Plan>(answer));
    const Plan& plan = std::get<Plan>(answer);
    if (!plan.shown.one) continue;
    const Best best = best_of_many(open, 1);
    ways += best.ways;
    const double least_kg = std::min(best.one_kg, plan.shown.route.fuel_kg);
    regrets_pct.push_back(100.0 * (plan.shown.route.fuel_kg / least_kg - 1.0));
    CHECK(regrets_pct.back() < 0.5);
  }
  REQUIRE(regrets_pct.size() >= 3);
  std::sort(regrets_pct.begin(), regrets_pct.end());
  std::ostringstream out;
  out << name << ": regret in % over " << regrets_pct.size() << " questions, " << ways << " ways planned:" << std::fixed
      << std::setprecision(3);
  for (const double r : regrets_pct) out << ' ' << r;
  WARN(out.str());
}

motion::Conditions level() {
  motion::Conditions c;
  c.unknown_grade_sigmas = 0.0;
  return c;
}

}  // namespace

TEST_CASE("LMML: the plan shown burns little more than the best of many ways driven") {
  const auto net = test::real_field("LMML");
  if (!net) return;
  check_regret("LMML", *net, level(),
               {{"stand:9#305068249", "runway:31"},
                {"stand:6#304190881", "runway:23"},
                {"stand:6#304190881", "runway:13"},
                {"stand:9#305068249", "runway:05"},
                {"runway:31", "stand:6#304190881"},
                {"runway:23", "stand:9#305068249"},
                {"stand:3#304190529", "runway:23"},
                {"stand:8#304190883", "runway:31"},
                {"stand:20", "runway:13"},
                {"stand:1#304769689", "runway:05"},
                {"stand:2#304919388", "runway:31"},
                {"stand:1#304956145", "runway:05"},
                {"stand:7#305068316", "runway:23"},
                {"stand:7#551501380", "runway:13"},
                {"stand:5#551504302", "runway:31"},
                {"runway:05", "stand:5#551504302"},
                {"runway:13", "stand:20"}});
}

TEST_CASE("EGNS: the plan shown burns little more than the best of many ways driven") {
  const auto net = test::real_field("EGNS");
  if (!net) return;
  check_regret("EGNS", *net, level(),
               {{"node:5", "runway:08"},
                {"node:5", "runway:26"},
                {"node:5", "runway:21"},
                {"node:5", "runway:03"},
                {"runway:26", "node:5"},
                {"runway:08", "node:5"}});
}

TEST_CASE("the demo field: the plan shown burns little more than the best of many ways driven") {
  check_regret("the demo field", test::demo_field(), {},
               {{"stand:1", "runway:09"},
                {"stand:5", "runway:27"},
                {"stand:21", "runway:14"},
                {"stand:21", "runway:27"},
                {"runway:27", "stand:5"},
                {"runway:09", "stand:21"},
                {"runway:32", "stand:1"}});
}
