// Plans on real fields. Their heights are unknown; where nothing else is said ONE is judged on the level, to have plans
// with it at all.
#include "solotaxi/planning/plan.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <variant>
#include <vector>

#include "planning/solver.hpp"
#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/io/raster.hpp"
#include "solotaxi/network/build.hpp"
#include "field/fields.hpp"
#include "support/shared.hpp"

using namespace solotaxi;
using namespace solotaxi::planning;
using test::demo_field;
using test::real_field;

namespace {

motion::Conditions level() {
  motion::Conditions c;
  c.unknown_grade_sigmas = 0.0;
  return c;
}

PlanRequest ask(const std::string& from, const std::string& to, double queue_s = 0.0) {
  PlanRequest r;
  r.route.from = routing::parse_place(from);
  r.route.to = routing::parse_place(to);
  r.queue_s = queue_s;
  return r;
}

/// What holds of every plan driven.
void check_driven(const DrivenPlan& plan, const aircraft::Aircraft& aircraft, routing::Direction direction) {
  REQUIRE_FALSE(plan.sim.stalled);
  REQUIRE_FALSE(plan.phases.empty());
  double time_s = 0.0, fuel_kg = 0.0, leg_s = 0.0, leg_kg = 0.0;
  for (const PlanPhase& p : plan.phases) {
    time_s += p.time_s;
    fuel_kg += p.fuel_kg;
    CHECK(p.time_s >= 0.0);
    CHECK(p.from_m <= p.to_m + 1e-6);
    if (p.phase == Phase::start) CHECK(p.time_s >= aircraft.start_s - 0.1);
    if (p.phase == Phase::all && direction == routing::Direction::departure) CHECK(p.time_s >= aircraft.warm_up_s - 0.1);
    if (p.phase == Phase::all && direction == routing::Direction::arrival && plan.one)
      CHECK(p.time_s >= aircraft.cool_down_s - 0.1);
  }
  for (const auto& leg : plan.route.legs) {
    leg_s += leg.time_s;
    leg_kg += leg.fuel_kg;
    CHECK(leg.time_s >= -1e-6);
    CHECK(leg.fuel_kg >= -1e-6);
  }
  CHECK(time_s == Approx(plan.route.time_s));
  CHECK(fuel_kg == Approx(plan.route.fuel_kg));
  CHECK(leg_s == Approx(plan.route.time_s));
  CHECK(leg_kg == Approx(plan.route.fuel_kg));
  CHECK(plan.one == (plan.one_s > 0.0));
  for (const auto& use : plan.route.runway_uses)  // behind the place of the queue every engine runs
    if (use.kind == routing::RunwayUse::Kind::line_up && std::isfinite(use.hold_at_m) && plan.second_engine)
      CHECK(plan.second_engine->to_m <= use.hold_at_m + 1.0);
  CHECK(plan.sim.arc_from_m.size() == plan.route.arcs.size());
}

void check_plan(const Plan& plan, const aircraft::Aircraft& aircraft) {
  check_driven(plan.shown, aircraft, plan.direction);
  check_driven(plan.reference, aircraft, plan.direction);
  CHECK_FALSE(plan.reference.one);
  CHECK(plan.search.minimum_kg <= plan.search.fuel_kg + 1e-6);
  if (plan.shown.one) {
    CHECK(plan.saving_kg == Approx(plan.reference.route.fuel_kg - plan.shown.route.fuel_kg));
    CHECK((plan.advised == "one-engine") == (plan.saving_kg > 0.0 && plan.why_not.empty()));
  } else {
    CHECK(plan.advised == "reference");
    CHECK_FALSE(plan.why_not.empty());
  }
}

}  // namespace

TEST_CASE("plans of departures and arrivals on every field with a runway") {
  struct Question {
    const char *field, *from, *to;
  };
  int with_one = 0;
  for (const Question& q : {Question{"LMML", "stand:9#305068249", "runway:31"},
                            {"LMML", "stand:6#304190881", "runway:23"},
                            {"LMML", "runway:31", "stand:6#304190881"},
                            {"LMML", "runway:23", "stand:9#305068249"},
                            {"EGNS", "node:5", "runway:08"},
                            {"EGNS", "runway:26", "node:5"},
                            {"KCMH", "node:100", "runway:10L"},
                            {"KCMH", "runway:28L", "node:100"},
                            {"RPLP", "node:3", "runway:24"},
                            {"EDXH", "node:3", "runway:06"},
                            {"EDXH", "runway:24", "node:3"}}) {
    const auto net = real_field(q.field);
    if (!net) return;
    INFO(q.field << " " << q.from << " to " << q.to);
    const aircraft::Aircraft aircraft;
    const auto answer = make_plan(*net, aircraft, level(), ask(q.from, q.to));
    if (const auto* none = std::get_if<routing::NoRoute>(&answer)) {
      CHECK_FALSE(none->reason.empty());
      continue;
    }
    const Plan& plan = std::get<Plan>(answer);
    check_plan(plan, aircraft);
    with_one += plan.shown.one;
  }
  CHECK(with_one >= 6);
}

