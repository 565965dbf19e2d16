#include "network/shape_bend.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

#include "solotaxi/base/error.hpp"

namespace solotaxi::network::detail {
namespace {

constexpr double kSharpest = 135.0 * kDegree;      ///< no vertex turns more
constexpr double kTightDrawing = 100.0 * kDegree;  ///< a place turning more is not taken for a drawing fault

void need(bool in_range, const char* name, double value, const char* range) {
  if (!in_range) throw usage_error(std::string(name) + " = " + std::to_string(value) + " is out of range", range);
}

}  // namespace

Judge::Judge(const ShapeOptions& o) : options_(o) {
  need(o.wheelbase_m > 0.0 && std::isfinite(o.wheelbase_m), "wheelbase_m", o.wheelbase_m, "over 0 m");
  need(o.steering_max_deg > 0.0 && o.steering_max_deg <= 90.0, "steering_max_deg", o.steering_max_deg,
       "over 0 to 90 degrees");
  need(o.fillet_radius_m > 0.0 && std::isfinite(o.fillet_radius_m), "fillet_radius_m", o.fillet_radius_m, "over 0 m");
  need(o.tight_radius_m > 0.0 && std::isfinite(o.tight_radius_m), "tight_radius_m", o.tight_radius_m, "over 0 m");
  need(o.simplify_m >= 0.0 && std::isfinite(o.simplify_m), "simplify_m", o.simplify_m, "0 m or more");
  least_radius_m_ = o.wheelbase_m / std::sin(o.steering_max_deg * kDegree);
  fillet_excess_m_ = o.fillet_radius_m * (1.0 / std::cos(15.0 * kDegree) - 1.0);
}

Turned Judge::turned(double angle_rad, std::span<const VertexBend> behind, std::span<const VertexBend> ahead) const {
  const double half_m = 0.5 * options_.wheelbase_m;
  double net = angle_rad, most = 0.0, back = angle_rad, back_m = 0.0;
  for (const VertexBend& b : ahead)
    if (b.at_m <= half_m) net += b.angle_rad;
  for (std::size_t i = 0;; ++i) {
    double sum = back;
    most = std::max(most, std::abs(sum));
    for (const VertexBend& b : ahead) {
      if (back_m + b.at_m > options_.wheelbase_m) break;
      sum += b.angle_rad;
      most = std::max(most, std::abs(sum));
    }
    if (i == behind.size() || behind[i].at_m > options_.wheelbase_m) break;
    back -= behind[i].angle_rad;
    back_m = behind[i].at_m;
    if (back_m <= half_m) net -= behind[i].angle_rad;
  }
  return {most, std::abs(net)};
}

Bend Judge::single(double angle_rad, Straight before, Straight after, Turned turned) const {
  Bend b;
  b.angle_rad = b.own_angle_rad = angle_rad;
  const double angle = std::abs(angle_rad);
  if (angle >= std::numbers::pi - 1e-9) {  // straight back: no circle touches both legs
    b.radius_m = b.drawn_radius_m = 0.0;
    b.refused = true;
    return b;
  }
  const double half = std::tan(0.5 * angle);
  const double drawn = std::min(before.tangent_m(), after.tangent_m()) / half;
  const double cap = cap_m(angle);
  b.radius_m = std::max(std::min(drawn, cap), options_.wheelbase_m / turned.most_rad);
  b.assumed = b.radius_m == options_.fillet_radius_m && drawn > cap;
  b.refused = angle > kSharpest;
  // A hook that the drawing itself undoes within the wheelbase is a drawing fault, however sharp.
  hold_to_steering(b, options_.wheelbase_m / turned.net_rad >= least_radius_m_);
  const double zone = std::isinf(b.radius_m) ? 0.0 : driven_radius_m(b) * half;
  b.zone_before_m = std::min(zone, before.length_m);
  b.zone_after_m = std::min(zone, after.length_m);
  return b;
}

Bend Judge::curve(const CurveRun& run, Straight before, Straight after) const {
  Bend b;
  b.curve = true;
  b.angle_rad = run.angle_rad;
  const double angle = std::abs(run.angle_rad);
  b.radius_m = std::max(run.way_m, options_.wheelbase_m) / angle;
  if (run.corner > 0.0) {  // then no tighter than an undrawn corner of its angle
    const double fits = (std::min(before.tangent_m(), after.tangent_m()) + 0.5 * run.way_m) / std::tan(0.5 * angle);
    b.radius_m += run.corner * std::max(0.0, std::min(fits, cap_m(angle)) - b.radius_m);
  }
  hold_to_steering(b, run.in_parts);
  const double zone = std::max(0.0, 0.5 * (driven_radius_m(b) * angle - (run.last_m - run.first_m)));
  b.zone_before_m = std::min(zone, before.length_m);
  b.zone_after_m = std::min(zone, after.length_m);
  return b;
}

double Judge::cap_m(double angle_rad) const {
  return std::max(options_.fillet_radius_m, fillet_excess_m_ / (1.0 / std::cos(0.5 * angle_rad) - 1.0));
}

bool Judge::refuses_curve(double angle_rad, double way_m) const {
  const double angle = std::abs(angle_rad);
  return angle > kTightDrawing && std::max(way_m, options_.wheelbase_m) / angle < least_radius_m_;
}

double Judge::driven_radius_m(const Bend& b) const { return b.tight_drawing ? least_radius_m_ : b.radius_m; }

void Judge::hold_to_steering(Bend& b, bool undone) const {
  b.drawn_radius_m = b.radius_m;
  if (b.refused || b.radius_m >= least_radius_m_) return;
  if (std::abs(b.angle_rad) > kTightDrawing && !undone) {
    b.refused = true;
    return;
  }
  b.tight_drawing = true;
  b.assumed = false;
  b.radius_m = std::max(options_.tight_radius_m, least_radius_m_);
}

Bend reversed(const Bend& bend) {
  Bend r = bend;
  r.angle_rad = -bend.angle_rad;
  r.own_angle_rad = -bend.own_angle_rad;
  r.faint = static_cast<std::int8_t>(-bend.faint);
  std::swap(r.curve_begins, r.curve_ends);
  std::swap(r.zone_before_m, r.zone_after_m);
  return r;
}

}  // namespace solotaxi::network::detail
