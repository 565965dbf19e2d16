// Pieces of an arc of one grade, each straight or on the leg of a curve. For cost_table*.cpp only.
#pragma once

#include <algorithm>

#include "solotaxi/motion/cost_table.hpp"

namespace solotaxi::motion {

/// Calls each(length, ground, bending) for the pieces between two points of an arc, in its own direction.
template <class Visit>
void CostTable::visit(network::ArcId a, double from_m, double to_m, Visit&& each) const {
  static constexpr Bending kStraight{};
  const network::Segment& segment = network_->segment(a);
  const std::size_t intervals = segment.profile.size() - 1;
  const bool along = network::is_along(a);
  std::size_t b = first_bend(a);
  const std::size_t past = past_bends(a);
  double at = from_m;
  for (std::size_t i = 0; i < intervals && at < to_m; ++i) {
    const double knot_m = segment.profile[along ? i + 1 : intervals - 1 - i].at_m;
    const double end = std::min(along ? knot_m : segment.length_m - knot_m, to_m);
    if (!(end > at)) continue;
    const Ground ground = interval_ground(a, i);
    while (at < end) {
      while (b < past && (!shape_->bends[b].curve || shape_->bends[b].to_m <= at)) ++b;
      const bool on_curve = b < past && shape_->bends[b].from_m <= at;
      const double stop = b < past ? std::min(end, on_curve ? shape_->bends[b].to_m : shape_->bends[b].from_m) : end;
      each(stop - at, ground, on_curve ? bending_[b] : kStraight);
      at = stop;
    }
  }
}

}  // namespace solotaxi::motion
