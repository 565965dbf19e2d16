// The figures of a plan, and how they answer to errors. Private to the tables.
#pragma once

#include "planning/solver.hpp"
#include "solotaxi/planning/taxi_table.hpp"

namespace solotaxi::planning {

/// `q` has the aircraft and the conditions of the plan.
[[nodiscard]] PlanFigures figures_of(const DrivenPlan& plan, const routing::Question& q, const PlanRequest& request);

/// An aircraft and conditions with an error.
struct Erring {
  aircraft::Aircraft aircraft;
  motion::Conditions conditions;
  double queue_s = 0.0;
};
[[nodiscard]] Erring erring(const routing::Question& q, double queue_s, const Errors& errors);

/// The advised plan and the reference, driven with errors. A kept plan that stalls goes as the reference; nothing where
/// that does too.
struct ErringFigures {
  std::optional<PlanFigures> advised, reference;
};
[[nodiscard]] ErringFigures driven_with(Solver& solver, const Solution& found, bool one, double queue_s,
                                        const PlanRequest& request, const Errors& errors);

struct Responses {
  Response advised, reference;
  Errors stalls_at{};
};
[[nodiscard]] Responses responses_of(Solver& solver, const Solution& found, const TaxiFigures& planned, double queue_s,
                                     const PlanRequest& request, const Spreads& spreads);

}  // namespace solotaxi::planning
