#include "planning/plan_response.hpp"

#include <algorithm>

#include "planning/time_units.hpp"

namespace solotaxi::planning {
namespace {

constexpr double kNode = 1.5;      // standard deviations at which plans are driven
constexpr double kFarthest = 3.5;  // up to which it is looked whether they stall
constexpr int kHalvings = 5;       // of that, to where they do
constexpr double kShortOf = 0.9;   // of an error that makes it stall, a plan is driven

PlanParts difference(const PlanFigures& a, const PlanFigures& b) {
  PlanParts out = a.parts();
  const PlanParts from = b.parts();
  for (std::size_t p = 0; p < kParts; ++p) out[p] -= from[p];
  return out;
}

Errors alone(Uncertain what, double error) {
  Errors out{};
  out[index(what)] = error;
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

namespace {

/// Drives a kept plan with errors; nothing where it stalls.
class Driver {
 public:
  Driver(Solver& solver, double queue_s, const PlanRequest& request)
      : solver_(solver), queue_s_(queue_s), request_(request) {}
  std::optional<PlanFigures> operator()(const KeptWay& way, const Errors& errors) const {
    const Erring with = erring(solver_.question(), queue_s_, errors);
    const auto driven = solver_.drive_again(way, with.queue_s, with.aircraft, with.conditions);
    if (!driven) return std::nullopt;
    routing::Question told;  // what figures are made from
    told.direction = solver_.question().direction;
    told.aircraft = &with.aircraft;
    told.conditions = &with.conditions;
    return figures_of(*driven, told, request_);
  }
  [[nodiscard]] const routing::Question& question() const { return solver_.question(); }

 private:
  Solver& solver_;
  double queue_s_;
  const PlanRequest& request_;
};

/// Errors that each alone just make a plan stall: more resistance, mass or grade, less thrust.
Errors stalls_at(const Driver& drive, const KeptWay& way, const Spreads& spreads) {
  Errors out{};
  for (const auto& [what, sign] : {std::pair{Uncertain::rolling_resistance, 1.0}, std::pair{Uncertain::mass, 1.0},
                                   std::pair{Uncertain::idle_thrust, -1.0}, std::pair{Uncertain::grade, 1.0}}) {
    const double sd = spreads[index(what)].sd();
    double drives = 0.0,
           not_drives = sign * std::min(kFarthest * sd, what == Uncertain::idle_thrust ? 0.95 : kFarthest * sd);
    if (sd <= 0.0 || drive(way, alone(what, not_drives))) continue;
    for (int k = 0; k < kHalvings; ++k) {
      const double middle = 0.5 * (drives + not_drives);
      (drive(way, alone(what, middle)) ? drives : not_drives) = middle;
    }
    out[index(what)] = 0.5 * (drives + not_drives);
  }
  return out;
}

Response response_of(const Driver& drive, const KeptWay& way, const PlanFigures& planned, double queue_s,
                     const Spreads& spreads, const Errors& stalling) {
  Response out;
  std::array<std::array<double, 2>, kUncertain> nodes{};
  const auto change = [&](const Errors& errors) -> std::optional<PlanParts> {
    const auto driven = drive(way, errors);
    return driven ? std::optional(difference(*driven, planned)) : std::nullopt;
  };
  for (const UncertainKey& key : uncertain_keys()) {
    const std::size_t u = index(key.what);
    const double x = kNode * spreads[u].sd(), stall = kShortOf * stalling[u];
    if (x <= 0.0 || !is_driven(key.what, drive.question(), queue_s)) continue;
    nodes[u] = {stall < 0.0 ? std::max(-x, stall) : -x, stall > 0.0 ? std::min(x, stall) : x};
    const auto low = change(alone(key.what, nodes[u][0])), high = change(alone(key.what, nodes[u][1]));
    if (!low && !high) continue;
    // Where one side cannot be driven the other tells, mirrored.
    const auto mirrored = [](PlanParts parts) {
      for (double& part : parts) part = -part;
      return parts;
    };
    out.curves[u] = low && high ? curve_through(nodes[u][0], *low, nodes[u][1], *high)
                    : low       ? curve_through(nodes[u][0], *low, -nodes[u][0], mirrored(*low))
                                : curve_through(-nodes[u][1], mirrored(*high), nodes[u][1], *high);
  }
  // What is left at the corners goes to the product.
  constexpr std::size_t kMu = index(Uncertain::rolling_resistance), kIdle = index(Uncertain::idle_thrust);
  double squares = 0.0;
  for (const double mu : nodes[kMu])
    for (const double idle : nodes[kIdle]) {
      Errors errors{};
      errors[kMu] = mu;
      errors[kIdle] = idle;
      if (mu * idle == 0.0 || stalls(stalling, errors)) continue;
      const auto now = change(errors);
      if (!now) continue;
      squares += mu * mu * idle * idle;
      for (std::size_t p = 0; p < kParts; ++p)
        out.product[p] += mu * idle *
                          ((*now)[p] - mu * (out.curves[kMu].slope[p] + mu * out.curves[kMu].bend[p]) -
                           idle * (out.curves[kIdle].slope[p] + idle * out.curves[kIdle].bend[p]));
    }
  if (squares > 0.0)
    for (double& part : out.product) part /= squares;
  return out;
}

}  // namespace

ErringFigures driven_with(Solver& solver, const Solution& found, bool one, double queue_s, const PlanRequest& request,
                          const Errors& errors) {
  ErringFigures out;
  out.reference = Driver(solver, queue_s, request)(found.reference_way, errors);
  if (one) out.advised = Driver(solver, queue_s, request)(found.one_way, errors);
  if (!out.advised) out.advised = out.reference;
  return out;
}

Responses responses_of(Solver& solver, const Solution& found, const TaxiFigures& planned, double queue_s,
                       const PlanRequest& request, const Spreads& spreads) {
  const Driver drive(solver, queue_s, request);
  Responses out;
  out.reference = response_of(drive, found.reference_way, planned.reference, queue_s, spreads, {});
  if (planned.one) {
    out.stalls_at = stalls_at(drive, found.one_way, spreads);
    out.advised = response_of(drive, found.one_way, planned.advised, queue_s, spreads, out.stalls_at);
  } else {
    out.advised = out.reference;
  }
  return out;
}

}  // namespace solotaxi::planning
