// What the sources and the map say about the heights of a network, cleaned of voids and dropouts.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "solotaxi/terrain/heights.hpp"

namespace solotaxi::terrain {

/// height = z(point) + gradient(point) · offset + shared noise + own noise.
struct Observation {
  std::uint32_t point = 0;
  std::uint32_t source = 0;  ///< index into Observations::sources
  int noise = -1;            ///< index into Observations::noise; -1: nothing shared
  LocalXY at;                ///< where it was measured
  LocalXY offset;            ///< from the point to there
  double height_m = 0.0;
  double sigma_m = 0.0;   ///< as a whole
  double shared_m = 0.0;  ///< standard deviation of the shared part, 0 without one
};

/// A place at which one source's shared noise is an unknown, of variance 1.
struct NoisePlace {
  std::uint32_t source = 0;
  LocalXY at;
};

struct ObservedSource {
  SourceFit fit;
  NoiseModel noise;       ///< rounding included
  double pixel_m = 0.0;   ///< 0 for points
  double median_m = 0.0;  ///< of its readings near the network
};

struct Observations {
  std::vector<Observation> list;  ///< by source
  std::vector<NoisePlace> noise;
  std::vector<ObservedSource> sources;
  double smallest_sigma_m = 0.0;  ///< 0 where there is no observation
  Findings findings;
};

/// Value in the middle; the upper of two. `values` holds one at least.
[[nodiscard]] double median(std::vector<double> values);

/// Asks every source near the network. Throws Error (data) when a source reaches no part of it.
/// Cost: one look-up a reading, and O(n log n).
[[nodiscard]] Observations observe(const HeightProblem& problem, std::span<const HeightSource* const> sources,
                                   const HeightOptions& options);

/// Compares the sources with each other and with the field's elevation, and moves those that differ by a little; see
/// estimate_heights for errors and findings.
void bring_together(const HeightProblem& problem, Observations& observed);

}  // namespace solotaxi::terrain
