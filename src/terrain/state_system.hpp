// The joint least-squares problem of heights and ground gradients over a network, and its solution.
//
// Unknowns of each point: height z, ground gradient (g_x, g_y), and one noise value per source whose observations share
// noise (only where deviations are wanted, see heights.cpp). An edge of length h and direction u says z_j − z_i − h u·(g_i
// + g_j)/2 ~ N(0, q h³/12) and g_j − g_i ~ N(0, q h I) [the ground-movement model, section 8]; shared noise is an
// exponential (Ornstein–Uhlenbeck) process along the edges.
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "solotaxi/terrain/heights.hpp"
#include "terrain/observations.hpp"

namespace solotaxi::terrain {

class StateSystem {
 public:
  enum class Noise { independent, shared };

  /// `part` numbers the connected part of each point. Each part is held weakly to the plane fitted to all observations.
  /// With independent noise each pixel is one observation of its whole sigma.
  StateSystem(const HeightProblem& problem, const Observations& observations, const HeightOptions& options, Noise noise,
              std::span<const std::uint32_t> part, std::size_t parts);
  ~StateSystem();
  StateSystem(const StateSystem&) = delete;
  StateSystem& operator=(const StateSystem&) = delete;

  /// Solves; `inflation` (≥ 1, by observation) multiplies the variance of an observation as a whole, at its own cost.
  void solve(std::span<const double> inflation);
  /// Height of a point [m] after solve.
  [[nodiscard]] double height(std::uint32_t point) const;

  struct Deviations {
    std::vector<double> height_sd_m;    ///< by point
    std::vector<double> edge_grade_sd;  ///< by edge
  };
  /// Standard deviations after solve.
  [[nodiscard]] Deviations deviations() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace solotaxi::terrain
