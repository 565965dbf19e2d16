// The additive cost of every arc and movement of a network for one aircraft, one running set and one set of conditions:
// time, fuel and verdict, as the ground-movement model, section 5, defines them. What the search minimises and reports are
// made of.
//
// An arc carries the steady part along its profile and the bends inside it; a movement carries the turn at its node. Time
// and fuel of movement and arc are each never negative. Dividing a segment changes no sum along a route.
//
// Where the grade is unknown, fuel is that of the level, while the verdict is judged `unknown_grade_sigmas` standard
// deviations uphill in either direction, and a verdict that suffers names the unknown grade as its reason. It never blocks:
// whether every engine suffices is judged there on the level.
//
// What holds the speed back after a turn: a dead end, and a bend (by comfort, or by the limit of bends over 60°) or an arc
// that is slower than the speed reached there along the straightest way. A place slower than the arc but not than the speed
// reached ends nothing: the speed goes on growing to that place's limit, and what lies above is the place's own to add. So
// all speed lost is paid for once, and a place that hardly slows changes hardly anything. This departs from the model,
// which ends the way at every such place and at nodes deflecting 20° or more and leaves the rest unpaid; it is dearer.
//
// Before a turn the model brakes from the arc's speed, so that each of several turns in a row would pay for a speed that is
// never reached between them, and one curve would cost more cut in two. Here braking starts from the speed gathered since
// the last place that held it back (its limit of comfort and a_acc, so that mass and engines do not matter), and a turn
// that is faster than that is paid for from where its speed is reached. Two turns hard by each other cost as one.
//
// Immutable; may be shared between threads. Linear in knots + bends + movements to build (1 ms for 450 segments with
// 3,700 knots). Network and shape must outlive the table.
#pragma once

#include <vector>

#include "solotaxi/aircraft/aircraft.hpp"
#include "solotaxi/motion/conditions.hpp"
#include "solotaxi/motion/cost.hpp"
#include "solotaxi/motion/place.hpp"
#include "solotaxi/motion/verdict.hpp"
#include "solotaxi/network/network.hpp"
#include "solotaxi/network/shape.hpp"

namespace solotaxi::motion {

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
  /// The shape must be traced with the aircraft's wheelbase and steering limit and the conditions' radii.
  CostTable(const network::Network& network, const network::Shape& shape, const aircraft::Aircraft& aircraft,
            aircraft::RunningSet set, const Conditions& conditions);

  [[nodiscard]] aircraft::RunningSet running_set() const { return places_.running_set(); }
  /// The running set at single places, off the network.
  [[nodiscard]] const Places& places() const { return places_; }
  /// Steady part and inner bends of an arc. Meaningful where its verdict is not `blocked`.
  [[nodiscard]] const Cost& arc(network::ArcId a) const { return arc_cost_[index(a)]; }
  /// Worst place of the arc, its inner bends included. `blocked` where the arc is closed, or too narrow or small.
  [[nodiscard]] const PlaceVerdict& arc_verdict(network::ArcId a) const { return arc_verdict_[index(a)]; }
  /// By index of Network::movements.
  [[nodiscard]] const TurnCost& movement(std::size_t m) const { return movement_[m]; }
  /// Bends inside arcs, by index of Shape::bends; their cost is part of the arc's already (of a curve: its ends only, its
  /// legs are in the arc's steady part).
  [[nodiscard]] const TurnCost& bend(std::size_t b) const { return bend_[b]; }
  /// Verdict of the turn at the steering limit, to be told beside that of a tight drawing; otherwise the verdict itself.
  [[nodiscard]] PlaceVerdict movement_at_limit(std::size_t m) const;
  [[nodiscard]] PlaceVerdict bend_at_limit(std::size_t b) const;
  /// Place speed of the arc's straights.
  [[nodiscard]] double speed_mps(network::ArcId a) const { return speed_[index(a) / 2]; }
  /// What starting from rest at the arc's start adds: speeding up with v_m = 0.
  [[nodiscard]] Cost start_from_rest(network::ArcId a) const;
  /// What stopping at the arc's end adds: braking to v_m = 0.
  [[nodiscard]] Cost stop(network::ArcId a) const;
  /// Turning round on the runway at the end of arc `a` (180°), onto the same segment back: braking, πR at the turn-round
  /// speed, speeding up; its radius, its verdict, and the side (+1 right, -1 left): away from the running engine, else
  /// to the right.
  struct TurnRound {
    TurnCost turn;
    double radius_m = 0.0;
    double side = 1.0;
  };
  [[nodiscard]] TurnRound turn_round(network::ArcId a) const { return turn_round(a, network::reversed(a)); }
  /// Verdict of the first `metres` of an arc, or of the whole arc where it is shorter; must be `standing` at stop places.
  [[nodiscard]] PlaceVerdict start_zone(network::ArcId a, double metres) const;
  /// The same over the conditions' `start_zone_m`.
  [[nodiscard]] PlaceVerdict start_zone(network::ArcId a) const { return start_zone(a, places_.conditions().start_zone_m); }
  /// The arc cut into equal parts of at most 100 m, neighbours of equal verdict and reasons joined; for marking.
  [[nodiscard]] std::vector<Stretch> stretches(network::ArcId a) const;
  /// Fuel flow standing still: idle flow of the set + APU [kg/s].
  [[nodiscard]] double standing_flow_kg_s() const { return places_.idle_flow_kg_s(); }

