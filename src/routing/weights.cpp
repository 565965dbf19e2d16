#include "routing/weights.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace solotaxi::routing {
namespace {

Weight narrow(std::int64_t value) {
  if (value >= kShut) throw std::logic_error("routing: a single arc costs more than a weight can hold");
  return static_cast<Weight>(value);
}

bool shut(const Question& q, const Attempt& attempt, ArcId a) {
  const auto& segment = q.net->segment(a);
  if (!q.net->may_drive(a) || q.user_closed[index(a)] || segment.closed) return true;
  if (segment.runway >= 0 && q.net->runways[static_cast<std::size_t>(segment.runway)].closed) return true;
  if (!attempt.avoid_open && q.avoid_mm[index(a)] > 0) return true;
  return attempt.table->arc_verdict(a).verdict > attempt.worst;
}

bool shut(const Question& q, const Attempt& attempt, std::size_t m) {
  const Movement& move = q.net->movements[m];
  const auto place = move.turn_round ? attempt.table->turn_round(move.from).turn.place : attempt.table->movement(m).place;
  if (move.turn_round && !attempt.runway_open) return true;
  if (place.verdict > attempt.worst) return true;
  if (!attempt.stop_places || move.turn_round || !is_stop_place(q, move)) return false;
  return place.verdict > Verdict::standing ||
         zone_verdict(q, *attempt.table, move.to, q.conditions->start_zone_m) > Verdict::standing;
}

}  // namespace

std::int64_t units(Objective objective, double length_m, const Cost& cost) {
  switch (objective) {
    case Objective::distance:
      return std::llround(length_m * 1e3);
    case Objective::time:
      return std::llround(cost.time_s * 1e3);
    case Objective::fuel:
      return std::llround(cost.fuel_kg * 1e6);
  }
  return 0;
}

bool is_stop_place(const Question& q, const Movement& movement) {
  const NodeId at = q.net->head(movement.from);
  if (q.hold_at[index(at)] >= 0) return true;
  if (!q.on_runway[index(at)]) return false;
  // A crossing that is set off goes a little along the runway: entering and leaving it is crossing too.
  const bool from = q.is_runway(movement.from), to = q.is_runway(movement.to);
  if (from != to) return q.crosses[index(from ? movement.from : movement.to)] != 0;
  return !from;
}

Verdict zone_verdict(const Question& q, const CostTable& table, ArcId arc, double way_m) {
  Verdict worst = Verdict::standing;
  std::vector<ArcId> seen;
  while (way_m > 0.0) {
    const double length = q.net->segment(arc).length_m;
    worst = std::max(worst, table.start_zone(arc, way_m).verdict);
    way_m -= length;
    seen.push_back(arc);
    const std::uint32_t next = q.shape.straight_on[index(arc)];
    if (way_m <= 0.0 || next == network::Shape::kNoMovement) break;
    worst = std::max(worst, table.movement(next).place.verdict);
    arc = q.net->movements[next].to;
    if (std::find(seen.begin(), seen.end(), arc) != seen.end()) break;
  }
  return worst;
}

Weights make_weights(const Question& q, const Attempt& attempt) {
  const Network& net = *q.net;
  const Objective objective = q.request->objective;
  Weights w;
  w.arc.assign(net.arc_count(), kShut);
  w.movement.assign(net.movements.size(), kShut);
  w.runway_mm.assign(net.arc_count(), 0);
  w.avoid_mm = q.avoid_mm;
  auto open = q.crosses;
  for (const ArcId a : attempt.opened) open[index(a)] = 1;
  for (std::uint32_t i = 0; i < net.arc_count(); ++i) {
    const ArcId a{i};
    if (shut(q, attempt, a)) continue;
    const double length = net.segment(a).length_m;
    if (q.is_runway(a)) {
      if (!attempt.runway_open && !open[i]) continue;
      if (attempt.runway_open && !open[i]) w.runway_mm[i] = std::llround(length * 1e3);
    }
    w.arc[i] = narrow(units(objective, length, attempt.table->arc(a)));
  }
  for (std::size_t m = 0; m < net.movements.size(); ++m) {
    const Movement& move = net.movements[m];
    if (w.arc[index(move.from)] == kShut || w.arc[index(move.to)] == kShut || shut(q, attempt, m)) continue;
    std::int64_t value = 0;
    if (move.turn_round) {
      const auto turn = attempt.table->turn_round(move.from);
      value = units(objective, turn_round_way_m(turn), turn.turn.cost);
    } else {
      value = units(objective, 0.0, attempt.table->movement(m).cost);
    }
    // Both parts are rounded; their sum, never negative before, must not become so.
    w.movement[m] = narrow(std::max<std::int64_t>(value, -w.arc[index(move.to)]));
  }
  return w;
}

}  // namespace solotaxi::routing
