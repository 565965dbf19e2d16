// One running set of an aircraft under given conditions, at single places: thrust, fuel flow, speed and verdict.
//
// Everything is folded to plain sums once, so that a place costs a few multiplications (ground-movement model, sections 2
// to 5). Thrusts in N and flows in kg/s are those of the whole running set; flows include the APU, which runs whenever an
// engine is off and the conditions let it. Immutable; may be shared between threads.
#pragma once

#include "solotaxi/aircraft/aircraft.hpp"
#include "solotaxi/motion/conditions.hpp"
#include "solotaxi/motion/cost.hpp"
#include "solotaxi/motion/verdict.hpp"

namespace solotaxi::motion {

/// The ground at a place, in the direction of travel; grades are rise over run.
struct Ground {
  double grade = 0.0;   ///< what fuel is computed with; level where unknown
  double judged = 0.0;  ///< what the verdict is judged on: the grade, or where unknown so many standard deviations uphill
  double sd = 0.0;      ///< standard deviation of the grade
  bool unknown = false;
};
/// Ground of a known grade.
[[nodiscard]] constexpr Ground known_ground(double grade, double sd = 0.0) { return {grade, grade, sd, false}; }
/// Ground where two pieces meet: the mean of both sides. Standard deviations are taken as wholly correlated.
[[nodiscard]] constexpr Ground mean(const Ground& a, const Ground& b) {
  return {0.5 * (a.grade + b.grade), 0.5 * (a.judged + b.judged), 0.5 * (a.sd + b.sd), a.unknown || b.unknown};
}

/// The way's bend at a place as this running set meets it; the default is a straight.
struct Bending {
  bool straight = true;
  double radius_m = 0.0;           ///< of the line; unused on a straight
  double sign = 0.0;               ///< +1 right, -1 left
  double factor = 1.0;             ///< T / F of the running set; infinity where it cannot be done
  double factor_all = 1.0;         ///< the same of every engine
  double speed_limit_mps = 1e9;    ///< comfort, and that of bends over 60°; grip comes on top, place by place
  double sure_grip_mps = 1e9;      ///< grip speed at the worst thrust within the limit, of this set and of every engine
  bool steerable = true;           ///< false: no nose wheel angle follows it
};

/// A verdict before it is put into margin and probability; `worse` of many costs little.
struct Judgement {
  Verdict verdict = Verdict::standing;
  Reasons reasons;
  double need_n = -1e30;    ///< thrust needed from the running set
  double spare_sd = 1e30;   ///< (T_lim - T_need) / σ
};
[[nodiscard]] Judgement worse(const Judgement& a, const Judgement& b);

class Places {
 public:
  /// Ranges are those of check_ranges (aircraft and conditions); they are not checked again.
  Places(const aircraft::Aircraft& aircraft, aircraft::RunningSet set, const Conditions& conditions);

  [[nodiscard]] aircraft::RunningSet running_set() const { return set_; }
  [[nodiscard]] bool every_engine() const { return every_engine_; }
  [[nodiscard]] const Conditions& conditions() const { return conditions_; }
  [[nodiscard]] double mean_arm_m() const { return arm_; }
  [[nodiscard]] double mass_kg() const { return mass_; }
  /// Least line radius the nose wheel can follow.
  [[nodiscard]] double least_radius_m() const { return least_radius_; }
  [[nodiscard]] double idle_thrust_n() const { return idle_; }
  [[nodiscard]] double limit_thrust_n() const { return limit_; }
  /// What verdicts compare with: T_lim / (1 + margin).
  [[nodiscard]] double usable_thrust_n() const { return usable_; }
  [[nodiscard]] double flow_kg_s(double thrust_n) const { return flow_base_ + flow_slope_ * thrust_n; }
  /// Standing still, braking, or rolling at idle.
  [[nodiscard]] double idle_flow_kg_s() const { return flow_kg_s(idle_); }

