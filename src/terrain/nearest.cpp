#include "terrain/nearest.hpp"

#include <algorithm>

#include "solotaxi/geo/line.hpp"

namespace solotaxi::terrain {
namespace {

constexpr double kCell = 25.0;  // m; about a pixel and a few edges

}  // namespace

NearestIndex::NearestIndex(const HeightProblem& problem)
    : problem_(&problem), edges_(kCell), loose_(kCell), structures_(kCell) {
  std::vector<char> joined(problem.points.size(), 0);
  for (std::uint32_t k = 0; k < problem.edges.size(); ++k) {
    const HeightEdge& e = problem.edges[k];
    const LocalXY a = problem.points[e.a].xy, b = problem.points[e.b].xy;
    joined[e.a] = joined[e.b] = 1;
    edges_.add_box(a, b, k);
    if (!e.on_structure) continue;
    structures_.add_box(a, b, k);
    any_structure_ = true;
  }
  for (std::uint32_t i = 0; i < problem.points.size(); ++i)
    if (joined[i] == 0) loose_.add(problem.points[i].xy, i);
}

std::optional<NearestPlace> NearestIndex::find(LocalXY at, double reach_m) const {
  std::optional<NearestPlace> best;
  const auto better = [&](double distance) { return distance <= (best ? best->distance_m : reach_m); };
  std::uint32_t best_edge = 0;
  edges_.near(at, reach_m, [&](std::uint32_t k) {
    const HeightEdge& e = problem_->edges[k];
    const LocalXY a = problem_->points[e.a].xy, b = problem_->points[e.b].xy;
    const double distance = distance_to_piece_m(at, a, b);
    // Of equally near edges (they share an end) the first, whatever the order of the squares.
    if (!better(distance) || (best && distance == best->distance_m && k >= best_edge)) return;
    const std::uint32_t point = distance_m(at, a) <= distance_m(at, b) ? e.a : e.b;
    best = NearestPlace{point, distance, e.on_structure};
    best_edge = k;
  });
  loose_.near(at, reach_m, [&](std::uint32_t i) {
    const double distance = distance_m(at, problem_->points[i].xy);
    if (better(distance)) best = NearestPlace{i, distance, problem_->points[i].on_structure};
  });
  return best;
}

bool NearestIndex::structure_within(LocalXY at, double reach_m) const {
  bool found = false;
  if (any_structure_)
    structures_.near(at, reach_m, [&](std::uint32_t k) {
      const HeightEdge& e = problem_->edges[k];
      found = found || distance_to_piece_m(at, problem_->points[e.a].xy, problem_->points[e.b].xy) <= reach_m;
    });
  return found;
}

}  // namespace solotaxi::terrain
