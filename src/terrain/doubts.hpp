// What is doubtful about heights that were estimated, and about the sources they come from.
#pragma once

#include "terrain/observations.hpp"
#include "terrain/robust.hpp"
#include "terrain/state_system.hpp"
#include "terrain/wander.hpp"

namespace solotaxi::terrain {

/// Fills the residuals of the sources' fits and adds findings: outliers and groups of them, missing bridges, grades no
/// pavement has, noise declared too small or too large, a wander at its bound.
void add_doubts(const HeightProblem& problem, Observations& observed, const StateSystem& system, const Judgement& judgement,
                const Wander& wander, const HeightEstimate& estimate);

}  // namespace solotaxi::terrain
