// The way of a route as one line with the route's chainage at every vertex.
#pragma once

#include <vector>

#include "solotaxi/routing/route.hpp"

namespace solotaxi::report {

/// Geodesic lengths, scaled to each leg's own, which counts turn-rounds in.
struct Chained {
  std::vector<routing::RoutePoint> points;
  std::vector<double> at_m;
};
[[nodiscard]] Chained chained(const routing::Route& route);

/// Straight in degrees between vertices, as maps draw it. The line must have a vertex.
[[nodiscard]] routing::RoutePoint between(const Chained& way, double at_m);
/// The line from one chainage to another, both ends included.
[[nodiscard]] std::vector<routing::RoutePoint> part(const Chained& way, double from_m, double to_m);

}  // namespace solotaxi::report
