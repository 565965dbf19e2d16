#include "solotaxi/motion/conditions.hpp"

#include <cstdio>
#include <string>

#include "solotaxi/base/error.hpp"

namespace solotaxi::motion {

namespace {

struct Range {
  const char* name;
  double Conditions::*member;
  double least, most;
  const char* unit;
};

// Wide enough for any real question; they catch a slip of unit or decimal point.
constexpr Range kRanges[] = {
    {"n1_limit_pct", &Conditions::n1_limit_pct, 10, 100, "%"},
    {"mu_rolling", &Conditions::mu_rolling, 0.001, 0.10, ""},
    {"breakaway_factor", &Conditions::breakaway_factor, 1, 5, ""},
    {"thrust_margin", &Conditions::thrust_margin, 0, 2, ""},
    {"mu_side_dry", &Conditions::mu_side_dry, 0.01, 1.5, ""},
    {"mu_side_wet", &Conditions::mu_side_wet, 0.01, 1.5, ""},
    {"mu_side_contaminated", &Conditions::mu_side_contaminated, 0.01, 1.5, ""},
    {"min_grip_speed_kt", &Conditions::min_grip_speed_kt, 0.5, 10, "kt"},
    {"scrub_n", &Conditions::scrub_n, 0, 100000, "N"},
    {"speed_straight_kt", &Conditions::speed_straight_kt, 1, 60, "kt"},
    {"speed_taxilane_kt", &Conditions::speed_taxilane_kt, 1, 60, "kt"},
    {"speed_stand_kt", &Conditions::speed_stand_kt, 1, 60, "kt"},
    {"speed_sharp_bend_kt", &Conditions::speed_sharp_bend_kt, 1, 60, "kt"},
    {"speed_turn_round_kt", &Conditions::speed_turn_round_kt, 1, 60, "kt"},
    {"lateral_g", &Conditions::lateral_g, 0.01, 0.5, "g"},
    {"braking_m_s2", &Conditions::braking_m_s2, 0.05, 4, "m/s2"},
    {"acceleration_m_s2", &Conditions::acceleration_m_s2, 0.02, 3, "m/s2"},
    {"acceleration_least_m_s2", &Conditions::acceleration_least_m_s2, 0.001, 1, "m/s2"},
    {"push_back_s", &Conditions::push_back_s, 0, 3600, "s"},
    {"start_zone_m", &Conditions::start_zone_m, 0, 1000, "m"},
    {"fillet_radius_m", &Conditions::fillet_radius_m, 1, 500, "m"},
    {"tight_radius_m", &Conditions::tight_radius_m, 1, 500, "m"},
    {"unknown_grade_sigmas", &Conditions::unknown_grade_sigmas, 0, 5, ""},
    {"grade_sigmas", &Conditions::grade_sigmas, -5, 5, ""},
    {"sigma_mass_share", &Conditions::sigma_mass_share, 0, 0.5, ""},
    {"sigma_mu", &Conditions::sigma_mu, 0, 0.05, ""},
    {"sigma_thrust_share", &Conditions::sigma_thrust_share, 0, 0.5, ""},
};

std::string number(double v) {
  char text[32];
  std::snprintf(text, sizeof text, "%.10g", v);
  return text;
}

void check(const std::string& name, double value, double least, double most, const std::string& unit) {
  if (value >= least && value <= most) return;  // false for NaN too
  const std::string space = unit.empty() ? "" : " ";
  throw Error(ErrorClass::usage,
              number(value) + space + unit + " is out of range " + number(least) + " to " + number(most) + space + unit,
              Where{{}, {}, name});
}

}  // namespace

void check_ranges(const Conditions& conditions, const aircraft::Aircraft& aircraft) {
  check("mass_kg", conditions.mass_kg, aircraft.mass_min_kg, aircraft.mass_max_kg, "kg");
  check("pressure_hpa", conditions.air.pressure_pa / 100.0, 300, 1100, "hPa");
  check("oat_c", conditions.air.temperature_k - 273.15, -80, 60, "C");
  for (const Range& r : kRanges) check(r.name, conditions.*r.member, r.least, r.most, r.unit);
  if (conditions.n1_limit_pct < aircraft.idle_n1_pct)
    throw Error(ErrorClass::usage,
                number(conditions.n1_limit_pct) + " % is below idle at " + number(aircraft.idle_n1_pct) + " %",
                Where{{}, {}, "n1_limit_pct"});
}

}  // namespace solotaxi::motion