  /// Rolling resistance and slope [N]; scrub of the tyres is added in bends.
  [[nodiscard]] double force_n(double grade, const Bending& bending = {}) const;
  /// What must be overcome to start from rest [N]: the same with µ_b.
  [[nodiscard]] double breakaway_force_n(double grade, const Bending& bending = {}) const;
  /// Greatest thrust with which the nose wheel grips in the bend at this speed [N]; see motion::grip_thrust_n.
  [[nodiscard]] double grip_thrust_n(const Bending& bending, double speed_mps) const;
  /// clamp(F / (1 - ȳ κ), idle sum, limit sum).
  [[nodiscard]] double steady_thrust_n(double force_n, const Bending& bending = {}) const;
  /// Power that idle thrust beyond the need, and the slope, put into the brakes at a steady speed [W].
  [[nodiscard]] double brake_power_w(double grade, double speed_mps) const;
  /// Greatest mass the set can start from rest on a level straight [kg].
  [[nodiscard]] double standing_mass_limit_kg() const;
  /// Steepest straight on which it can be kept rolling, and on which it can be started from rest (rise over run).
  [[nodiscard]] double rolling_grade_limit() const;
  [[nodiscard]] double standing_grade_limit() const;

  /// A bend of line radius R and angle α (right positive; of the whole curve). `never_below_force`: thrust is not taken
  /// below F although the turn is away from the running engine (tight drawings).
  [[nodiscard]] Bending bending(double radius_m, double angle_rad, bool never_below_force = false) const;
  /// Speed limit of a bend before grip: comfort, and the limit of bends over 60°.
  [[nodiscard]] double comfort_limit_mps(double radius_m, double angle_rad) const;
  /// Greatest speed in the bend on this ground: comfort, bends over 60°, and nose-wheel grip with T = max(need, idle).
  /// Never below the least grip speed: where the grip does not allow that, the verdict forbids the bend. On the safe side,
  /// and so that neither mass nor an uphill grade ever makes a bend faster: a turn toward the running engine takes idle
  /// thrust on the aircraft's least mass, and a turn away from it is helped by idle thrust only.
  [[nodiscard]] double speed_mps(const Bending& bending, const Ground& ground) const;

  /// Verdict of the place (model section 4).
  [[nodiscard]] Judgement judge(const Ground& ground, const Bending& bending = {}) const;
  [[nodiscard]] PlaceVerdict verdict(const Judgement& judgement) const;

  /// Time lost by braking from v to v_m, at idle flow; nothing is credited.
  [[nodiscard]] Cost braking(double v_mps, double slower_mps) const;
  /// Acceleration left on a straight of this ground, at least `acceleration_least_m_s2`.
  [[nodiscard]] double acceleration_mps2(const Ground& ground) const;
  /// What speeding up from v_m toward v adds to driving at v all the way, with `way_m` before the speed is held back again.
  /// So that fuel never falls with mass or grade, its fuel is not taken below that against any lesser force, and where only
  /// the least acceleration is left its thrust is charged in full, even above the limit.
  [[nodiscard]] Cost speeding_up(double from_mps, double to_mps, double way_m, const Ground& ground) const;
  /// What driving τ at v_m with a bend's thrust adds to driving it straight at v; its fuel may be negative.
  [[nodiscard]] Cost bend_zone(double zone_m, double slow_mps, double v_mps, const Ground& ground,
                               const Bending& bending) const;

 private:
  [[nodiscard]] double acceleration_against(double force_n) const;
  [[nodiscard]] Cost speeding_up_against(double force_n, double from_mps, double to_mps, double way_m) const;
  [[nodiscard]] double grip_mps(double thrust_n, double arm_m, const Bending& bending) const;
  [[nodiscard]] bool grips(double thrust_n, double arm_m, const Bending& bending) const;
  [[nodiscard]] Reasons thrust_reasons(const Ground& ground, double scrub_n, double mu, double factor,
                                       double usable_n) const;

  Conditions conditions_;
  aircraft::RunningSet set_;
  bool every_engine_ = true;
  double mass_, least_mass_, weight_, wheelbase_, least_radius_, nose_share_;
  double arm_, arm_all_;
  double idle_, limit_, usable_, idle_all_, limit_all_, usable_all_;
  double flow_base_, flow_slope_;
  double mu_breakaway_, sharp_mps_, least_grip_mps_;
};

}  // namespace solotaxi::motion
