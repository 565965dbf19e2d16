#include "solotaxi/motion/cost_table.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "arc_places.hpp"
#include "cost_table_visit.hpp"

namespace solotaxi::motion {

using network::ArcId;
using network::Bend;
using network::Segment;
using network::Shape;

namespace {

constexpr int kHopsMost = 10000;  // a ring of pieces without length must not trap the walk

/// The fuel a turn adds is never below nought, so that the search has no negative costs.
Cost never_negative(Cost cost) { return {cost.time_s, std::max(0.0, cost.fuel_kg)}; }

}  // namespace

CostTable::CostTable(const network::Network& network, const Shape& shape, const aircraft::Aircraft& aircraft,
                     aircraft::RunningSet set, const Conditions& conditions)
    : network_(&network),
      shape_(&shape),
      places_(aircraft, set, conditions),
      wingspan_m_(aircraft.wingspan_m),
      mass_kg_(aircraft.mass_kg),
      wheel_span_m_(aircraft.wheel_span_m),
      arc_cost_(network.arc_count()),
      arc_verdict_(network.arc_count()),
      bend_(shape.bends.size()) {
  speed_.reserve(network.segments.size());
  for (const Segment& segment : network.segments) speed_.push_back(place_speed_mps(segment, conditions));
  bending_.reserve(shape.bends.size());
  for (const Bend& bend : shape.bends) bending_.push_back(bending_of(places_, bend));
  for (std::uint32_t a = 0; a < network.arc_count(); ++a) add_arc(ArcId{a});
  movement_.reserve(network.movements.size());
  for (std::size_t m = 0; m < network.movements.size(); ++m) movement_.push_back(node_turn(m));
}

bool CostTable::shut(const Segment& segment) const {
  return segment.closed || (segment.width && segment.width->value() < wheel_span_m_) ||
         (segment.wingspan_limit && segment.wingspan_limit->value() < wingspan_m_) ||
         (segment.mass_limit && segment.mass_limit->value() < mass_kg_);
}

/// Limit of a bend by comfort; infinite where there is none.
double CostTable::own_limit_mps(const Bend& bend) const {
  if (!std::isfinite(bend.radius_m)) return std::numeric_limits<double>::infinity();
  const double radius = bend.tight_drawing ? places_.least_radius_m() : bend.radius_m;
  return places_.comfort_limit_mps(radius, bend.angle_rad);
}

/// Speeding up after a turn. A place ahead that is slower than `to_mps` but not than the speed reached there does not end
/// it: that place adds what lies above its own limit, so here it goes on to that limit.
Cost CostTable::speed_up(double from_mps, double to_mps, const Ground& ground, ArcId a, double at_m, std::size_t next_bend,
                         double zone_m) const {
  if (!(to_mps > from_mps)) return {};
  const double twice = 2.0 * places_.acceleration_mps2(ground);
  const auto way_to = [&](double mps) { return (mps * mps - from_mps * from_mps) / twice; };
  double clear = way_to(to_mps), way = -at_m - zone_m;
  const auto meet = [&](double limit, double at) {
    if (limit < to_mps) clear = std::min(clear, std::max(at, way_to(limit)));
  };
  for (int hop = 0; hop < kHopsMost; ++hop) {
    for (std::size_t b = next_bend; b < past_bends(a); ++b) {
      const Bend& bend = shape_->bends[b];
      meet(own_limit_mps(bend), way + (bend.curve ? bend.from_m : bend.at_m));
    }
    way += network_->segment(a).length_m;
    const std::uint32_t m = shape_->straight_on[index(a)];
    if (way >= clear) break;
    if (m == Shape::kNoMovement) {  // a dead end
      clear = way;
      break;
    }
    meet(own_limit_mps(shape_->movement[m]), way);
    a = network_->movements[m].to;
    meet(speed_mps(a), way);
    next_bend = first_bend(a);
  }
  return places_.speeding_up(from_mps, to_mps, clear, ground);
}

/// How a turn of this speed at a place of an arc is come to. Bends before `past_bend` and places along the straightest way
/// back count by their limits of comfort, and between them the usual acceleration, so that neither mass nor engines do.
CostTable::Approach CostTable::approach(double slow_mps, double most_mps, ArcId a, double at_m,
                                        std::size_t past_bend) const {
  if (!(slow_mps < most_mps)) return {most_mps, 0.0};
  const double twice = 2.0 * places_.conditions().acceleration_m_s2;
  double arriving = most_mps, way = at_m;  // back to the start of the arc
  const auto leave = [&](double limit, double since_m) {
    if (limit < arriving) arriving = std::min(arriving, std::sqrt(limit * limit + twice * std::max(0.0, since_m)));
  };
  for (int hop = 0; hop < kHopsMost; ++hop) {
    for (std::size_t b = past_bend; b > first_bend(a); --b) {
      const Bend& bend = shape_->bends[b - 1];
      leave(own_limit_mps(bend), way - (bend.curve ? bend.to_m : bend.at_m) - bend.zone_after_m);
    }
    const std::uint32_t m = shape_->straight_on[index(network::reversed(a))];
    if (m == Shape::kNoMovement || twice * way >= arriving * arriving) break;
    const Bend& met = shape_->movement[m];  // as met going back: what lies before it there comes after it here
    leave(own_limit_mps(met), way - met.zone_before_m);
    a = network::reversed(network_->movements[m].to);
    leave(speed_mps(a), way);
    past_bend = past_bends(a);
    way += network_->segment(a).length_m;
  }
  return {std::max(slow_mps, arriving), std::max(0.0, slow_mps * slow_mps - arriving * arriving) / twice};
}

/// Speed with which an arc begins: that of a curve it begins on, else the arc's.
double CostTable::start_speed_mps(ArcId a) const {
  const std::size_t b = first_bend(a);
  if (b == past_bends(a) || !shape_->bends[b].curve || shape_->bends[b].curve_begins) return speed_mps(a);
  return std::min(speed_mps(a), places_.speed_mps(bending_[b], start_ground(a)));
}

double CostTable::end_speed_mps(ArcId a) const {
  const std::size_t b = past_bends(a);
  if (b == first_bend(a) || !shape_->bends[b - 1].curve || shape_->bends[b - 1].curve_ends) return speed_mps(a);
  return std::min(speed_mps(a), places_.speed_mps(bending_[b - 1], end_ground(a)));
}

void CostTable::add_arc(ArcId a) {
  const double v = speed_mps(a);
  Cost cost;
  Judgement worst;
  Ground steepest;  // straight that was judged last
  bool judged = false;
  visit(a, 0.0, network_->segment(a).length_m, [&](double length, const Ground& ground, const Bending& leg) {
    const double leg_v = leg.straight ? v : std::min(v, places_.speed_mps(leg, ground));
    const double time = length / leg_v;
    cost += {time, places_.flow_kg_s(places_.steady_thrust_n(places_.force_n(ground.grade, leg), leg)) * time};
    // On straights the steepest piece is the worst, unless another is less well known.
    if (leg.straight && judged && ground.judged <= steepest.judged && ground.sd <= steepest.sd &&
        ground.unknown == steepest.unknown)
      return;
    worst = worse(worst, places_.judge(ground, leg));
    if (leg.straight) steepest = ground, judged = true;
  });
  arc_cost_[index(a)] = cost;
  for (std::size_t b = first_bend(a); b < past_bends(a); ++b) {
    worst = worse(worst, add_bend(a, b));
    arc_cost_[index(a)] += bend_[b].cost;
  }
  arc_verdict_[index(a)] = finish(a, worst);
}

/// A single bend, or what begins or ends of a curve inside the arc.
Judgement CostTable::add_bend(ArcId a, std::size_t b) {
  const Bend& bend = shape_->bends[b];
  const Bending& bending = bending_[b];
  const double v = speed_mps(a);
  TurnCost& turn = bend_[b];
  turn.thrust_factor = bending.factor;
  Judgement judgement;
  if (!bend.curve) {
    const Ground ground = ground_at(a, bend.at_m);
    const double slow = std::min(v, places_.speed_mps(bending, ground));
    turn.speed_mps = slow;
    const auto [from, late_m] = approach(slow, v, a, bend.at_m, b);
    turn.cost =
        never_negative(places_.braking(from, slow) + places_.bend_zone(bend.zone_before_m, slow, from, ground, bending) +
                       places_.bend_zone(bend.zone_after_m, slow, v, ground, bending) +
                       speed_up(slow, v, ground, a, bend.at_m, b + 1, bend.zone_after_m + late_m));
    judgement = places_.judge(ground, bending);
  } else {
    turn.speed_mps = std::min(v, places_.speed_mps(bending, ground_at(a, bend.at_m)));
    if (bend.curve_begins) {
      const Ground ground = ground_at(a, bend.from_m);
      const double slow = std::min(v, places_.speed_mps(bending, ground));
      const double from = approach(slow, v, a, bend.from_m, b).from_mps;
      turn.cost +=
          never_negative(places_.braking(from, slow) + places_.bend_zone(bend.zone_before_m, slow, from, ground, bending));
    }
    if (bend.curve_ends) {
      const Ground ground = ground_at(a, bend.to_m);
      const double slow = std::min(v, places_.speed_mps(bending, ground));
      const double late_m = approach(slow, v, a, bend.to_m, b).late_m;
      turn.cost += never_negative(places_.bend_zone(bend.zone_after_m, slow, v, ground, bending) +
                                  speed_up(slow, v, ground, a, bend.to_m, b + 1, bend.zone_after_m + late_m));
    }
    judgement = judge_part(a, bend.from_m, bend.to_m);
  }
  turn.place = places_.verdict(judgement);
  return judgement;
}

TurnCost CostTable::node_turn(std::size_t m) const {
  const network::Movement& movement = network_->movements[m];
  if (movement.turn_round) return turn_round(movement.from, movement.to).turn;
  const Bend& bend = shape_->movement[m];
  const Bending bending = bending_of(places_, bend);
  const Ground ground = mean(end_ground(movement.from), start_ground(movement.to));
  const double limit = places_.speed_mps(bending, ground);

  double before = speed_mps(movement.from), after = speed_mps(movement.to);
  if (bend.curve) {  // within a curve nothing changes but the arcs' own limits
    // … and those of another curve that the arc lies on at this node.
    if (!bend.curve_begins) before = std::min(before, places_.speed_mps(bending_[past_bends(movement.from) - 1], ground));
    if (!bend.curve_ends) after = std::min(after, places_.speed_mps(bending_[first_bend(movement.to)], ground));
  } else {
    if (bend.curve_ends) before = end_speed_mps(movement.from);
    if (bend.curve_begins) after = start_speed_mps(movement.to);
  }
  TurnCost out;
  out.speed_mps = std::min({limit, before, after});
  out.thrust_factor = bending.factor;
  const auto [from, late_m] = approach(out.speed_mps, std::max(before, after), movement.from,
                                       network_->segment(movement.from).length_m, past_bends(movement.from));
  before = std::min(before, from);
  Cost cost = places_.braking(before, out.speed_mps);
  if (!bending.straight) {
    cost += places_.bend_zone(bend.zone_before_m, out.speed_mps, before, ground, bending);
    cost += places_.bend_zone(bend.zone_after_m, out.speed_mps, after, ground, bending);
  }
  cost += speed_up(out.speed_mps, after, ground, movement.to, 0.0, first_bend(movement.to), bend.zone_after_m + late_m);
  out.cost = never_negative(cost);
  out.place = places_.verdict(places_.judge(ground, bending));
  return out;
}

}  // namespace solotaxi::motion
