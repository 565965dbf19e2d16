// Grounds, and estimates of them, that several tests of heights share.
#pragma once

#include <algorithm>
#include <cmath>
#include <memory>
#include <random>
#include <vector>

#include "unit/terrain/field_grid.hpp"

namespace solotaxi::test {

inline const Surface kLevel = [](LocalXY) { return 40.0; };
inline const Surface kPlane = [](LocalXY p) { return 63.0 + 0.011 * p.x_m - 0.007 * p.y_m; };

inline terrain::HeightEstimate estimate(const terrain::HeightProblem& problem, const terrain::HeightSource& source,
                                        const terrain::HeightOptions& options = {}) {
  const terrain::HeightSource* const sources[] = {&source};
  return terrain::estimate_heights(problem, sources, options);
}

inline Surface with_noise(const Surface& ground, double sigma, unsigned seed) {
  return [ground, sigma, random = std::make_shared<std::mt19937>(seed)](LocalXY p) {
    return ground(p) + std::normal_distribution(0.0, sigma)(*random);
  };
}

inline std::vector<double> raw_heights(const terrain::HeightProblem& problem, const GridSource& source) {
  std::vector<double> out;
  for (const terrain::HeightPoint& p : problem.points) out.push_back(source.bilinear(p.xy));
  return out;
}

inline double steepest(const terrain::HeightProblem& problem, const terrain::HeightEstimate& e) {
  double worst = 0.0;
  for (const terrain::HeightEdge& k : problem.edges)
    worst = std::max(worst, std::abs(e.height_m[k.b] - e.height_m[k.a]) / k.length_m);
  return worst;
}

}  // namespace solotaxi::test
