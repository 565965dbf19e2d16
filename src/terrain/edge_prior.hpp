// What an edge says about the heights and gradients at its ends, for a gradient that wanders by 1 per metre.
#pragma once

#include <array>
#include <cstdint>

#include "solotaxi/terrain/heights.hpp"

namespace solotaxi::terrain {

inline constexpr double kDeckStiffness = 100.0;  // a deck's gradient wanders this much less than the ground's; assumed
inline constexpr double kShortestEdge = 1.0;     // m; shorter edges are no stiffer: keeps the matrix well scaled

/// Σ weight · unknown ~ N(0, variance · q).
struct EdgeStatement {
  struct Term {
    std::uint32_t point = 0;
    int which = 0;  ///< 0: height, 1 and 2: gradient east and north
    double weight = 0.0;
  };
  std::array<Term, 6> term{};
  int terms = 0;
  double variance = 1.0;
};

/// Three statements; of a loop without inner points none that says anything.
inline std::array<EdgeStatement, 3> edge_statements(const HeightProblem& problem, const HeightEdge& e) {
  std::array<EdgeStatement, 3> out;
  if (e.a == e.b) return out;
  const double h = std::max(e.length_m, kShortestEdge), stiff = e.on_structure ? 1.0 / kDeckStiffness : 1.0;
  const LocalXY d = problem.points[e.b].xy - problem.points[e.a].xy;
  // Way times direction; the chord where the edge is a bent line, so that planes stay exact.
  const double hx = 0.5 * d.x_m, hy = 0.5 * d.y_m;
  out[0] = {{{{e.b, 0, 1.0}, {e.a, 0, -1.0}, {e.a, 1, -hx}, {e.b, 1, -hx}, {e.a, 2, -hy}, {e.b, 2, -hy}}}, 6, stiff * h * h * h / 12.0};
  out[1] = {{{{e.b, 1, 1.0}, {e.a, 1, -1.0}}}, 2, stiff * h};
  out[2] = {{{{e.b, 2, 1.0}, {e.a, 2, -1.0}}}, 2, stiff * h};
  return out;
}

}  // namespace solotaxi::terrain
