#include "route_line.hpp"

#include <algorithm>

#include "solotaxi/geo/geodesic.hpp"

namespace solotaxi::report {

Chained chained(const routing::Route& route) {
  Chained way;
  for (const routing::Leg& leg : route.legs) {
    std::vector<double> along{0.0};
    for (std::size_t i = 1; i < leg.geometry.size(); ++i)
      along.push_back(along.back() + geodesic_length(leg.geometry[i - 1].at, leg.geometry[i].at).value());
    const double scale = along.back() > 0.0 ? leg.length_m / along.back() : 0.0;
    for (std::size_t i = 0; i < leg.geometry.size(); ++i) {
      way.points.push_back(leg.geometry[i]);
      way.at_m.push_back(leg.from_m + scale * along[i]);
    }
  }
  return way;
}

routing::RoutePoint between(const Chained& way, double at_m) {
  const auto next = std::upper_bound(way.at_m.begin(), way.at_m.end(), at_m);
  if (next == way.at_m.begin()) return way.points.front();
  if (next == way.at_m.end()) return way.points.back();
  const auto j = static_cast<std::size_t>(next - way.at_m.begin()), i = j - 1;
  const double share = (at_m - way.at_m[i]) / (way.at_m[j] - way.at_m[i]);
  const routing::RoutePoint &a = way.points[i], &b = way.points[j];
  const auto mixed = [&](double u, double v) { return u + share * (v - u); };
  return {LatLon::degrees(mixed(a.at.lat_deg(), b.at.lat_deg()), mixed(a.at.lon_deg(), b.at.lon_deg())),
          mixed(a.height_m, b.height_m)};
}

std::vector<routing::RoutePoint> part(const Chained& way, double from_m, double to_m) {
  std::vector<routing::RoutePoint> line{between(way, from_m)};
  for (std::size_t i = 0; i < way.points.size(); ++i)
    if (way.at_m[i] > from_m && way.at_m[i] < to_m) line.push_back(way.points[i]);
  line.push_back(between(way, to_m));
  return line;
}

}  // namespace solotaxi::report
