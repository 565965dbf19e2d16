// The noise near readings of a source share, as a sparse set of statements.
//
// A stationary process of variance 1 whose correlation fades as exp(−distance/length) in the plane. Each place is
// conditioned on the nearest few before it, in the order of a sweep across the field [Vecchia 1988, J. R. Stat. Soc. B
// 50(2); Datta et al. 2016, doi:10.1080/01621459.2015.1044091]. Along a line of pixels this is exact.
#pragma once

#include <vector>

#include "terrain/observations.hpp"

namespace solotaxi::terrain {

/// place − Σ weight · earlier places ~ N(0, variance).
struct NoiseStatement {
  std::uint32_t place = 0;  ///< index into the noise places
  std::vector<std::pair<std::uint32_t, double>> earlier;
  double variance = 1.0;
};

/// One statement a place. Cost: O(n) where places are about as dense everywhere.
[[nodiscard]] std::vector<NoiseStatement> shared_noise(const Observations& observed);

}  // namespace solotaxi::terrain
