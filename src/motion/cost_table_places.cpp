// Grounds and verdicts of parts of arcs, starts, stops and turn-rounds.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "arc_places.hpp"
#include "cost_table_visit.hpp"
#include "solotaxi/motion/cost_table.hpp"

namespace solotaxi::motion {

using network::ArcId;
using network::Segment;

namespace {
constexpr double kPartMost = 100.0;  // m, of a part that is judged by itself
constexpr double kSamePoint = 1e-3;  // m, places so near to a knot of the profile lie on it
}  // namespace

/// Interval i counted in the arc's own direction.
Ground CostTable::interval_ground(ArcId a, std::size_t i) const {
  return motion::interval_ground(network_->segment(a), network::is_along(a), i, places_.conditions());
}

Ground CostTable::ground_at(ArcId a, double at_m) const {
  const Segment& segment = network_->segment(a);
  const std::size_t intervals = segment.profile.size() - 1;
  const double chainage = network::is_along(a) ? at_m : segment.length_m - at_m;
  const auto above = std::upper_bound(segment.profile.begin() + 1, segment.profile.end() - 1, chainage,
                                      [](double at, const network::Knot& knot) { return at < knot.at_m; });
  const auto k = static_cast<std::size_t>(above - segment.profile.begin()) - 1;  // interval that holds it
  const auto own = [&](std::size_t interval) {
    return interval_ground(a, network::is_along(a) ? interval : intervals - 1 - interval);
  };
  if (k > 0 && chainage - segment.profile[k].at_m < kSamePoint) return mean(own(k - 1), own(k));
  if (k + 1 < intervals && segment.profile[k + 1].at_m - chainage < kSamePoint) return mean(own(k), own(k + 1));
  return own(k);
}

Ground CostTable::start_ground(ArcId a) const { return interval_ground(a, 0); }
Ground CostTable::end_ground(ArcId a) const { return interval_ground(a, network_->segment(a).profile.size() - 2); }

PlaceVerdict CostTable::finish(ArcId a, const Judgement& judgement) const {
  PlaceVerdict out = places_.verdict(judgement);
  if (shut(network_->segment(a))) {
    out.verdict = Verdict::blocked;
    out.reasons = {};
    out.reasons.add(Reason::closed);
  }
  return out;
}

Judgement CostTable::judge_part(ArcId a, double from_m, double to_m) const {
  Judgement worst = places_.judge(ground_at(a, from_m));
  bool first = true;
  visit(a, from_m, to_m, [&](double length, const Ground& ground, const Bending& leg) {
    if (length < kSamePoint) return;  // rounding, where a part ends at a knot
    const Judgement here = places_.judge(ground, leg);
    worst = first ? here : worse(worst, here);
    first = false;
  });
  for (std::size_t b = first_bend(a); b < past_bends(a); ++b) {
    const network::Bend& bend = shape_->bends[b];
    if (!bend.curve && bend.at_m >= from_m && bend.at_m < to_m)
      worst = worse(worst, places_.judge(ground_at(a, bend.at_m), bending_[b]));
  }
  return worst;
}

PlaceVerdict CostTable::start_zone(ArcId a, double metres) const {
  return finish(a, judge_part(a, 0.0, std::min(metres, network_->segment(a).length_m)));
}

std::vector<Stretch> CostTable::stretches(ArcId a) const {
  const double length = network_->segment(a).length_m;
  const int parts = std::max(1, static_cast<int>(std::ceil(length / kPartMost)));
  std::vector<Stretch> out;
  for (int i = 0; i < parts; ++i) {
    const double from = length * i / parts, to = i + 1 == parts ? length : length * (i + 1) / parts;
    const PlaceVerdict place = finish(a, judge_part(a, from, to));
    if (!out.empty() && out.back().place.verdict == place.verdict && out.back().place.reasons == place.reasons) {
      out.back().to_m = to;
      out.back().place = worse(out.back().place, place);
    } else {
      out.push_back({from, to, place});
    }
  }
  return out;
}

Cost CostTable::start_from_rest(ArcId a) const {
  return speed_up(0.0, start_speed_mps(a), start_ground(a), a, 0.0, first_bend(a), 0.0);
}

Cost CostTable::stop(ArcId a) const { return places_.braking(end_speed_mps(a), 0.0); }

CostTable::TurnRound CostTable::turn_round(ArcId a, ArcId onto) const {
  TurnRound out;
  const RoundTurn round = round_turn(places_);
  const Bending& bending = round.bending;
  out.radius_m = round.radius_m;
  out.side = round.side;
  // The heading goes from one way's grade to the other's: fuel on the mean, the verdict on the worse.
  const Ground before = end_ground(a), after = start_ground(onto), ground = mean(before, after);
  TurnCost& turn = out.turn;
  turn.thrust_factor = bending.factor;
  turn.place = places_.verdict(worse(places_.judge(before, bending), places_.judge(after, bending)));
  turn.speed_mps = round_turn_mps(places_, round, ground);
  const double time = std::numbers::pi * out.radius_m / turn.speed_mps;
  const double thrust = places_.steady_thrust_n(places_.force_n(ground.grade, bending), bending);
  turn.cost = Cost{time, places_.flow_kg_s(thrust) * time} + places_.braking(end_speed_mps(a), turn.speed_mps) +
              speed_up(turn.speed_mps, start_speed_mps(onto), ground, onto, 0.0, first_bend(onto), 0.0);
  return out;
}

PlaceVerdict CostTable::at_limit(const network::Bend& bend, const Ground& ground) const {
  Bending bending = places_.bending(places_.least_radius_m(), bend.angle_rad);
  if (bend.refused) bending.steerable = false;
  return places_.verdict(places_.judge(ground, bending));
}

PlaceVerdict CostTable::movement_at_limit(std::size_t m) const {
  const network::Movement& movement = network_->movements[m];
  if (!shape_->movement[m].tight_drawing) return movement_[m].place;
  return at_limit(shape_->movement[m], mean(end_ground(movement.from), start_ground(movement.to)));
}

PlaceVerdict CostTable::bend_at_limit(std::size_t b) const {
  if (!shape_->bends[b].tight_drawing) return bend_[b].place;
  const auto past = std::upper_bound(shape_->first_bend.begin(), shape_->first_bend.end(), static_cast<std::uint32_t>(b));
  const ArcId a{static_cast<std::uint32_t>(past - shape_->first_bend.begin()) - 1};
  return at_limit(shape_->bends[b], ground_at(a, shape_->bends[b].at_m));
}

}  // namespace solotaxi::motion