 private:
  template <class Visit>
  void visit(network::ArcId a, double from_m, double to_m, Visit&& each) const;
  [[nodiscard]] std::size_t first_bend(network::ArcId a) const { return shape_->first_bend[index(a)]; }
  [[nodiscard]] std::size_t past_bends(network::ArcId a) const { return shape_->first_bend[index(a) + 1]; }
  [[nodiscard]] Ground interval_ground(network::ArcId a, std::size_t interval) const;
  [[nodiscard]] Ground ground_at(network::ArcId a, double at_m) const;
  [[nodiscard]] Ground start_ground(network::ArcId a) const;
  [[nodiscard]] Ground end_ground(network::ArcId a) const;
  [[nodiscard]] bool shut(const network::Segment& segment) const;
  [[nodiscard]] double own_limit_mps(const network::Bend& bend) const;
  [[nodiscard]] Cost speed_up(double from_mps, double to_mps, const Ground& ground, network::ArcId a, double at_m,
                              std::size_t next_bend, double zone_m) const;
  struct Approach {
    double from_mps;  ///< speed it brakes from: what was gathered since the last place that held it back
    double late_m;    ///< where that is not the turn's own speed yet: how much farther on it would be
  };
  [[nodiscard]] Approach approach(double slow_mps, double most_mps, network::ArcId a, double at_m,
                                  std::size_t past_bend) const;
  [[nodiscard]] double start_speed_mps(network::ArcId a) const;
  [[nodiscard]] double end_speed_mps(network::ArcId a) const;
  [[nodiscard]] Judgement judge_part(network::ArcId a, double from_m, double to_m) const;
  [[nodiscard]] PlaceVerdict finish(network::ArcId a, const Judgement& judgement) const;
  [[nodiscard]] TurnCost node_turn(std::size_t m) const;
  [[nodiscard]] TurnRound turn_round(network::ArcId a, network::ArcId onto) const;
  [[nodiscard]] PlaceVerdict at_limit(const network::Bend& bend, const Ground& ground) const;
  void add_arc(network::ArcId a);
  Judgement add_bend(network::ArcId a, std::size_t b);

  const network::Network* network_;
  const network::Shape* shape_;
  Places places_;
  double wingspan_m_, mass_kg_, wheel_span_m_;
  std::vector<double> speed_;     ///< by segment
  std::vector<Bending> bending_;  ///< by index of Shape::bends
  std::vector<Cost> arc_cost_;
  std::vector<PlaceVerdict> arc_verdict_;
  std::vector<TurnCost> movement_, bend_;
};

}  // namespace solotaxi::motion
