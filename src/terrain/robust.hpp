// Readings that cannot be ground: single ones count less, connected groups are left out.
#pragma once

#include <vector>

#include "terrain/observations.hpp"
#include "terrain/state_system.hpp"

namespace solotaxi::terrain {

/// Connected readings left out together.
struct OutlierGroup {
  std::vector<std::uint32_t> members;  ///< indices of observations
  double mean_residual_m = 0.0;        ///< reading − ground
};

struct Judgement {
  std::vector<double> inflation;  ///< by observation: of its variance, infinite where left out
  std::vector<OutlierGroup> groups;
  std::vector<OutlierGroup> hills;      ///< groups that may well be ground: they count in full
  std::vector<std::uint32_t> strained;  ///< observations with noise of their own that the ground bends for
  std::size_t doubted = 0;              ///< readings that count less, those left out not among them
  std::vector<char> rough;              ///< by source: so many of its readings are off that none is taken for an outlier
};

[[nodiscard]] Judgement trust_all(const Observations& observed);

/// Solves with q = `wander`, judges the readings, and solves again until the judgement settles. The last solution of
/// `system` is with the judgement returned. Cost: one solution where nothing is wrong, up to eight.
[[nodiscard]] Judgement solve_robustly(StateSystem& system, const Observations& observed, double wander, Judgement from);

}  // namespace solotaxi::terrain
