// The additive cost of every arc and movement of a network for one aircraft, one running set and one set of conditions:
// time, fuel and verdict, as model section 5 defines them. What the search minimises and reports are made of.
//
// Immutable; linear in knots + bends + movements to build. An arc carries the steady part along its profile and the bends
// inside it; a movement carries the turn at its node. Time and fuel of movement + arc are never negative.
#pragma once

#include <vector>

#include "solotaxi/aircraft/aircraft.hpp"
#include "solotaxi/motion/conditions.hpp"
#include "solotaxi/motion/verdict.hpp"
#include "solotaxi/network/network.hpp"
#include "solotaxi/network/shape.hpp"

namespace solotaxi::motion {

struct Cost {
  double time_s = 0.0;
  double fuel_kg = 0.0;
  Cost& operator+=(Cost o) { time_s += o.time_s; fuel_kg += o.fuel_kg; return *this; }
  friend Cost operator+(Cost a, Cost b) { return a += b; }
};

/// A stretch of an arc under one verdict, in the arc's own direction.
struct Stretch {
  double from_m = 0.0, to_m = 0.0;
  PlaceVerdict place;
};

struct TurnCost {
  Cost cost;
  PlaceVerdict place;
  double speed_mps = 0.0;
  double thrust_factor = 1.0;  ///< T / F; infinity where it cannot be done
};

class CostTable {
 public:
  CostTable(const network::Network& network, const network::Shape& shape, const aircraft::Aircraft& aircraft,
            aircraft::RunningSet set, const Conditions& conditions);

  [[nodiscard]] aircraft::RunningSet running_set() const { return set_; }
  /// Steady part and inner bends of an arc. Meaningful where its verdict is not `blocked`.
  [[nodiscard]] const Cost& arc(network::ArcId a) const { return arc_cost_[index(a)]; }
  /// Worst place of the arc, its inner bends included.
  [[nodiscard]] const PlaceVerdict& arc_verdict(network::ArcId a) const { return arc_verdict_[index(a)]; }
  /// By index of Network::movements.
  [[nodiscard]] const TurnCost& movement(std::size_t m) const { return movement_[m]; }
  /// Bends inside arcs, by index of Shape::bends; their cost is part of the arc's already.
  [[nodiscard]] const TurnCost& bend(std::size_t b) const { return bend_[b]; }
  /// Place speed of the arc's straights.
  [[nodiscard]] double speed_mps(network::ArcId a) const { return speed_[index(a)]; }
  /// What starting from rest at the arc's start adds (model section 5: speeding up with v_m = 0).
  [[nodiscard]] Cost start_from_rest(network::ArcId a) const;
  /// What stopping at the arc's end adds.
  [[nodiscard]] Cost stop(network::ArcId a) const;
  /// Turning round on the runway at the end of arc `a` (180°): cost of πR at the turn-round speed, its radius, its verdict, and
  /// the side (+1 right, -1 left): away from the running engine first, else right.
  struct TurnRound { TurnCost turn; double radius_m = 0.0; double side = 1.0; };
  [[nodiscard]] TurnRound turn_round(network::ArcId a) const;
  /// Verdict of the first `start_zone_m` of an arc (where it would start from rest) — must be `standing` at stop places.
  [[nodiscard]] PlaceVerdict start_zone(network::ArcId a) const;
  /// The arc cut into at most 100 m parts and at verdict changes, for marking.
  [[nodiscard]] std::vector<Stretch> stretches(network::ArcId a) const;
  /// Fuel flow standing still: idle flow of the set + APU [kg/s].
  [[nodiscard]] double standing_flow_kg_s() const;

 private:
  struct Model;  // engines, limits and constants folded for the inner loops
  const network::Network* network_;
  const network::Shape* shape_;
  aircraft::Aircraft aircraft_;
  aircraft::RunningSet set_;
  Conditions conditions_;
  std::vector<Cost> arc_cost_;
  std::vector<PlaceVerdict> arc_verdict_;
  std::vector<TurnCost> movement_, bend_;
  std::vector<double> speed_;
};

}  // namespace solotaxi::motion
