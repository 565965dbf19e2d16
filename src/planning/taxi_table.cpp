#include "solotaxi/planning/taxi_table.hpp"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <thread>
#include <utility>

#include "planning/plan_response.hpp"
#include "planning/time_units.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::planning {
namespace {

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
                     PlanRequest request, const Spreads* spreads)
    : field_(&field), aircraft_(&aircraft), conditions_(conditions), request_(std::move(request)), spreads_(spreads) {
  motion::check_ranges(conditions_, aircraft);
  for (const routing::Place* p : {&request_.route.from, &request_.route.to})
    if (p->kind == routing::Place::Kind::position)
      throw usage_error("\"" + p->text + "\" is a position", "a table is made from a stand, hold or node");
  request_.route.objective = routing::Objective::fuel;
}

KeptPlan TaxiTable::solved(double queue_s) const {
  PlanRequest request = request_;
  request.queue_s = queue_s;
  Solver solver(field_->parts(), *aircraft_, conditions_, request);
  if (!solver.possible()) throw Error(ErrorClass::no_route, "no way is left for every engine");
  solver.look_around(queue_s);
  const Solution found = solver.solve(queue_s);
  if (!found.reference)
    throw Error(ErrorClass::no_route, "every way has a place where not even every engine gets the aircraft on");
  KeptPlan out;
  TaxiFigures& f = out.figures;
  f.reference = figures_of(*found.reference, solver.question(), request);
  f.one = found.one && found.one->route.fuel_kg < found.reference->route.fuel_kg;
  f.advised = f.one ? figures_of(*found.one, solver.question(), request) : f.reference;
  if (spreads_ != nullptr) {
    const Responses responses = responses_of(solver, found, f, queue_s, request, *spreads_);
    out.advised = responses.advised;
    out.reference = responses.reference;
    out.stalls_at = responses.stalls_at;
  }
  return out;
}

TaxiTable::~TaxiTable() {
  for (const Slot& slot : slots_) delete slot.kept.load();
}

bool TaxiTable::make(int minute) {
  Slot& slot = slots_[static_cast<std::size_t>(minute - kShortest)];
  if (slot.begun.exchange(true)) return false;
  try {
    auto made = std::make_unique<KeptPlan>();
    try {
      *made = solved(minute == kShortest ? kShortest_s : minute * kMinute);
    } catch (const Error& error) {
      made->refusal = error.one_line();
    }
    slot.kept.store(made.release(), std::memory_order_release);
  } catch (...) {
    slot.begun = false;
    throw;
  }
  return true;
}

const KeptPlan* TaxiTable::kept(int minute, WantedPlans& wanted) {
  const KeptPlan* found = kept(minute);
  if (found == nullptr) wanted.push_back({this, minute});
  return found;
}

bool TaxiTable::look_up(double queue_s, Found& to, WantedPlans& wanted) {
  int minute = static_cast<int>(queue_s / kMinute);
  const bool whole = minute * kMinute == queue_s;
  if (!whole && minute == 0) minute = kShortest;
  to.low = minute;
  to.high = whole ? minute : std::max(minute, 0) + 1;
  to.high_share = 0.0;
  to.stood_s = 0.0;
  const KeptPlan *low = kept(to.low, wanted), *high = whole ? low : kept(to.high, wanted);
  if (low == nullptr || high == nullptr) return false;
  to.refusal = !low->refusal.empty() ? &low->refusal : !high->refusal.empty() ? &high->refusal : nullptr;
  if (to.refusal != nullptr) return true;
  if (whole) {
    to.figures = low->figures;
    return true;
  }
  const double from_s = minute == kShortest ? kShortest_s : minute * kMinute;
  const double share = (queue_s - from_s) / (to.high * kMinute - from_s);
  to.high_share = share;
  to.figures = {mixed(low->figures.advised, high->figures.advised, share),
                mixed(low->figures.reference, high->figures.reference, share),
                share < 0.5 ? low->figures.one : high->figures.one};
  return true;
}

bool TaxiTable::look_up_taxi_time(double reference_time_s, Found& to, WantedPlans& wanted) {
  const bool departure = request_.route.direction == routing::Direction::departure;
  Found shortest, minute;
  bool made = look_up(0.0, to, wanted);
  if (departure) {
    made = look_up(kShortest_s, shortest, wanted) && made;
    made = look_up(kMinute, minute, wanted) && made;
  }
  if (!made || to.refusal != nullptr) return made;
  to.stood_s = reference_time_s - to.figures.reference.time_s;
  if (departure) {
    if (shortest.refusal != nullptr || minute.refusal != nullptr) {
      to.refusal = shortest.refusal != nullptr ? shortest.refusal : minute.refusal;
      return true;
    }
    const double queue_s = reference_time_s - (shortest.figures.reference.time_s - kShortest_s);
    if (queue_s > 0.0) return look_up(queue_s, to, wanted);
    const auto set_flow = [](PlanFigures& f, const PlanFigures& first, const PlanFigures& second) {
      const double kg_s = (second.fuel_kg - first.fuel_kg) / (kMinute - kShortest_s);
      const double engines_kg_s = (second.engine_fuel_kg - first.engine_fuel_kg) / (kMinute - kShortest_s);
      f.standing_kg_s = kg_s;
      f.standing_apu_kg_s = kg_s - engines_kg_s;
    };
    set_flow(to.figures.advised, shortest.figures.advised, minute.figures.advised);
    set_flow(to.figures.reference, shortest.figures.reference, minute.figures.reference);
  }
  to.figures.advised = after_standing(to.figures.advised, to.stood_s);
  to.figures.reference = after_standing(to.figures.reference, to.stood_s);
  return true;
}

std::string TaxiTable::refusal(double queue_s) {
  Found found;
  WantedPlans wanted;
  while (!look_up(queue_s, found, wanted)) make_plans(wanted);
  return found.refusal != nullptr ? *found.refusal : std::string{};
}

TaxiFigures TaxiTable::at(double queue_s) {
  Found found;
  WantedPlans wanted;
  while (!look_up(queue_s, found, wanted)) make_plans(wanted);
  return found.figures;
}

TaxiFigures TaxiTable::at_taxi_time(double reference_time_s) {
  Found found;
  WantedPlans wanted;
  while (!look_up_taxi_time(reference_time_s, found, wanted)) make_plans(wanted);
  return found.figures;
}

std::size_t TaxiTable::plans() const {
  return static_cast<std::size_t>(
      std::count_if(slots_.begin(), slots_.end(), [](const Slot& s) { return s.kept.load() != nullptr; }));
}

void make_plans(WantedPlans& wanted) {
  tbb::parallel_for(std::size_t{0}, wanted.size(), [&](std::size_t k) { wanted[k].table->make(wanted[k].minute); });
  for (const WantedPlan& w : wanted)
    while (!w.table->is_made(w.minute))
      if (!w.table->make(w.minute)) std::this_thread::sleep_for(std::chrono::microseconds(50));
  wanted.clear();
}

TimeOnlyFuel time_only_fuel(const aircraft::Aircraft& aircraft, int kept, double time_s) {
  constexpr double kEveryEngine_s = 300.0;
  const double all = aircraft.engines(), flow = aircraft.flow_7_kg_s;
  return {time_s * all * flow, time_s * kept * flow + (all - kept) * flow * std::min(time_s, kEveryEngine_s)};
}

}  // namespace solotaxi::planning
