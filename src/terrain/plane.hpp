// The plane of least squares through heights. Taken off before solving, so that planes come back exactly and numbers stay
// small.
#pragma once

#include <span>

#include "solotaxi/geo/position.hpp"

namespace solotaxi::terrain {

struct Plane {
  LocalXY centre;
  double at = 0.0, gx = 0.0, gy = 0.0;
  [[nodiscard]] double height(LocalXY p) const { return at + gx * (p.x_m - centre.x_m) + gy * (p.y_m - centre.y_m); }
};

/// Level across where the positions lie in one line, or too close together to tell. Needs at least one.
[[nodiscard]] Plane fit_plane(std::span<const LocalXY> at, std::span<const double> height_m);

}  // namespace solotaxi::terrain
