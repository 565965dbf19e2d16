// Positions: geodetic (WGS 84) and in the field's local plane. The two never mix.
#pragma once

#include "solotaxi/units/quantity.hpp"

namespace solotaxi {

/// A checked position on WGS 84: latitude -90…90, longitude -180…180 degrees, both finite.
class LatLon {
 public:
  constexpr LatLon() = default;
  /// Throws Error (data) for NaN or values out of range; never wraps or clamps.
  static LatLon degrees(double lat_deg, double lon_deg);
  [[nodiscard]] constexpr double lat_deg() const { return lat_; }
  [[nodiscard]] constexpr double lon_deg() const { return lon_; }
  constexpr bool operator==(const LatLon&) const = default;

 private:
  constexpr LatLon(double lat, double lon) : lat_(lat), lon_(lon) {}
  double lat_ = 0.0, lon_ = 0.0;
};

/// A point in the field's local plane (see LocalFrame): metres east and north of its origin.
struct LocalXY {
  double x_m = 0.0;
  double y_m = 0.0;
  constexpr bool operator==(const LocalXY&) const = default;
  friend constexpr LocalXY operator+(LocalXY a, LocalXY b) { return {a.x_m + b.x_m, a.y_m + b.y_m}; }
  friend constexpr LocalXY operator-(LocalXY a, LocalXY b) { return {a.x_m - b.x_m, a.y_m - b.y_m}; }
  friend constexpr LocalXY operator*(LocalXY a, double k) { return {a.x_m * k, a.y_m * k}; }
};

/// Planar distance [m].
[[nodiscard]] double distance_m(LocalXY a, LocalXY b);
/// Heading of the vector a→b, clockwise from north, in (-π, π].
[[nodiscard]] Radians heading(LocalXY a, LocalXY b);
/// Signed change of heading from `from` to `to`, in (-π, π]; right is positive.
[[nodiscard]] Radians deflection(Radians from, Radians to);

}  // namespace solotaxi
