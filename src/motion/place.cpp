#include "solotaxi/motion/place.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "solotaxi/motion/force.hpp"
#include "solotaxi/motion/turn.hpp"

namespace solotaxi::motion {

namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
constexpr double kSharpBendRad = std::numbers::pi / 3.0;  // over 60°: the slow limit [common practice, no source]
constexpr double kSharperBendRad =
    std::numbers::pi / 4.0;                 // from 45° on toward it, so that a degree decides nothing; assumed
constexpr double kSameRadius = 1.0 - 1e-9;  // a radius at the steering limit itself is still steered

constexpr double kSureSd = 9.0;  // beyond, Φ is 1 to the last bit

double normal_distribution(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

/// F times a turn's factor; a turn that cannot be done needs thrust without end, downhill too.
double need_n(double force_n, double factor) { return std::isfinite(factor) ? force_n * factor : kInfinity; }

}  // namespace

Judgement worse(const Judgement& a, const Judgement& b) {
  const bool b_is_worse = b.verdict != a.verdict ? b.verdict > a.verdict : b.need_n > a.need_n;
  Judgement out = b_is_worse ? b : a;
  if (a.verdict == b.verdict) out.reasons.add(b_is_worse ? a.reasons : b.reasons);
  out.spare_sd = std::min(a.spare_sd, b.spare_sd);
  return out;
}

Places::Places(const aircraft::Aircraft& aircraft, aircraft::RunningSet set, const Conditions& conditions)
    : conditions_(conditions),
      set_(set),
      every_engine_(set == aircraft::all_engines(aircraft)),
      mass_(conditions.mass_kg),
      least_mass_(std::min(aircraft.mass_min_kg, conditions.mass_kg)),
      weight_(conditions.mass_kg * kGravity.value()),
      wheelbase_(aircraft.wheelbase_m),
      least_radius_(motion::least_radius_m(aircraft.wheelbase_m, aircraft.steering_max_deg)),
      nose_share_(aircraft.nose_load_share),
      arm_(aircraft::mean_arm_m(aircraft, set)),
      arm_all_(aircraft::mean_arm_m(aircraft, aircraft::all_engines(aircraft))),
      mu_breakaway_(conditions.mu_rolling * conditions.breakaway_factor),
      sharp_mps_(knots(conditions.speed_sharp_bend_kt).value()),
      least_grip_mps_(knots(conditions.min_grip_speed_kt).value()) {
  const aircraft::Engine engine(aircraft, conditions.air, conditions.n1_limit_pct);
  const double count = set.count(), every = aircraft.engines(), safe = 1.0 + conditions.thrust_margin;
  idle_ = count * engine.idle_thrust_n();
  limit_ = count * engine.limit_thrust_n();
  usable_ = limit_ / safe;
  idle_all_ = every * engine.idle_thrust_n();
  limit_all_ = every * engine.limit_thrust_n();
  usable_all_ = limit_all_ / safe;
  const double apu = !every_engine_ && conditions.apu_on ? aircraft.apu_run_kg_h / 3600.0 : 0.0;
  flow_base_ = count * engine.flow_kg_s(0.0) + apu;
  flow_slope_ = engine.flow_kg_s(1.0) - engine.flow_kg_s(0.0);  // the same for a sum of thrusts
}

double Places::force_n(double grade, const Bending& bending) const {
  return rolling_force_n(mass_, conditions_.mu_rolling, grade) + (bending.straight ? 0.0 : conditions_.scrub_n);
}

double Places::breakaway_force_n(double grade, const Bending& bending) const {
  return rolling_force_n(mass_, mu_breakaway_, grade) + (bending.straight ? 0.0 : conditions_.scrub_n);
}

double Places::grip_thrust_n(const Bending& bending, double speed_mps) const {
  if (bending.straight) return kInfinity;
  return motion::grip_thrust_n(conditions_.mu_side(), speed_mps, arm_, wheelbase_, nose_share_, mass_, bending.radius_m,
                               bending.sign);
}

double Places::steady_thrust_n(double force, const Bending& bending) const {
  return std::clamp(need_n(force, bending.factor), idle_, limit_);
}

double Places::brake_power_w(double grade, double speed_mps) const {
  return std::max(0.0, idle_ - force_n(grade)) * speed_mps;
}

double Places::standing_mass_limit_kg() const { return usable_ / (kGravity.value() * mu_breakaway_); }
double Places::rolling_grade_limit() const { return limiting_grade(usable_, mass_, conditions_.mu_rolling); }
double Places::standing_grade_limit() const { return limiting_grade(usable_, mass_, mu_breakaway_); }

Bending Places::bending(double radius_m, double angle_rad, bool never_below_force) const {
  Bending out;
  if (!std::isfinite(radius_m) || angle_rad == 0.0) return out;
  out.straight = false;
  out.radius_m = radius_m;
  out.sign = angle_rad > 0.0 ? 1.0 : -1.0;
  out.factor = thrust_factor(arm_, wheelbase_, radius_m, out.sign);
  out.factor_all = arm_all_ == arm_ ? out.factor : thrust_factor(arm_all_, wheelbase_, radius_m, out.sign);
  if (never_below_force) {
    out.factor = std::max(1.0, out.factor);
    out.factor_all = std::max(1.0, out.factor_all);
  }
  out.speed_limit_mps = comfort_limit_mps(radius_m, angle_rad);
  // Toward a running engine more thrust is less grip, away from it more.
  const double most = std::max(limit_, idle_ * mass_ / least_mass_);
  out.sure_grip_mps = std::min(grip_mps(arm_ * out.sign > 0.0 ? most : idle_, arm_, out),
                               grip_mps(arm_all_ * out.sign > 0.0 ? limit_all_ : idle_all_, arm_all_, out));
  out.steerable = radius_m >= least_radius_ * kSameRadius;
  return out;
}

double Places::comfort_limit_mps(double radius_m, double angle_rad) const {
  const double comfort = comfort_speed_mps(radius_m, conditions_.lateral_g);
  const double sharpness = (std::abs(angle_rad) - kSharperBendRad) / (kSharpBendRad - kSharperBendRad);
  return comfort - std::clamp(sharpness, 0.0, 1.0) * std::max(0.0, comfort - sharp_mps_);
}

double Places::speed_mps(const Bending& bending, const Ground& ground) const {
  if (bending.straight) return bending.speed_limit_mps;
  double thrust = idle_;  // away from the running engine no more than idle is credited
  if (arm_ * bending.sign > 0.0) {
    const double need = need_n(force_n(ground.grade, bending), bending.factor);
    if (need <= limit_ && bending.sure_grip_mps >= bending.speed_limit_mps) return bending.speed_limit_mps;
    thrust = std::max(need, idle_ * mass_ / least_mass_);
  }
  return std::min(bending.speed_limit_mps, std::max(grip_mps(thrust, arm_, bending), least_grip_mps_));
}

double Places::grip_mps(double thrust_n, double arm_m, const Bending& bending) const {
  return grip_speed_mps(conditions_.mu_side(), thrust_n, arm_m, wheelbase_, nose_share_, mass_, bending.radius_m,
                        bending.sign);
}

bool Places::grips(double thrust_n, double arm_m, const Bending& bending) const {
  if (thrust_n <= limit_ && bending.sure_grip_mps >= least_grip_mps_) return true;
  return bending.straight || grip_mps(thrust_n, arm_m, bending) >= least_grip_mps_;
}

/// What stands in the way of a thrust that is short: whatever alone, or failing that together, would do without.
Reasons Places::thrust_reasons(const Ground& ground, double scrub, double mu, double factor, double usable) const {
  const double here = rolling_force_n(mass_, mu, ground.judged), level = rolling_force_n(mass_, mu, 0.0);
  const Reason slope = ground.unknown ? Reason::unknown_grade : Reason::grade;
  const bool uphill = ground.judged > 0.0, turns = factor > 1.0;
  Reasons out;
  if (uphill && need_n(level + scrub, factor) <= usable) out.add(slope);
  if (turns && here <= usable) out.add(Reason::turn);
  if (out.bits == 0 && uphill && turns && level <= usable) out.add(slope), out.add(Reason::turn);
  if (out.bits == 0) out.add(Reason::mass);
  return out;
}

Judgement Places::judge(const Ground& ground, const Bending& bending) const {
  if (!bending.steerable) {
    Judgement out = judge(ground);
    out.verdict = Verdict::blocked;
    out.reasons = {};
    out.reasons.add(Reason::steering);
    return out;
  }
  const double scrub = bending.straight ? 0.0 : conditions_.scrub_n, mu_rolling = conditions_.mu_rolling;
  const double cosine = 1.0 / std::sqrt(1.0 + ground.judged * ground.judged);
  const double rolling_force = weight_ * cosine * (mu_rolling + ground.judged) + scrub;
  const double standing_force = rolling_force + weight_ * cosine * (mu_breakaway_ - mu_rolling);
  const double rolling_need = need_n(rolling_force, bending.factor), standing_need = need_n(standing_force, bending.factor);
  const bool rolling_grip = grips(std::max(rolling_need, idle_), arm_, bending);
  const bool standing_grip = rolling_grip && grips(std::max(standing_need, idle_), arm_, bending);

  Judgement out;
  if (standing_need > usable_ || !standing_grip) {
    out.verdict = Verdict::rolling;
    if (rolling_need > usable_ || !rolling_grip) {
      if (rolling_need > usable_) out.reasons.add(thrust_reasons(ground, scrub, mu_rolling, bending.factor, usable_));
      if (!rolling_grip) out.reasons.add(Reason::nose_grip);
      // A grade that is only assumed may ask for every engine, but does not shut the way to them.
      Ground sure = ground;
      if (ground.unknown) sure.judged = ground.grade;
      const double need_all = need_n(rolling_force_n(mass_, mu_rolling, sure.judged) + scrub, bending.factor_all);
      const bool grip_all = grips(std::max(need_all, idle_all_), arm_all_, bending);
      if (need_all > usable_all_ || !grip_all) {
        out.verdict = Verdict::blocked;
        if (need_all > usable_all_ && !every_engine_)
          out.reasons.add(thrust_reasons(sure, scrub, mu_rolling, bending.factor_all, usable_all_));
        if (!grip_all) out.reasons.add(Reason::nose_grip);
      } else if (!every_engine_) {
        out.verdict = Verdict::all;
      }
    } else {
      if (standing_need > usable_) out.reasons.add(thrust_reasons(ground, scrub, mu_breakaway_, bending.factor, usable_));
      if (!standing_grip) out.reasons.add(Reason::nose_grip);
    }
  }
  if (conditions_.surface == Surface::contaminated && !every_engine_) {
    out.verdict = std::max(out.verdict, Verdict::all);
    out.reasons.add(Reason::surface);
  }

  const bool from_rest = out.verdict == Verdict::standing;
  const double mu = from_rest ? mu_breakaway_ : mu_rolling;
  const double force = from_rest ? standing_force : rolling_force;
  out.need_n = need_n(force, bending.factor);
  if (!std::isfinite(out.need_n)) {
    out.spare_sd = -kInfinity;
    return out;
  }
  // The chance is that of the grade as it is expected, not as it is judged.
  const double expected = need_n(ground.unknown ? rolling_force_n(mass_, mu, ground.grade) + scrub : force, bending.factor);
  const double breakaway = mu / mu_rolling;
  const double from_mass = expected * conditions_.sigma_mass_share;
  const double from_mu = bending.factor * weight_ * conditions_.sigma_mu * breakaway;
  const double from_grade = bending.factor * weight_ * ground.sd;
  const double from_thrust = limit_ * conditions_.sigma_thrust_share;
  const double sigma =
      std::sqrt(from_mass * from_mass + from_mu * from_mu + from_grade * from_grade + from_thrust * from_thrust);
  const double spare = limit_ - expected;
  out.spare_sd = sigma > 0.0 ? spare / sigma : spare >= 0.0 ? kInfinity : -kInfinity;
  return out;
}

PlaceVerdict Places::verdict(const Judgement& judgement) const {
  PlaceVerdict out{judgement.verdict, judgement.reasons, std::numeric_limits<double>::quiet_NaN(),
                   judgement.spare_sd > kSureSd ? 1.0 : normal_distribution(judgement.spare_sd)};
  if (std::isinf(judgement.need_n))
    out.margin = -1.0;  // no thrust is enough
  else if (judgement.need_n > 0.0)
    out.margin = (limit_ - judgement.need_n) / judgement.need_n;
  return out;
}

Cost Places::braking(double v_mps, double slower_mps) const {
  if (!(v_mps > slower_mps)) return {};
  const double lost = v_mps - slower_mps;
  const double time = lost * lost / (2.0 * conditions_.braking_m_s2 * v_mps);
  return {time, idle_flow_kg_s() * time};
}

double Places::acceleration_mps2(const Ground& ground) const { return acceleration_against(force_n(ground.grade)); }

double Places::acceleration_against(double force) const {
  const double left = (limit_ - force) / mass_;
  return std::max(std::min(conditions_.acceleration_m_s2, left), conditions_.acceleration_least_m_s2);
}

/// What speeding up against a force adds, as the model has it.
Cost Places::speeding_up_against(double force, double from_mps, double to_mps, double way_m) const {
  const double a = acceleration_against(force);
  const double steady = flow_kg_s(steady_thrust_n(force));
  const bool least = (limit_ - force) / mass_ < a;
  const double thrust = least ? steady_thrust_n(force) + mass_ * a : steady_thrust_n(force + mass_ * a);
  const double high = std::min(to_mps, std::sqrt(from_mps * from_mps + 2.0 * a * way_m));
  const double gained = high - from_mps, takes = gained / a, lost = gained * gained / (2.0 * a * high);
  Cost out{lost, flow_kg_s(thrust) * takes - steady * (takes - lost)};
  if (high < to_mps) {
    const double late = way_m * (1.0 / high - 1.0 / to_mps);
    out += {late, steady * late};
  }
  return out;
}

Cost Places::speeding_up(double from_mps, double to_mps, double way_m, const Ground& ground) const {
  if (!(to_mps > from_mps) || !(way_m > 0.0)) return {};
  const double force = force_n(ground.grade);
  Cost out = speeding_up_against(force, from_mps, to_mps, way_m);
  // Up to this force what is added grows with it. Beyond, the speed is not reached in the way there is, and the steady flow
  // that is taken off may grow faster than the time under full thrust.
  const double enough = (to_mps * to_mps - from_mps * from_mps) / (2.0 * way_m);
  const double grows_to = std::max(idle_, limit_ - mass_ * std::min(conditions_.acceleration_m_s2, enough));
  if (force > grows_to) out.fuel_kg = std::max(out.fuel_kg, speeding_up_against(grows_to, from_mps, to_mps, way_m).fuel_kg);
  return out;
}

Cost Places::bend_zone(double zone_m, double slow_mps, double v_mps, const Ground& ground, const Bending& bending) const {
  const double turning = flow_kg_s(steady_thrust_n(force_n(ground.grade, bending), bending));
  const double straight = flow_kg_s(steady_thrust_n(force_n(ground.grade)));
  return {zone_m * (1.0 / slow_mps - 1.0 / v_mps), turning * zone_m / slow_mps - straight * zone_m / v_mps};
}

}  // namespace solotaxi::motion
