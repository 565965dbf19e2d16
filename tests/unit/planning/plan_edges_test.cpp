// Plans at the edges of what may be asked: nothing negative, nothing endless, START and warm-up kept to.
#include <cmath>
#include <cstdio>

#include "solotaxi/base/error.hpp"
#include "unit/planning/plan_fields.hpp"

using namespace solotaxi;
using namespace solotaxi::planning;
using namespace solotaxi::test;

namespace {

Drawn field(double metres = 130.0) { return two_ways({.metres = metres}, {"stand 3: n", "hold E1: k"}); }

void check_driven(const DrivenPlan& plan, const aircraft::Aircraft& a, const motion::Conditions& c, bool departure) {
  REQUIRE_FALSE(plan.sim.stalled);
  REQUIRE_FALSE(plan.phases.empty());
  double time_s = 0.0, fuel_kg = 0.0;
  for (const PlanPhase& p : plan.phases) {
    INFO("phase " << static_cast<int>(p.phase) << " " << p.from_m << " to " << p.to_m << " m " << p.time_s << " s");
    CHECK(p.time_s >= 0.0);
    CHECK(p.fuel_kg >= 0.0);
    CHECK(p.from_m <= p.to_m + 1e-6);
    if (departure && p.phase == Phase::start) CHECK(p.time_s >= a.start_s - 0.1);
    if (departure && p.phase == Phase::all) CHECK(p.time_s >= a.warm_up_s - 0.1);
    time_s += p.time_s;
    fuel_kg += p.fuel_kg;
  }
  if (departure) CHECK(plan.phases.back().phase == Phase::all);
  CHECK(time_s == Approx(plan.route.time_s));
  CHECK(fuel_kg == Approx(plan.route.fuel_kg));
  if (departure) CHECK(plan.route.push_back_s == c.push_back_s);
  for (const auto& leg : plan.route.legs) {
    CHECK(leg.time_s >= -1e-6);
    CHECK(leg.fuel_kg >= -1e-6);
  }
  for (std::size_t i = 1; i < plan.sim.samples.size(); ++i) {
    REQUIRE(plan.sim.samples[i].time_s >= plan.sim.samples[i - 1].time_s);
    REQUIRE(plan.sim.samples[i].fuel_kg >= plan.sim.samples[i - 1].fuel_kg);
  }
  CHECK(plan.probability >= 0.0);
  CHECK(plan.probability <= 1.0);
}

void check_plan(const Plan& plan, const aircraft::Aircraft& a, const motion::Conditions& c, double queue_s = 0.0) {
  const bool departure = plan.direction == routing::Direction::departure;
  {
    INFO("the plan shown");
    check_driven(plan.shown, a, c, departure);
  }
  {
    INFO("the reference");
    check_driven(plan.reference, a, c, departure);
  }
  CHECK_FALSE(plan.reference.one);
  if (departure) {
    CHECK(plan.reference.route.time_s >= c.push_back_s + queue_s - 0.1);
    CHECK(plan.shown.route.time_s >= c.push_back_s + queue_s - 0.1);
  }
  CHECK(std::isfinite(plan.saving_kg));
  CHECK(std::isfinite(plan.search.minimum_kg));
  for (const Sensitivity& s : plan.sensitivity) {
    INFO(s.what);
    if (s.saving_low_kg) CHECK(std::isfinite(*s.saving_low_kg));
    if (s.saving_high_kg) CHECK(std::isfinite(*s.saving_high_kg));
    // A value between both ends cannot be harder than the harder of them, and the plan shown holds with what was asked.
    if (s.what == "mass" || s.what == "rolling resistance") CHECK(s.verdict_low <= s.verdict_high);
  }
  for (const std::string& why : plan.why_not) CHECK(why.find("nan") == std::string::npos);
}

}  // namespace

TEST_CASE("times at their edges: no push back, no start, no warm-up, warm-up longer than the way") {
  struct Row {
    double push_back_s, start_s, warm_up_s, queue_s;
  };
  const Drawn f = field();
  for (const Row& row : {Row{0, 60, 180, 0},
                         {0, 0, 180, 0},
                         {0, 0, 0, 0},
                         {120, 0, 180, 0},
                         {120, 60, 0, 0},
                         {120, 60, 1800, 0},
                         {0, 600, 1800, 0},
                         {0, 600, 0, 60},
                         {20, 60, 180, 0},
                         {20, 60, 180, 900},
                         {120, 60, 1800, 600},
                         {120, 300, 0, 100},
                         {0, 1, 1, 1},
                         {600, 60, 180, 7200}})
    for (const bool apu : {true, false})
      for (const char* to : {"runway:09", "runway:27@C"}) {
        INFO("push back " << row.push_back_s << " start " << row.start_s << " warm-up " << row.warm_up_s << " queue "
                          << row.queue_s << " apu " << apu << " to " << to);
        aircraft::Aircraft a;
        a.start_s = row.start_s;
        a.warm_up_s = row.warm_up_s;
        motion::Conditions c;
        c.push_back_s = row.push_back_s;
        c.apu_on = apu;
        check_plan(plan_of(f.net, a, c, plan_request("stand:1", to, row.queue_s)), a, c, row.queue_s);
      }
}

