#include "solotaxi/motion/turn.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "solotaxi/units/quantity.hpp"

namespace solotaxi::motion {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();

/// +1 where the aircraft turns to the running engine's side, -1 to the other, 0 on a straight or with a centred thrust.
double toward(double mean_arm_m, double turn_sign) {
  const double product = mean_arm_m * turn_sign;
  return product > 0.0 ? 1.0 : product < 0.0 ? -1.0 : 0.0;
}

}  // namespace

double steering_angle_rad(double wheelbase_m, double line_radius_m) {
  return line_radius_m < wheelbase_m ? std::numeric_limits<double>::quiet_NaN() : std::asin(wheelbase_m / line_radius_m);
}

double least_radius_m(double wheelbase_m, double steering_max_deg) {
  return wheelbase_m / std::sin(steering_max_deg * std::numbers::pi / 180.0);
}

double main_gear_radius_m(double wheelbase_m, double line_radius_m) {
  if (line_radius_m <= wheelbase_m) return 0.0;
  if (std::isinf(line_radius_m)) return line_radius_m;
  return std::sqrt((line_radius_m - wheelbase_m) * (line_radius_m + wheelbase_m));
}

double thrust_factor(double mean_arm_m, double wheelbase_m, double line_radius_m, double turn_sign) {
  const double gear_radius_m = main_gear_radius_m(wheelbase_m, line_radius_m);
  if (gear_radius_m <= 0.0) return kInfinity;  // the nose wheel cannot follow such a line at all
  const double share = 1.0 - std::abs(mean_arm_m) / gear_radius_m * toward(mean_arm_m, turn_sign);
  return share > 0.0 ? 1.0 / share : kInfinity;
}

double nose_side_force_n(double thrust_n, double mean_arm_m, double wheelbase_m) {
  return thrust_n * mean_arm_m / wheelbase_m;
}

double comfort_speed_mps(double line_radius_m, double lateral_g) {
  return std::sqrt(lateral_g * kGravity.value() * line_radius_m);
}

double grip_speed_mps(double mu_side, double thrust_n, double mean_arm_m, double wheelbase_m, double nose_load_share,
                      double mass_kg, double line_radius_m, double turn_sign) {
  const double from_thrust = std::abs(nose_side_force_n(thrust_n, mean_arm_m, wheelbase_m)) / (nose_load_share * mass_kg);
  const double grip = mu_side * kGravity.value() - toward(mean_arm_m, turn_sign) * from_thrust;
  return grip > 0.0 ? std::sqrt(grip * main_gear_radius_m(wheelbase_m, line_radius_m)) : 0.0;
}

double grip_thrust_n(double mu_side, double speed_mps, double mean_arm_m, double wheelbase_m, double nose_load_share,
                     double mass_kg, double line_radius_m, double turn_sign) {
  const double gear_radius_m = main_gear_radius_m(wheelbase_m, line_radius_m);
  if (toward(mean_arm_m, turn_sign) <= 0.0) return kInfinity;
  if (gear_radius_m <= 0.0) return 0.0;
  const double left = mu_side * kGravity.value() - speed_mps * speed_mps / gear_radius_m;
  return left * wheelbase_m * nose_load_share * mass_kg / std::abs(mean_arm_m);
}

}  // namespace solotaxi::motion
