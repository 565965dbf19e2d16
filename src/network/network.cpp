#include "solotaxi/network/network.hpp"

namespace solotaxi::network {

LatLon position_at(const Network& network, const Segment& segment, double at_m) {
  for (std::size_t i = 1; i < segment.chainage_m.size(); ++i) {
    if (at_m > segment.chainage_m[i] && i + 1 < segment.chainage_m.size()) continue;
    const double leg_m = segment.chainage_m[i] - segment.chainage_m[i - 1];
    const double part = leg_m > 0.0 ? (at_m - segment.chainage_m[i - 1]) / leg_m : 0.0;
    if (part <= 0.0) return segment.geodetic[i - 1];
    if (part >= 1.0) return segment.geodetic[i];
    return network.frame.to_geodetic(segment.line[i - 1] + (segment.line[i] - segment.line[i - 1]) * part);
  }
  return segment.geodetic.back();
}

}  // namespace solotaxi::network
