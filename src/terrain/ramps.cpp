#include "terrain/ramps.hpp"

#include <algorithm>
#include <cmath>

#include "terrain/buckets.hpp"

namespace solotaxi::terrain {
namespace {

constexpr double kReach = 150.0;     // m; a ramp with the bends at its ends; assumed
constexpr double kHalfLength = 1.9;  // of (r/q)^¼; measured on ramps that rise, run level and fall again

/// What is estimated with one wander.
struct Ground {
  StateSystem::Deviations sd;
  std::vector<double> height_m;
  [[nodiscard]] double rise_m(const HeightEdge& e) const { return height_m[e.b] - height_m[e.a]; }
};

Ground ground_with(const HeightProblem& problem, StateSystem& system, double wander, std::span<const double> inflation) {
  system.solve(wander, inflation);
  Ground out{system.deviations(), {}};
  for (std::uint32_t i = 0; i < problem.points.size(); ++i) out.height_m.push_back(system.height(i));
  return out;
}

/// By edge: how likely it is that the ground around it is the steep one.
std::vector<double> steep_shares(const HeightProblem& problem, const std::vector<double>& evidence, double before) {
  std::vector<LocalXY> middle;
  Buckets places(kReach);
  for (std::uint32_t k = 0; k < problem.edges.size(); ++k) {
    const HeightEdge& e = problem.edges[k];
    middle.push_back((problem.points[e.a].xy + problem.points[e.b].xy) * 0.5);
    places.add(middle.back(), k);
  }
  std::vector<double> shares;
  for (const LocalXY here : middle) {
    double log_odds = std::log(before / (1.0 - before));
    places.near(here, kReach, [&](std::uint32_t j) {
      if (distance_m(middle[j], here) <= kReach) log_odds += evidence[j];
    });
    shares.push_back(1.0 / (1.0 + std::exp(-log_odds)));
  }
  return shares;
}

double mixed(double calm_sd, double steep_sd, double apart, double share) {
  return std::sqrt((1.0 - share) * calm_sd * calm_sd + share * (steep_sd * steep_sd + apart * apart));
}

}  // namespace

StateSystem::Deviations deviations_with_ramps(const HeightProblem& problem, StateSystem& system, double wander,
                                              std::span<const double> inflation, const HeightOptions& options) {
  constexpr double kSame = 0.01;
  const double most = options.wander_most_per_m, log_ratio = std::log(most / wander);
  if (options.ramp_share <= 0.0 || log_ratio < kSame) {
    system.solve(wander, inflation);
    return system.deviations();
  }
  const Ground steep = ground_with(problem, system, most, inflation);
  const Ground between = ground_with(problem, system, std::sqrt(most * wander), inflation);
  Ground calm = ground_with(problem, system, wander, inflation);
  std::vector<double> evidence;
  for (std::size_t k = 0; k < problem.edges.size(); ++k)  // Simpson's rule
    evidence.push_back(log_ratio / 6.0 * (calm.sd.edge_score[k] + 4.0 * between.sd.edge_score[k] + steep.sd.edge_score[k]));
  const std::vector<double> share = steep_shares(problem, evidence, options.ramp_share);
  std::vector<double> of_point(problem.points.size(), 0.0);  // of its likeliest edge
  for (std::size_t k = 0; k < problem.edges.size(); ++k) {
    const HeightEdge& e = problem.edges[k];
    for (const std::uint32_t i : {e.a, e.b}) of_point[i] = std::max(of_point[i], share[k]);
    double& sd = calm.sd.edge_grade_sd[k];
    sd = mixed(sd, steep.sd.edge_grade_sd[k], (steep.rise_m(e) - calm.rise_m(e)) / e.length_m, share[k]);
  }
  for (std::size_t i = 0; i < problem.points.size(); ++i) {
    double& sd = calm.sd.height_sd_m[i];
    sd = mixed(sd, steep.sd.height_sd_m[i], steep.height_m[i] - calm.height_m[i], of_point[i]);
  }
  return std::move(calm.sd);
}

double half_seen_ramp_m(const ObservedSource& raster, double wander) {
  const NoiseModel& noise = raster.noise;
  // Way to a reading of its own noise: a line of pixels on each side within a pixel, one line within half of one.
  const double own = (1.0 - noise.correlated_share) * raster.pixel_m / 2.0;
  const double shared = noise.correlated_share * 2.0 * noise.correlation_length_m;
  return kHalfLength * std::pow(noise.sigma_m * noise.sigma_m * (own + shared) / wander, 0.25);
}

}  // namespace solotaxi::terrain