TEST_CASE("LMML: the second engine is started as late as start and warm-up allow") {
  const auto net = real_field("LMML");
  if (!net) return;
  const auto answer = make_plan(*net, {}, level(), ask("stand:6#304190881", "runway:23"));
  const Plan& plan = std::get<Plan>(answer);
  REQUIRE(plan.shown.one);
  REQUIRE(plan.shown.second_engine);
  CHECK(plan.shown.second_engine->before_line_up_s == Approx(60.0 + 180.0).margin(0.2));
  CHECK(plan.shown.second_engine->to_m > plan.shown.second_engine->at_m);
  CHECK(plan.shown.second_engine->place.find("taxiway") != std::string::npos);
}

TEST_CASE("RPLP: at no mass START reaches beyond the holding position") {
  const auto net = real_field("RPLP");
  if (!net) return;
  for (const double mass_kg : {54000.0, 60000.0, 66000.0, 72000.0}) {
    const aircraft::Aircraft aircraft;
    motion::Conditions conditions = level();
    conditions.mass_kg = mass_kg;
    const auto answer = make_plan(*net, aircraft, conditions, ask("node:3", "runway:24"));
    INFO(mass_kg);
    check_plan(std::get<Plan>(answer), aircraft);
  }
}

TEST_CASE("LMML: unknown heights leave no plan on one engine, and the plan says what would") {
  const auto net = real_field("LMML");
  if (!net) return;
  const auto answer = make_plan(*net, {}, {}, ask("stand:6#304190881", "runway:23"));
  const Plan& plan = std::get<Plan>(answer);
  CHECK_FALSE(plan.shown.one);
  bool told = false;
  for (const std::string& why : plan.why_not) told = told || why.find("--dem") != std::string::npos;
  CHECK(told);
}

TEST_CASE("LMML: a longer queue never lowers what one engine saves") {
  const auto net = real_field("LMML");
  if (!net) return;
  for (const char* stand : {"stand:6#304190881", "stand:9#305068249"}) {
    const auto answer = make_plan(*net, {}, level(), ask(stand, "runway:13", 120.0));
    const Plan& plan = std::get<Plan>(answer);
    REQUIRE(plan.savings.size() == 4);
    for (std::size_t i = 1; i < plan.savings.size(); ++i)
      CHECK(std::max(0.0, plan.savings[i].saving_kg) >= std::max(0.0, plan.savings[i - 1].saving_kg) - 0.05);
  }
}

TEST_CASE("LMML: rules of the operator are kept to") {
  const auto net = real_field("LMML");
  if (!net) return;
  PlanRequest r = ask("stand:6#304190881", "runway:23", 300.0);
  const Plan free = std::get<Plan>(make_plan(*net, {}, level(), r));
  REQUIRE(free.shown.one);
  r.rules = {parse_rule("may-run-alone=2")};
  CHECK(std::get<Plan>(make_plan(*net, {}, level(), r)).shown.running_set == "right");
  r.rules = {parse_rule("min-one-engine-s=7000")};
  CHECK(std::get<Plan>(make_plan(*net, {}, level(), r)).advised == "reference");
  r.rules = {parse_rule("all-engines=kind:taxiway"), parse_rule("all-engines=kind:taxilane")};
  CHECK_FALSE(std::get<Plan>(make_plan(*net, {}, level(), r)).shown.one);
}

TEST_CASE("the demo field: an answer does not depend on the queues asked before") {
  // On its ramps the simulation does not bear out every plan of the search, so that places are barred on the way.
  const routing::PartedNetwork parted = routing::network_in_parts(demo_field(), 100.0);
  const aircraft::Aircraft aircraft;
  const motion::Conditions conditions;
  std::size_t barred = 0;
  for (const char* stand : {"stand:1", "stand:12", "stand:23", "stand:45", "stand:W3"})
    for (const char* end : {"runway:09", "runway:27", "runway:14", "runway:32"}) {
      PlanRequest r = ask(stand, end);
      r.route.objective = routing::Objective::fuel;
      r.route.direction = routing::Direction::departure;
      Solver solver(parted.network, aircraft, conditions, r);
      const Solution first = solver.solve(0.0);
      (void)solver.solve(600.0);
      const Solution again = solver.solve(0.0);
      INFO(stand << " to " << end);
      barred += first.findings.size();
      CHECK(again.findings.size() == first.findings.size());
      CHECK(again.minimum_kg == first.minimum_kg);
      CHECK(again.reference_kg == first.reference_kg);
      REQUIRE(again.one.has_value() == first.one.has_value());
      if (first.one) CHECK(again.one->route.fuel_kg == first.one->route.fuel_kg);
    }
  CHECK(barred > 0);
}

TEST_CASE("the demo field: where one engine does not pay, the other engine or another entry that would is told") {
  const network::Network net = demo_field();
  const auto why_of = [&](const std::string& from, const std::string& to, const char* set) {
    const aircraft::Aircraft aircraft;
    PlanRequest r = ask(from, to);
    r.sets = {aircraft::parse_running_set(aircraft, set)};
    const auto answer = make_plan(net, aircraft, level(), r);
    std::string all;
    for (const std::string& line : std::get<Plan>(answer).why_not) all += line + "\n";
    return all;
  };
  std::string engines, entries;
  for (const char* stand : {"stand:1", "stand:5", "stand:21"})
    for (const char* end : {"runway:09", "runway:27", "runway:14", "runway:32"})
      for (const char* set : {"left", "right"}) {
        const std::string why = why_of(stand, end, set);
        if (why.find("instead would save") != std::string::npos) engines += why;
        if (why.find("entering the runway at") != std::string::npos) entries += why;
      }
  CHECK_FALSE(engines.empty());
  CHECK_FALSE(entries.empty());
}
