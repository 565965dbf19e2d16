// The published time-only formula of one-engine taxi fuel, through the whole plan.
//
// Zhang, Huang, Liu & Li, Sustainability 2019, 11(21):6110 [S:ZHANG2019]: F_all = T N f, F_one = T n f + (N - n) f min(T,
// 5 min), n engines kept. Idle and limit thrust both 7 % make every flow the databank's 7 % flow, whatever the speed, and
// an acceleration that one engine reaches as well as all makes both plans last as long: then the formula holds to the
// metre at which START is set, 0.05 s of one flow, and needs no exception for speed changes.
#include <cmath>

#include "solotaxi/units/quantity.hpp"
#include "unit/planning/plan_fields.hpp"

using namespace solotaxi;
using namespace solotaxi::planning;
using namespace solotaxi::test;

namespace {

constexpr double kAcceleration = 0.05, kBraking = 0.8;

aircraft::Aircraft idling(int engines, double flow_kg_s) {
  aircraft::Aircraft a;
  a.engine_arms_m = engines == 2 ? std::vector<double>{-5.75, 5.75} : std::vector<double>{-11, -5.5, 5.5, 11};
  a.idle_thrust_share = 0.07;
  a.n1_limit_pct = a.idle_n1_pct;
  a.flow_7_kg_s = flow_kg_s;
  a.flow_30_kg_s = 3 * flow_kg_s;
  a.apu_no_load_kg_h = a.apu_run_kg_h = a.apu_start_kg_h = 0.0;
  a.start_s = 60;
  a.warm_up_s = 240;
  return a;
}

motion::Conditions plain(const aircraft::Aircraft& a) {
  motion::Conditions c;
  c.mass_kg = a.mass_min_kg;
  c.n1_limit_pct = a.n1_limit_pct;
  c.mu_rolling = 0.008;  // so that 7 % of one engine is enough; the fuel does not depend on it
  c.push_back_s = 0.0;
  c.acceleration_m_s2 = kAcceleration;
  c.braking_m_s2 = kBraking;
  return c;
}

/// A straight taxiway, in line with the runway, driven from rest to rest in so many seconds.
Plan plan_lasting(double seconds, const aircraft::Aircraft& a) {
  const double v = knots(20).value();
  const double length_m = v * (seconds - 0.5 * v / kAcceleration - 0.5 * v / kBraking);
  const Drawn f("a---------b--c", {"taxiway A: a b", "runway 09/27: b c"}, {.metres = length_m / 10});
  PlanRequest r = plan_request(f.node('a'), "runway:09");
  r.route.direction = routing::Direction::departure;
  return plan_of(f.net, a, plain(a), r);
}

}  // namespace

TEST_CASE("the published time-only formula holds through a whole plan") {
  struct Row {
    int engines;
    double flow_kg_s, minutes, all_kg, one_kg;
  };
  // From the formula; 271.20, 169.50, 1224.0 and 765.0 kg as published [S:ZHANG2019].
  for (const Row& row : {Row{2, 0.113, 20, 271.20, 169.50},
                         {2, 0.113, 10, 135.60, 101.70},
                         {2, 0.113, 26, 352.56, 210.18},
                         {4, 0.255, 20, 1224.0, 765.0}}) {
    INFO(row.engines << " engines, " << row.minutes << " min");
    const double flow_kept = row.flow_kg_s * row.engines / 2;
    const Plan plan = plan_lasting(row.minutes * 60, idling(row.engines, row.flow_kg_s));
    REQUIRE(plan.shown.one);
    CHECK(plan.reference.route.time_s == Approx(row.minutes * 60).margin(0.05));
    CHECK(plan.shown.route.time_s == Approx(row.minutes * 60).margin(0.05));
    CHECK(plan.reference.route.fuel_kg == Approx(row.all_kg).margin(0.1 * flow_kept));
    CHECK(plan.shown.route.fuel_kg == Approx(row.one_kg).margin(0.1 * flow_kept));
    // The search sets START at parts of 100 m, and so at most 10 s early; never late.
    const double part_s = 100.0 / knots(20).value();
    CHECK(plan.search.reference_kg == Approx(row.all_kg).margin(0.1 * flow_kept));
    CHECK(plan.search.minimum_kg >= row.one_kg - 0.1 * flow_kept);
    CHECK(plan.search.minimum_kg <= row.one_kg + part_s * flow_kept);
  }
}

TEST_CASE("the APU is taken from what the time-only formula saves") {
  aircraft::Aircraft a = idling(2, 0.113);
  a.apu_run_kg_h = 110;  // over the 15 min on one engine: 74.20 kg are left of 101.70 [S:ZHANG2019]
  const Plan plan = plan_lasting(1200, a);
  REQUIRE(plan.shown.one);
  CHECK(plan.saving_kg == Approx(74.20).margin(0.1 * 0.113));
}

TEST_CASE("a way of five minutes or less saves nothing by the time-only formula") {
  for (const double seconds : {200.0, 300.0}) {
    const Plan plan = plan_lasting(seconds, idling(2, 0.113));
    CHECK(plan.saving_kg <= 0.1 * 0.113);
    CHECK(plan.search.saving_kg <= 1e-6);
    CHECK(plan.search.reference_kg <= seconds * 2 * 0.113 + 100 * 2 * 0.113);
  }
}

TEST_CASE("an arrival on one engine pays for the APU's start before the shutdown, in the drive as in the search") {
  // The model charges apu_lead_s at no-load flow to the plan: 60 s at 77 kg/h are 1.283 kg.
  const Drawn f("a---------b--c", {"taxiway A: a b", "runway 09/27: b c"}, {.metres = 200});
  aircraft::Aircraft aircraft, silent;
  silent.apu_no_load_kg_h = 0.0;
  PlanRequest request = plan_request("runway:27", f.node('a'));
  request.route.direction = routing::Direction::arrival;
  for (const double since_s : {0.0, 60.0, 150.0, 180.0}) {
    CAPTURE(since_s);
    request.since_landing_s = since_s;
    const Plan with = plan_of(f.net, aircraft, {}, request), without = plan_of(f.net, silent, {}, request);
    REQUIRE(with.shown.one);
    REQUIRE(without.shown.one);
    const double start_kg = 60.0 * 77.0 / 3600.0;
    CHECK(with.shown.search_kg - without.shown.search_kg == Approx(start_kg).margin(1e-9));
    CHECK(with.shown.route.fuel_kg - without.shown.route.fuel_kg == Approx(start_kg).margin(1e-9));
    CHECK(with.saving_kg - without.saving_kg == Approx(-start_kg).margin(1e-9));
    CHECK(with.reference.route.fuel_kg == without.reference.route.fuel_kg);
    double legs_kg = 0.0, phases_kg = 0.0;
    for (const routing::Leg& leg : with.shown.route.legs) legs_kg += leg.fuel_kg;
    for (const PlanPhase& phase : with.shown.phases) phases_kg += phase.fuel_kg;
    CHECK(legs_kg == Approx(with.shown.route.fuel_kg));
    CHECK(phases_kg == Approx(with.shown.route.fuel_kg));
  }
}
