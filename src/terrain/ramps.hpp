// Ramps: what a calm field may have where its sources do not show them.
#pragma once

#include <span>

#include "solotaxi/terrain/heights.hpp"
#include "terrain/observations.hpp"
#include "terrain/state_system.hpp"

namespace solotaxi::terrain {

/// One wander for a whole field is that of its calm parts: it flattens the ramps a noisy source hardly shows, and its
/// deviations do not own up to it. So two grounds are held possible at every place: that of `wander`, and one of the most
/// wander allowed, as ramps have. How likely the second is there follows from HeightOptions::ramp_share and from what the
/// readings within 150 m say (the derivative of the likelihood by the wander of the edges there, integrated from the one to
/// the other). The deviations returned are those of the mixture about the estimate for `wander`.
/// Solves `system` anew, with `wander` last. Cost: three solutions with their deviations.
[[nodiscard]] StateSystem::Deviations deviations_with_ramps(const HeightProblem& problem, StateSystem& system,
                                                            double wander, std::span<const double> inflation,
                                                            const HeightOptions& options);

/// Length [m] of a ramp that comes out with about half its grade where this raster alone tells the heights; the shorter,
/// the flatter. About twice the length over which the estimate averages, (r/q)^¼ for noise of spectral density r and wander
/// q.
[[nodiscard]] double half_seen_ramp_m(const ObservedSource& raster, double wander);

}  // namespace solotaxi::terrain
