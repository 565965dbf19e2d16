#include "solotaxi/geo/geodesic.hpp"

#include <GeographicLib/AzimuthalEquidistant.hpp>
#include <GeographicLib/Geodesic.hpp>
#include <cmath>

namespace solotaxi {
namespace {

const GeographicLib::Geodesic& wgs84() { return GeographicLib::Geodesic::WGS84(); }

double wrap_longitude(double lon_deg) {
  return std::abs(lon_deg) <= 180.0 ? lon_deg : std::remainder(lon_deg, 360.0);
}

}  // namespace

Metres geodesic_length(LatLon a, LatLon b) {
  double s12 = 0.0;
  wgs84().Inverse(a.lat_deg(), a.lon_deg(), b.lat_deg(), b.lon_deg(), s12);
  return Metres{s12};
}

Metres geodesic_length(std::span<const LatLon> line) {
  Metres sum;
  for (std::size_t i = 1; i < line.size(); ++i) sum += geodesic_length(line[i - 1], line[i]);
  return sum;
}

Radians azimuth(LatLon a, LatLon b) {
  double s12 = 0.0, azi1 = 0.0, azi2 = 0.0;
  wgs84().Inverse(a.lat_deg(), a.lon_deg(), b.lat_deg(), b.lon_deg(), s12, azi1, azi2);
  return Radians::degrees(azi1 < 0.0 ? azi1 + 360.0 : azi1);
}

LatLon destination(LatLon a, Radians azimuth, Metres length) {
  double lat = 0.0, lon = 0.0;
  wgs84().Direct(a.lat_deg(), a.lon_deg(), azimuth.in_degrees(), length.value(), lat, lon);
  return LatLon::degrees(lat, wrap_longitude(lon));
}

LocalFrame::LocalFrame(LatLon origin) : origin_(origin) {}

LocalXY LocalFrame::to_local(LatLon at) const {
  const GeographicLib::AzimuthalEquidistant plane(wgs84());
  LocalXY xy;
  plane.Forward(origin_.lat_deg(), origin_.lon_deg(), at.lat_deg(), at.lon_deg(), xy.x_m, xy.y_m);
  return xy;
}

LatLon LocalFrame::to_geodetic(LocalXY at) const {
  const GeographicLib::AzimuthalEquidistant plane(wgs84());
  double lat = 0.0, lon = 0.0;
  plane.Reverse(origin_.lat_deg(), origin_.lon_deg(), at.x_m, at.y_m, lat, lon);
  return LatLon::degrees(lat, wrap_longitude(lon));
}

}  // namespace solotaxi
