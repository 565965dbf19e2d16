// How strongly the ground's gradient wanders, found from the readings.
#pragma once

#include <span>

#include "solotaxi/terrain/heights.hpp"
#include "terrain/state_system.hpp"

namespace solotaxi::terrain {

struct Wander {
  double per_m = 0.0;
  bool at_most = false;  ///< it ran to the upper bound: noise that looks like terrain, or very rough ground
};

/// Greatest likelihood times prior between the bounds of the options. Cost: about ten solutions of `system`.
[[nodiscard]] Wander find_wander(StateSystem& system, std::span<const double> inflation, const HeightOptions& options);

}  // namespace solotaxi::terrain
