// The place of the network nearest to a position.
#pragma once

#include <cstdint>
#include <optional>

#include "solotaxi/terrain/heights.hpp"
#include "terrain/buckets.hpp"

namespace solotaxi::terrain {

struct NearestPlace {
  std::uint32_t point = 0;  ///< of the network, next to the nearest place
  double distance_m = 0.0;  ///< from the position to the network
  bool on_structure = false;
};

/// Built once in O(n); a question costs O(1) where lines are as dense as on an airfield.
class NearestIndex {
 public:
  explicit NearestIndex(const HeightProblem& problem);
  /// Nothing where the network is farther than `reach_m`.
  [[nodiscard]] std::optional<NearestPlace> find(LocalXY at, double reach_m) const;
  /// Whether a bridge deck or tunnel lies within `reach_m`.
  [[nodiscard]] bool structure_within(LocalXY at, double reach_m) const;

 private:
  const HeightProblem* problem_;
  Buckets edges_, loose_, structures_;
  bool any_structure_ = false;
};

}  // namespace solotaxi::terrain
