#include "arc_places.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace solotaxi::motion {

using network::LineKind;
using network::Segment;

double place_speed_mps(const Segment& segment, const Conditions& conditions) {
  double kt = conditions.speed_straight_kt;
  if (segment.kind == LineKind::taxilane) kt = conditions.speed_taxilane_kt;
  if (segment.kind == LineKind::stand_line || segment.kind == LineKind::connector) kt = conditions.speed_stand_kt;
  const double usual = knots(kt).value();
  return segment.speed_limit && segment.speed_limit->value() > 0.0 ? std::min(usual, segment.speed_limit->value()) : usual;
}

Ground interval_ground(const Segment& segment, bool along, std::size_t i, const Conditions& conditions) {
  const std::size_t k = along ? i : segment.profile.size() - 2 - i;
  const network::Knot &low = segment.profile[k], &high = segment.profile[k + 1];
  const double grade = (high.height_m - low.height_m) / (high.at_m - low.at_m);
  const double sd = k < segment.grade_sd.size() && std::isfinite(segment.grade_sd[k]) ? segment.grade_sd[k] : 0.0;
  if (!std::isfinite(grade)) return {0.0, conditions.unknown_grade_sigmas * sd, sd, true};
  return known_ground((along ? grade : -grade) + conditions.grade_sigmas * sd, sd);
}

Bending bending_of(const Places& places, const network::Bend& bend) {
  Bending out;
  if (bend.tight_drawing && places.conditions().tight_at_limit)
    out = places.bending(places.least_radius_m(), bend.angle_rad);
  else
    out = places.bending(bend.radius_m, bend.angle_rad, bend.tight_drawing);
  if (bend.tight_drawing) out.speed_limit_mps = places.comfort_limit_mps(places.least_radius_m(), bend.angle_rad);
  if (bend.refused) out.steerable = false;
  return out;
}

RoundTurn round_turn(const Places& places) {
  RoundTurn out{places.least_radius_m(), places.mean_arm_m() > 0.0 ? -1.0 : 1.0, {}};
  out.bending = places.bending(out.radius_m, out.side * std::numbers::pi);
  return out;
}

double round_turn_mps(const Places& places, const RoundTurn& turn, const Ground& ground) {
  return std::min(places.speed_mps(turn.bending, ground), knots(places.conditions().speed_turn_round_kt).value());
}

}  // namespace solotaxi::motion
