// Geodesic lengths and directions on WGS 84, and the local plane a field is computed in. Wraps GeographicLib.
//
// Lengths are geodesics on the ellipsoid [Karney, Algorithms for geodesics, J. Geodesy 87 (2013), doi:10.1007/s00190-012-0578-z],
// accurate to about 15 nm. The local plane is the azimuthal equidistant projection about the field's middle: at 10 km from it
// scale is wrong by less than 1e-6 and angles by less than 1e-6 rad, so planar angles and joins may be used, while lengths
// that are reported are geodesic.
#pragma once

#include <memory>
#include <span>

#include "solotaxi/geo/position.hpp"

namespace solotaxi {

/// Length of the geodesic between two positions.
[[nodiscard]] Metres geodesic_length(LatLon a, LatLon b);
/// Length summed over the vertices of a polyline; 0 for fewer than two.
[[nodiscard]] Metres geodesic_length(std::span<const LatLon> line);
/// Azimuth at `a` of the geodesic to `b`, clockwise from true north, in [0, 2π).
[[nodiscard]] Radians azimuth(LatLon a, LatLon b);
/// The position reached from `a` at the given azimuth and length.
[[nodiscard]] LatLon destination(LatLon a, Radians azimuth, Metres length);

/// The local plane of one field. Copyable; safe to use from several threads.
class LocalFrame {
 public:
  explicit LocalFrame(LatLon origin = {});
  [[nodiscard]] LatLon origin() const { return origin_; }
  [[nodiscard]] LocalXY to_local(LatLon at) const;
  [[nodiscard]] LatLon to_geodetic(LocalXY at) const;

 private:
  LatLon origin_;
};

}  // namespace solotaxi
