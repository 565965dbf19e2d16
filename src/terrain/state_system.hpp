// The joint least-squares problem of heights and ground gradients over a network, and its solution.
//
// Unknowns: of each point height z and ground gradient (g_x, g_y), of each noise place the noise readings there share. An
// edge of length h and direction u says z_j − z_i − h u·(g_i + g_j)/2 ~ N(0, q h³/12) and g_j − g_i ~ N(0, q h I) [the
// ground-movement model, section 8].
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "solotaxi/terrain/heights.hpp"
#include "terrain/observations.hpp"

namespace solotaxi::terrain {

/// Connected part of each point, numbered from 0.
struct Parts {
  std::vector<std::uint32_t> of_point;
  std::size_t count = 0;
};
[[nodiscard]] Parts connected_parts(const HeightProblem& problem);

class StateSystem {
 public:
  /// Each part is held weakly to the slope of the plane fitted to all observations. The arguments must outlive this.
  StateSystem(const HeightProblem& problem, const Observations& observed, const Parts& parts);
  ~StateSystem();
  StateSystem(const StateSystem&) = delete;
  StateSystem& operator=(const StateSystem&) = delete;

  /// From now on edges within 60 m of any of the places wander as strongly as ground that bends by 2 % within 30 m, twice
  /// what is allowed on taxiways [ICAO Annex 14, code C–F].
  void roughen(std::span<const LocalXY> at);

  /// Solves with q = `wander` [1/m]; `inflation` (≥ 1, by observation; infinite: left out) multiplies the variance of an
  /// observation as a whole, at its own noise's cost; `shared` (0…1) multiplies the share of noise that is shared.
  void solve(double wander, std::span<const double> inflation, double shared = 1.0);
  /// Height of a point [m] after solve.
  [[nodiscard]] double height(std::uint32_t point) const;
  /// Height of the ground [m] at the place of an observation after solve.
  [[nodiscard]] double ground_at(const Observation& o) const;
  /// Logarithm of the likelihood of what was solved, but for a term that depends on neither q nor `shared`.
  [[nodiscard]] double log_likelihood() const;

  struct Deviations {
    std::vector<double> height_sd_m;    ///< by point
    std::vector<double> edge_grade_sd;  ///< by edge
    /// By edge: derivative of log_likelihood by the logarithm of that edge's own wander; 0 where that is given.
    std::vector<double> edge_score;
  };
  /// Standard deviations after solve.
  [[nodiscard]] Deviations deviations() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace solotaxi::terrain
