// What the sources and the map say about the heights of a network's points, cleaned of voids and dropouts.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "solotaxi/terrain/heights.hpp"

namespace solotaxi::terrain {

struct Observation {
  std::uint32_t point = 0;
  int field = -1;  ///< index into Observations::fields; -1: noise is independent of its neighbours
  double height_m = 0.0;
  double sigma_m = 0.0;  ///< of the observation as a whole
  double sharing = 1.0;  ///< observations in the same pixel, itself included: together they weigh as one
};

/// Noise that the observations of one source share: variance and the way over which it fades to 1/e.
struct SharedNoise {
  double variance = 0.0;
  double length_m = 0.0;
};

struct Observations {
  std::vector<Observation> list;
  std::vector<SharedNoise> fields;
  double smallest_sigma_m = 0.0;  ///< 0 where there is no observation
  Findings findings;
};

/// Asks every source at every point. Throws Error (data) when a source covers none of them.
/// Cost: one sample a source and point, and O(n k) for k points within a pixel of each other.
[[nodiscard]] Observations observe(const HeightProblem& problem, std::span<const HeightSource* const> sources,
                                   const HeightOptions& options);

}  // namespace solotaxi::terrain
