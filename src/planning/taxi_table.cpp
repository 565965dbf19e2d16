#include "solotaxi/planning/taxi_table.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "planning/solver.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::planning {
namespace {

constexpr double kMinute = 60.0, kHour = 3600.0;
constexpr int kShortest = -1;  // knot of a queue that is just one
constexpr double kShortest_s = 1.0;

double mixed(double a, double b, double share) { return a + share * (b - a); }

PlanFigures mixed(const PlanFigures& a, const PlanFigures& b, double share) {
  return {mixed(a.time_s, b.time_s, share), mixed(a.fuel_kg, b.fuel_kg, share),
          mixed(a.engine_fuel_kg, b.engine_fuel_kg, share), a.standing_kg_s, a.standing_apu_kg_s};
}

PlanFigures after_standing(PlanFigures f, double wait_s) {
  f.time_s += wait_s;
  f.fuel_kg += wait_s * f.standing_kg_s;
  f.engine_fuel_kg += wait_s * (f.standing_kg_s - f.standing_apu_kg_s);
  return f;
}

}  // namespace

TaxiField::TaxiField(network::Network network)
    : network_(std::move(network)), parted_(routing::network_in_parts(network_, kPart_m)) {}

TaxiTable::TaxiTable(const TaxiField& field, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions,
                     PlanRequest request)
    : field_(&field), aircraft_(&aircraft), conditions_(conditions), request_(std::move(request)) {
  motion::check_ranges(conditions_, aircraft);
  for (const routing::Place* p : {&request_.route.from, &request_.route.to})
    if (p->kind == routing::Place::Kind::position)
      throw usage_error("\"" + p->text + "\" is a position", "a table is made from a stand, hold or node");
  request_.route.objective = routing::Objective::fuel;
}

TaxiFigures TaxiTable::solved(double queue_s) const {
  PlanRequest request = request_;
  request.queue_s = queue_s;
  Solver solver(field_->parts(), *aircraft_, conditions_, request);
  if (!solver.possible()) throw Error(ErrorClass::no_route, "no way is left for every engine");
  solver.look_around(queue_s);
  const Solution found = solver.solve(queue_s);
  if (!found.reference)
    throw Error(ErrorClass::no_route, "every way has a place where not even every engine gets the aircraft on");
  const aircraft::Engine engine(*aircraft_, conditions_.air, conditions_.n1_limit_pct);
  const routing::Direction direction = solver.question().direction;
  const auto figures = [&](const DrivenPlan& plan) {
    PlanFigures f;
    f.time_s = plan.route.time_s;
    f.fuel_kg = plan.route.fuel_kg;
    f.engine_fuel_kg = f.fuel_kg - apu_fuel_kg(plan, direction, *aircraft_, conditions_, request.apu_lead_s);
    const bool few = plan.one && direction == routing::Direction::arrival;  // a departure ends on every engine
    const int running = few ? aircraft::parse_running_set(*aircraft_, plan.running_set).count() : aircraft_->engines();
    f.standing_apu_kg_s = few && conditions_.apu_on ? aircraft_->apu_run_kg_h / kHour : 0.0;
    f.standing_kg_s = running * engine.idle_flow_kg_s() + f.standing_apu_kg_s;
    return f;
  };
  TaxiFigures out;
  out.reference = figures(*found.reference);
  out.one = found.one && found.one->route.fuel_kg < found.reference->route.fuel_kg;
  out.advised = out.one ? figures(*found.one) : out.reference;
  return out;
}

const TaxiFigures& TaxiTable::at_knot(int knot) {
  const auto known = by_knot_.find(knot);
  if (known != by_knot_.end()) return known->second;
  return by_knot_.emplace(knot, solved(knot == kShortest ? kShortest_s : knot * kMinute)).first->second;
}

const std::string& TaxiTable::refusal(double first_queue_s) {
  if (asked_) return refusal_;
  asked_ = true;
  try {
    (void)at(first_queue_s);
  } catch (const Error& error) {
    refusal_ = error.one_line();
  }
  return refusal_;
}

TaxiFigures TaxiTable::at(double queue_s) {
  const int minute = static_cast<int>(queue_s / kMinute);
  const bool whole = minute * kMinute == queue_s;
  if (whole) return at_knot(minute);
  const TaxiFigures &low = at_knot(minute == 0 ? kShortest : minute), &high = at_knot(minute + 1);
  const double from_s = minute == 0 ? kShortest_s : minute * kMinute;
  const double share = (queue_s - from_s) / ((minute + 1) * kMinute - from_s);
  return {mixed(low.advised, high.advised, share), mixed(low.reference, high.reference, share),
          share < 0.5 ? low.one : high.one};
}

TaxiFigures TaxiTable::at_taxi_time(double reference_time_s) {
  TaxiFigures none = at_knot(0);
  const double wait_s = reference_time_s - none.reference.time_s;
  if (request_.route.direction == routing::Direction::departure) {
    const TaxiFigures &shortest = at_knot(kShortest), &minute = at_knot(1);
    const double queue_s = reference_time_s - (shortest.reference.time_s - kShortest_s);
    if (queue_s > 0.0) return at(queue_s);
    const auto set_flow = [](PlanFigures& f, const PlanFigures& from, const PlanFigures& to) {
      const double kg_s = (to.fuel_kg - from.fuel_kg) / (kMinute - kShortest_s);
      const double engines_kg_s = (to.engine_fuel_kg - from.engine_fuel_kg) / (kMinute - kShortest_s);
      f.standing_kg_s = kg_s;
      f.standing_apu_kg_s = kg_s - engines_kg_s;
    };
    set_flow(none.advised, shortest.advised, minute.advised);
    set_flow(none.reference, shortest.reference, minute.reference);
  }
  none.advised = after_standing(none.advised, wait_s);
  none.reference = after_standing(none.reference, wait_s);
  return none;
}

TimeOnlyFuel time_only_fuel(const aircraft::Aircraft& aircraft, int kept, double time_s) {
  constexpr double kEveryEngine_s = 300.0;
  const double all = aircraft.engines(), flow = aircraft.flow_7_kg_s;
  return {time_s * all * flow, time_s * kept * flow + (all - kept) * flow * std::min(time_s, kEveryEngine_s)};
}

}  // namespace solotaxi::planning
