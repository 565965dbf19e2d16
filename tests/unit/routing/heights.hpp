// Giving a drawn network exact heights, past the estimate: what a test of routes wants to know it computes with.
#pragma once

#include <algorithm>
#include <cmath>

#include "solotaxi/network/network.hpp"

namespace solotaxi::test {

/// Heights by `height(xy)` at knots of at most 10 m, known exactly.
template <class Height>
void raise(network::Network& net, Height height) {
  for (auto& n : net.nodes) n.height_m = height(n.xy);
  for (auto& s : net.segments) {
    s.profile.clear();
    const int steps = std::max(1, static_cast<int>(std::ceil(s.length_m / 10.0)));
    for (int i = 0; i <= steps; ++i) {
      const double at = s.length_m * i / steps;
      std::size_t k = 1;
      while (k + 1 < s.chainage_m.size() && s.chainage_m[k] < at) ++k;
      const double long_m = s.chainage_m[k] - s.chainage_m[k - 1];
      const double part = long_m > 0.0 ? (at - s.chainage_m[k - 1]) / long_m : 0.0;
      s.profile.push_back({at, height(s.line[k - 1] + (s.line[k] - s.line[k - 1]) * part)});
    }
    s.grade_sd.assign(s.profile.size() - 1, 0.0);
  }
}

inline void level(network::Network& net) {
  raise(net, [](LocalXY) { return 10.0; });
}

}  // namespace solotaxi::test
