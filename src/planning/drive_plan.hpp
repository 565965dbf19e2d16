// A planned way driven: the phases laid out along it, simulated, the second engine's start set to the metre, and told as a
// route. Shared by the parts of make_plan; not public.
#pragma once

#include "planning/phase_field.hpp"

namespace solotaxi::planning {

/// The way with its phases, driven. Where the simulation stalls, `sim.stalled` says so and the figures end there.
[[nodiscard]] DrivenPlan drive_plan(const routing::Question& q, const PhaseField& field, const PlannedWay& planned,
                                    double queue_s, const PlanRequest& request);

/// Probability that the running set suffices wherever it drives in ONE or START: mass, rolling resistance and thrust drawn
/// once a draw, grades arc by arc [standard deviations of the conditions and of the grades]. Seeded. 1 where it drives
/// nowhere.
[[nodiscard]] double probability_of(const routing::Question& q, const PhaseField& field, const DrivenPlan& plan,
                                    std::uint64_t seed);

}  // namespace solotaxi::planning
