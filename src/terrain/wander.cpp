#include "terrain/wander.hpp"

#include <boost/math/tools/minima.hpp>
#include <cmath>
#include <cstdint>
#include <limits>

namespace solotaxi::terrain {

Wander find_wander(StateSystem& system, std::span<const double> inflation, const HeightOptions& options) {
  const double least = std::log(options.wander_least_per_m), most = std::log(options.wander_most_per_m);
  if (most - least < 1e-9) return {options.wander_most_per_m, false};
  const double median = std::log(options.wander_median_per_m);
  // Noise less shared than declared would be put down to the ground: the share that fits best is taken for the search.
  double shared = 1.0, best = -std::numeric_limits<double>::infinity();
  for (const double share : {1.0, 0.5, 0.0}) {
    system.solve(options.wander_median_per_m, inflation, share);
    if (system.log_likelihood() > best) best = system.log_likelihood(), shared = share;
  }
  const auto cost = [&](double log_wander) {
    system.solve(std::exp(log_wander), inflation, shared);
    const double t = (log_wander - median) / options.wander_log_sd;
    return 0.5 * t * t - system.log_likelihood();
  };
  // Ten bits: to a few hundredths in log q, finer than readings tell.
  constexpr int kBits = 10;
  std::uintmax_t steps = 14;
  const double found = boost::math::tools::brent_find_minima(cost, least, most, kBits, steps).first;
  constexpr double kAtBound = 0.05;
  return {std::exp(found), most - found < kAtBound};
}

}  // namespace solotaxi::terrain
