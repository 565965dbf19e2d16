// Lines in the local plane: chainage, nearest point, simplification. All planar; lengths that are reported are geodesic and
// come from geo/geodesic.hpp.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "solotaxi/geo/position.hpp"

namespace solotaxi {

/// Planar way [m] from the line's start to each of its vertices: ascending, first 0, as many values as vertices.
[[nodiscard]] std::vector<double> chainage(std::span<const LocalXY> line);

/// A point of a line next to some other point.
struct NearestPoint {
  LocalXY at;
  double distance_m = 0.0;  ///< from the point asked for
  double at_m = 0.0;        ///< planar way from the line's start
  std::size_t piece = 0;    ///< it lies between vertices `piece` and `piece + 1`
  double share = 0.0;       ///< of that piece, 0…1
};

/// Planar distance [m] of a point from the straight piece a–b (not from its prolongation).
[[nodiscard]] double distance_to_piece_m(LocalXY point, LocalXY a, LocalXY b);

/// The point of a line nearest to `point`; of several the first. Needs at least one vertex (throws std::invalid_argument).
/// Cost: one pass.
[[nodiscard]] NearestPoint nearest_point(std::span<const LocalXY> line, LocalXY point);

/// The point at a planar way from the line's start; the ends for ways outside. Needs at least one vertex.
[[nodiscard]] LocalXY point_along(std::span<const LocalXY> line, double at_m);

/// Vertices to keep, ascending, so that no vertex left out is farther than `tolerance_m` from the piece that replaces it
/// [Douglas & Peucker 1973, doi:10.3138/FM57-6770-U75U-7727]. The first and the last are kept always. Distances are taken
/// to the pieces, not to their prolongations, so a spike is kept. Of equally far vertices the one nearest to the middle (in
/// number) is kept. With tolerance 0 exactly collinear vertices are left out. Cost: O(n log n) as a rule, O(n²) at worst.
/// The result has the vertices' numbers, because whoever simplifies needs to know what lay between.
[[nodiscard]] std::vector<std::size_t> simplify(std::span<const LocalXY> line, double tolerance_m);

}  // namespace solotaxi
