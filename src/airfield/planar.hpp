// Plane geometry of rings and lines in a local frame.
#pragma once

#include <optional>
#include <vector>

#include "feature.hpp"
#include "solotaxi/geo/geodesic.hpp"

namespace solotaxi::airfield {

using PlanarLine = std::vector<LocalXY>;

[[nodiscard]] PlanarLine to_plane(const LocalFrame& frame, const std::vector<Vertex>& line);

/// A point inside the ring (closed or not, either way round); on its edge either answer.
[[nodiscard]] bool contains(const PlanarLine& ring, LocalXY point);
/// Distance to the ring's area; 0 inside.
[[nodiscard]] double distance_to_area_m(const PlanarLine& ring, LocalXY point);
[[nodiscard]] double distance_to_line_m(const PlanarLine& line, LocalXY point);
[[nodiscard]] LocalXY centroid(const PlanarLine& ring);
[[nodiscard]] double area_m2(const PlanarLine& ring);
/// Share of a line's length inside the ring, 0…1, by samples at most 10 m apart.
[[nodiscard]] double share_inside(const PlanarLine& line, const PlanarLine& ring);
/// Length along the line of the point of it nearest to `point`.
[[nodiscard]] double along_m(const PlanarLine& line, LocalXY point);

/// The middle line of a long strip given by its edge.
struct StripAxis {
  LocalXY from, to;  ///< midpoints of the two short ends
  double length_m = 0.0;
  double width_m = 0.0;  ///< median
};
/// Nothing where the ring is not a strip: under 5 times as long as wide, or its middles off one straight line by over a
/// quarter of the width. Turn pads and bulges do not move the axis: it is fitted to cross-sections of ordinary width.
[[nodiscard]] std::optional<StripAxis> strip_axis(const PlanarLine& ring);

}  // namespace solotaxi::airfield
