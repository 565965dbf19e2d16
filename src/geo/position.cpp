#include "solotaxi/geo/position.hpp"

#include <cmath>
#include <string>

#include "solotaxi/base/error.hpp"

namespace solotaxi {

LatLon LatLon::degrees(double lat_deg, double lon_deg) {
  if (!(lat_deg >= -90.0 && lat_deg <= 90.0 && lon_deg >= -180.0 && lon_deg <= 180.0))
    throw data_error("position " + std::to_string(lat_deg) + ", " + std::to_string(lon_deg) + " is not on the Earth",
                     {}, "latitude -90 to 90 and longitude -180 to 180 degrees, in this order");
  return {lat_deg, lon_deg};
}

double distance_m(LocalXY a, LocalXY b) { return std::hypot(b.x_m - a.x_m, b.y_m - a.y_m); }

Radians heading(LocalXY a, LocalXY b) { return Radians{std::atan2(b.x_m - a.x_m, b.y_m - a.y_m)}; }

Radians deflection(Radians from, Radians to) {
  double d = std::remainder(to.value() - from.value(), 2.0 * std::numbers::pi);
  if (d <= -std::numbers::pi) d += 2.0 * std::numbers::pi;
  return Radians{d};
}

}  // namespace solotaxi
