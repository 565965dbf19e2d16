// What the search adds up, and what it may not use: cost tables and rules turned into whole numbers by arc and movement.
#pragma once

#include <compare>
#include <cstdint>
#include <vector>

#include "routing/question.hpp"

namespace solotaxi::routing {

/// A cost in the order in which ways are compared: first as little as possible lengthwise on runways, then as little as
/// possible of what is to be avoided, then the objective (mm, ms or mg).
struct OrderedCost {
  std::int64_t runway_mm = 0;
  std::int64_t avoid_mm = 0;
  std::int64_t objective = 0;
  auto operator<=>(const OrderedCost&) const = default;
  OrderedCost& operator+=(const OrderedCost& o) {
    runway_mm += o.runway_mm;
    avoid_mm += o.avoid_mm;
    objective += o.objective;
    return *this;
  }
  friend OrderedCost operator+(OrderedCost a, const OrderedCost& b) { return a += b; }
};

/// One way of asking: for which engines, and with which rules relaxed.
struct Attempt {
  const CostTable* table = nullptr;
  Verdict worst = Verdict::rolling;  ///< the worst verdict a place of the route may have
  bool stop_places = false;          ///< where the aircraft starts or may stop, the place must be `standing`
  bool avoid_open = false;           ///< what is to be avoided may be used, as little as possible
  bool runway_open = false;          ///< runways may be used lengthwise, as little as possible
  std::vector<NodeId> line_up;       ///< runway entries the route may end at
  std::vector<ArcId> opened;         ///< runway arcs open all the same: the backtrack to a full-length take-off

  [[nodiscard]] bool ordered() const { return avoid_open || runway_open; }
};

struct Weights {
  std::vector<Weight> arc, movement;    ///< objective; kShut where not allowed
  std::vector<std::int64_t> runway_mm;  ///< by arc: counted only where runways are open lengthwise
  std::vector<std::int64_t> avoid_mm;   ///< by arc

  /// Cost of the arc alone.
  [[nodiscard]] OrderedCost of(ArcId a) const { return {runway_mm[index(a)], avoid_mm[index(a)], arc[index(a)]}; }
};

/// Length, time or fuel in whole millimetres, milliseconds or milligrams.
[[nodiscard]] std::int64_t units(Objective objective, double length_m, const Cost& cost);

[[nodiscard]] Weights make_weights(const Question& q, const Attempt& attempt);

/// Worst verdict of the first `way_m` driven from the start of an arc, on over its straightest continuations.
[[nodiscard]] Verdict zone_verdict(const Question& q, const CostTable& table, ArcId arc, double way_m);

/// Whether an aircraft may have to stop where a movement is made: at a holding position, or crossing a runway. Leaving a
/// runway is none: what has landed or gone along it keeps rolling until it is clear, and a holding position behind the exit
/// is a stop place of its own. A runway crossed a little set off is crossed all the same, on and off (kCrossingOffset_m).
[[nodiscard]] bool is_stop_place(const Question& q, const Movement& movement);

}  // namespace solotaxi::routing
