// What an edge says about the heights and gradients at its ends, for a gradient that wanders by 1 per metre.
#pragma once

#include <array>
#include <cstdint>

#include "solotaxi/terrain/heights.hpp"

namespace solotaxi::terrain {

inline constexpr double kDeckStiffness = 100.0;  // a deck's gradient wanders this much less than the ground's; assumed
inline constexpr double kShortestEdge = 1.0;     // m; shorter edges are no stiffer: keeps the matrix well scaled
inline constexpr double kAbutmentBend = 0.02;    // standard deviation of the bend where a ramp meets a deck; assumed

/// Σ weight · unknown ~ N(0, variance · q), or N(0, variance) for a given wander.
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

/// The end of a deck: there its gradient need not be the ramp's, and what it says does not depend on q.
inline bool is_abutment(const HeightProblem& problem, const HeightEdge& e) {
  return e.on_structure && !(problem.points[e.a].on_structure && problem.points[e.b].on_structure);
}

/// The line bends in the abutment itself: the deck runs straight from there with the gradient of its next point.
inline std::array<EdgeStatement, 3> abutment_statements(const HeightProblem& problem, const HeightEdge& e) {
  constexpr double kDeckWander = 1e-6 / kDeckStiffness;  // per m
  const double h = std::max(e.length_m, kShortestEdge), bend = kAbutmentBend * kAbutmentBend;
  const LocalXY d = problem.points[e.b].xy - problem.points[e.a].xy;
  std::array<EdgeStatement, 3> out;
  if (!problem.points[e.a].on_structure && !problem.points[e.b].on_structure)  // a deck of one piece may bend at both ends
    out[0] = {{{{e.b, 0, 1.0},
                {e.a, 0, -1.0},
                {e.a, 1, -0.5 * d.x_m},
                {e.b, 1, -0.5 * d.x_m},
                {e.a, 2, -0.5 * d.y_m},
                {e.b, 2, -0.5 * d.y_m}}},
              6,
              bend * h * h / 4.0};
  else {
    const std::uint32_t inner = problem.points[e.a].on_structure ? e.a : e.b;
    out[0] = {{{{e.b, 0, 1.0}, {e.a, 0, -1.0}, {inner, 1, -d.x_m}, {inner, 2, -d.y_m}}}, 4, kDeckWander * h * h * h / 3.0};
  }
  out[1] = {{{{e.b, 1, 1.0}, {e.a, 1, -1.0}}}, 2, bend};
  out[2] = {{{{e.b, 2, 1.0}, {e.a, 2, -1.0}}}, 2, bend};
  return out;
}

/// Three statements; of a loop without inner points none that says anything. `wander` 0: variances are those of q = 1, else
/// those of that q.
inline std::array<EdgeStatement, 3> edge_statements(const HeightProblem& problem, const HeightEdge& e,
                                                    double wander = 0.0) {
  std::array<EdgeStatement, 3> out;
  if (e.a == e.b) return out;
  if (is_abutment(problem, e)) return abutment_statements(problem, e);
  const double h = std::max(e.length_m, kShortestEdge);
  const double q = wander > 0.0 ? wander : e.on_structure ? 1.0 / kDeckStiffness : 1.0;
  const LocalXY d = problem.points[e.b].xy - problem.points[e.a].xy;
  // Way times direction; the chord where the edge is a bent line, so that planes stay exact.
  const double hx = 0.5 * d.x_m, hy = 0.5 * d.y_m;
  out[0] = {{{{e.b, 0, 1.0}, {e.a, 0, -1.0}, {e.a, 1, -hx}, {e.b, 1, -hx}, {e.a, 2, -hy}, {e.b, 2, -hy}}},
            6,
            q * h * h * h / 12.0};
  out[1] = {{{{e.b, 1, 1.0}, {e.a, 1, -1.0}}}, 2, q * h};
  out[2] = {{{{e.b, 2, 1.0}, {e.a, 2, -1.0}}}, 2, q * h};
  return out;
}

}  // namespace solotaxi::terrain