TEST_CASE("cool-down at its edges: passed already, longer than the way, none") {
  const Drawn f = field();
  for (const double cool_s : {0.0, 180.0, 1800.0})
    for (const double since_s : {0.0, 100.0, 3600.0})
      for (const bool apu : {true, false}) {
        INFO("cool-down " << cool_s << " since landing " << since_s << " apu " << apu);
        aircraft::Aircraft a;
        a.cool_down_s = cool_s;
        motion::Conditions c;
        c.apu_on = apu;
        PlanRequest r = plan_request("runway:09", "stand:1");
        r.since_landing_s = since_s;
        const Plan plan = plan_of(f.net, a, c, r);
        check_plan(plan, a, c);
        if (plan.shown.one) {
          REQUIRE(plan.shown.shutdown);
          CHECK(plan.shown.shutdown->after_landing_s >= cool_s - 0.05);
        }
        if (since_s >= cool_s) {
          REQUIRE(plan.shown.one);
          CHECK(plan.shown.shutdown->at_s == Approx(0.0).margin(0.05));
        }
      }
}

TEST_CASE("places of every kind: between with stops, in the middle of a segment, entries by node, stands on a point") {
  const Drawn f = field();
  const aircraft::Aircraft a;
  const motion::Conditions c;
  const LatLon mid = f.map.field().frame.to_geodetic((f.map.xy('c') + f.map.xy('d')) * 0.5);
  char position[64];
  std::snprintf(position, sizeof position, "%.7f,%.7f", mid.lat_deg(), mid.lon_deg());
  const auto ask = [&](const std::string& from, const std::string& to, std::vector<routing::Via> via = {}) {
    INFO(from << " to " << to << " over " << via.size());
    PlanRequest r = plan_request(from, to, 60.0);
    r.route.via = std::move(via);
    if (!r.route.direction && r.route.from.kind != routing::Place::Kind::runway)
      r.route.direction = routing::Direction::departure;
    const Plan plan = plan_of(f.net, a, c, r);
    check_plan(plan, a, c);
    return plan;
  };
  ask("stand:3", "runway:09");
  ask("stand:3", "runway:27@" + f.node('q'));
  ask(position, "runway:09");
  ask(f.node('n'), "runway:27");
  const Plan plain = ask("stand:1", "runway:27");
  const Plan passed = ask("stand:1", "runway:27", {{routing::parse_place(f.node('d')), 0.0}});
  CHECK(passed.reference.route.fuel_kg == Approx(plain.reference.route.fuel_kg).epsilon(1e-3));
  const Plan stopped = ask("stand:1", "runway:27", {{routing::parse_place(f.node('d')), 3.0}});
  CHECK(stopped.reference.route.time_s >= plain.reference.route.time_s + 179.0);
  CHECK(stopped.shown.route.time_s >= plain.shown.route.time_s + 179.0);
  ask("stand:1", "runway:27", {{routing::parse_place("hold:C1"), 1.0}, {routing::parse_place(position), 2.0}});
  ask("runway:09", "stand:3");
  ask("runway:09", position);
  ask("runway:09", "stand:1", {{routing::parse_place(position), 5.0}});
  CHECK_THROWS_AS(make_plan(f.net, a, c, plan_request("stand:1", "stand:2")), Error);
}

TEST_CASE("aircraft with three and four engines are planned for") {
  const Drawn f = field();
  for (const auto& arms : {std::vector<double>{-5, 0, 5}, {-12, -6, 6, 12}})
    for (const auto& [from, to] : {std::pair{"stand:1", "runway:27"}, {"runway:09", "stand:1"}}) {
      INFO(arms.size() << " engines, " << from << " to " << to);
      aircraft::Aircraft a;
      a.engine_arms_m = arms;
      const motion::Conditions c;
      const Plan plan = plan_of(f.net, a, c, plan_request(from, to, 0.0));
      check_plan(plan, a, c);
      CHECK(plan.shown.one);
    }
}

TEST_CASE("START begins on no runway, and the ways that cross one are driven") {
  const Drawn f = field(60.0);
  const aircraft::Aircraft a;
  const motion::Conditions c;
  for (const char* to : {"runway:09", "runway:27"})
    for (const double queue_s : {0.0, 100.0, 400.0}) {
      const Plan plan = plan_of(f.net, a, c, plan_request("stand:3", to, queue_s));
      check_plan(plan, a, c, queue_s);
      if (!plan.shown.second_engine) continue;
      double left_m = plan.shown.second_engine->at_m - plan.shown.driven_from_m;
      INFO(to << " queue " << queue_s << " START at " << left_m);
      for (const auto arc : plan.shown.route.arcs) {
        left_m -= f.net.segment(arc).length_m;
        if (left_m >= -0.01) continue;
        CHECK(f.net.segment(arc).kind != network::LineKind::runway);
        break;
      }
    }
}
