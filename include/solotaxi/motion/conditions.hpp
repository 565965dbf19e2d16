// Everything a ground movement is computed under, apart from network and aircraft: mass, air, surface, and the model's own
// constants. Every value is an input; sources: P published, C common practice, A assumed, M from memory.
#pragma once

#include "solotaxi/aircraft/aircraft.hpp"
#include "solotaxi/aircraft/engine.hpp"

namespace solotaxi::motion {

enum class Surface { dry, wet, contaminated };
/// What each place must allow on the running set.
enum class Require { standing, rolling };

struct Conditions {
  double mass_kg = 60000;
  aircraft::Air air;
  double n1_limit_pct = 40;
  Surface surface = Surface::dry;
  Require require = Require::rolling;
  bool tight_at_limit = false;  ///< judge tight drawings at the steering limit instead of `tight_radius_m`
  bool apu_on = true;           ///< APU runs whenever an engine is off

  double mu_rolling = 0.015;      ///< [M textbooks 0.015–0.02, range 0.008–0.020]
  double breakaway_factor = 1.6;  ///< µ from rest / µ rolling [C 1.3–2]
  double thrust_margin = 0.10;    ///< verdicts compare with T_lim / (1 + margin) [C]
  double mu_side_dry = 0.40, mu_side_wet = 0.20, mu_side_contaminated = 0.05;  ///< nose wheel [A; peaks P NASA TR R-20]
  double min_grip_speed_kt = 3;  ///< a slower grip speed forbids the turn on the set [A]
  double scrub_n = 0;            ///< tyre scrub in turns, added to F [A 0]

  double speed_straight_kt = 20;    ///< [C]
  double speed_taxilane_kt = 10;    ///< [C]
  double speed_stand_kt = 5;        ///< stand line and connector [C]
  double speed_sharp_bend_kt = 10;  ///< bends over 60° [C]; from 45° on the limit falls toward it [A]
  double speed_turn_round_kt = 5;   ///< runway turn-round [C]
  double lateral_g = 0.133;         ///< [P ICAO Doc 9157-2]
  double braking_m_s2 = 0.8;        ///< a_dec [M]
  double acceleration_m_s2 = 0.3;   ///< a_acc [M]
  double acceleration_least_m_s2 = 0.02;
  double push_back_s = 120;     ///< [C]
  double start_zone_m = 30;     ///< driven first: must be `standing` [A]
  double fillet_radius_m = 30;  ///< R_fillet [A]
  double tight_radius_m = 30;   ///< [A = R_fillet]

  /// A grade nothing is known about is judged this many standard deviations uphill: missing data take the cautious verdict.
  /// Its fuel is that of the level. [A]
  double unknown_grade_sigmas = 2;

  /// Every known grade is taken so many of its standard deviations steeper, uphill in either direction: for sensitivity.
  double grade_sigmas = 0;

  double sigma_mass_share = 0.01, sigma_mu = 0.002, sigma_thrust_share = 0.05;  ///< one standard deviation [A]

  [[nodiscard]] double mu_side() const {
    return surface == Surface::dry ? mu_side_dry : surface == Surface::wet ? mu_side_wet : mu_side_contaminated;
  }
};

/// Throws Error (usage) naming the first value out of its range, or a mass outside the aircraft's.
void check_ranges(const Conditions& conditions, const aircraft::Aircraft& aircraft);

}  // namespace solotaxi::motion
