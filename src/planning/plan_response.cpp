#include "planning/plan_response.hpp"

#include <algorithm>

namespace solotaxi::planning {
namespace {

constexpr double kHour = 3600.0;
constexpr double kNode = 1.5;  // standard deviations at which plans are driven

PlanParts difference(const PlanFigures& a, const PlanFigures& b) {
  PlanParts out = a.parts();
  const PlanParts from = b.parts();
  for (std::size_t p = 0; p < kParts; ++p) out[p] -= from[p];
  return out;
}

/// Flows are factors of what was driven; without a queue, or in an arrival, some errors change nothing.
bool is_driven(Uncertain what, const routing::Question& q, double queue_s) {
  const bool departure = q.direction == routing::Direction::departure;
  if (what == Uncertain::queue) return departure && queue_s > 0.0;
  return what != Uncertain::fuel_flow && what != Uncertain::apu_flow && (what != Uncertain::warm_up || departure);
}

}  // namespace

PlanFigures figures_of(const DrivenPlan& plan, const routing::Question& q, const PlanRequest& request) {
  const aircraft::Engine engine(*q.aircraft, q.conditions->air, q.conditions->n1_limit_pct);
  PlanFigures f;
  f.time_s = plan.route.time_s;
  f.fuel_kg = plan.route.fuel_kg;
  f.engine_fuel_kg = f.fuel_kg - apu_fuel_kg(plan, q.direction, *q.aircraft, *q.conditions, request.apu_lead_s);
  const bool few = plan.one && q.direction == routing::Direction::arrival;  // a departure ends on every engine
  const int running = few ? aircraft::parse_running_set(*q.aircraft, plan.running_set).count() : q.aircraft->engines();
  f.standing_apu_kg_s = few && q.conditions->apu_on ? q.aircraft->apu_run_kg_h / kHour : 0.0;
  f.standing_kg_s = running * engine.idle_flow_kg_s() + f.standing_apu_kg_s;
  return f;
}

Erring erring(const routing::Question& q, double queue_s, const Errors& errors) {
  const auto of = [&](Uncertain u) { return errors[index(u)]; };
  Erring out{*q.aircraft, *q.conditions, queue_s * (1.0 + of(Uncertain::queue))};
  out.conditions.mu_rolling += of(Uncertain::rolling_resistance);
  out.conditions.mass_kg *= 1.0 + of(Uncertain::mass);
  out.conditions.grade_sigmas += of(Uncertain::grade);
  out.aircraft.idle_thrust_share *= 1.0 + of(Uncertain::idle_thrust);
  out.aircraft.warm_up_s = std::max(0.0, out.aircraft.warm_up_s + of(Uncertain::warm_up));
  return out;
}

ErringFigures driven_with(Solver& solver, const Solution& found, bool one, double queue_s, const PlanRequest& request,
                          const Errors& errors) {
  const Erring with = erring(solver.question(), queue_s, errors);
  routing::Question told;  // what figures are made from
  told.direction = solver.question().direction;
  told.aircraft = &with.aircraft;
  told.conditions = &with.conditions;
  const auto figures = [&](const KeptWay& way) -> std::optional<PlanFigures> {
    const auto driven = solver.drive_again(way, with.queue_s, with.aircraft, with.conditions);
    return driven ? std::optional(figures_of(*driven, told, request)) : std::nullopt;
  };
  ErringFigures out;
  out.reference = figures(found.reference_way);
  if (one) out.advised = figures(found.one_way);
  if (!out.advised) out.advised = out.reference;
  return out;
}

Responses responses_of(Solver& solver, const Solution& found, const TaxiFigures& planned, double queue_s,
                       const PlanRequest& request, const Spreads& spreads) {
  Responses out;
  for (const UncertainKey& key : uncertain_keys()) {
    const double x = kNode * spreads[index(key.what)].sd();
    if (x <= 0.0 || !is_driven(key.what, solver.question(), queue_s)) continue;
    const auto at = [&](double error) {
      Errors errors{};
      errors[index(key.what)] = error;
      return driven_with(solver, found, planned.one, queue_s, request, errors);
    };
    const ErringFigures low = at(-x), high = at(x);
    const auto curve = [&](const std::optional<PlanFigures>& a, const std::optional<PlanFigures>& b,
                           const PlanFigures& from) {
      // Where not even the reference can be driven the other side tells, mirrored.
      if (!a && !b) return Curve{};
      PlanParts below = a ? difference(*a, from) : difference(*b, from), above = b ? difference(*b, from) : below;
      if (!a)
        for (double& part : below) part = -part;
      if (!b)
        for (double& part : above) part = -part;
      return curve_through(-x, below, x, above);
    };
    out.advised[index(key.what)] = curve(low.advised, high.advised, planned.advised);
    out.reference[index(key.what)] = curve(low.reference, high.reference, planned.reference);
  }
  return out;
}

}  // namespace solotaxi::planning
