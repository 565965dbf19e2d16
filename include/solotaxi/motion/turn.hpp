// One aircraft in one turn: steering, the virtual-work thrust factor, nose-wheel grip, speed in the bend.
// Signs: right positive. Angles of a turn and lateral arms have the sign of their side. Radii are > 0, of the line.
#pragma once

namespace solotaxi::motion {

/// Nose-wheel angle [rad] that follows a line of radius R: asin(L / R); NaN where R < L
/// [Horonjeff et al., Planning and Design of Airports].
[[nodiscard]] double steering_angle_rad(double wheelbase_m, double line_radius_m);
/// The least line radius a nose-wheel limit allows: L / sin δ.
[[nodiscard]] double least_radius_m(double wheelbase_m, double steering_max_deg);
/// Radius the main gear runs on: √(R² - L²); 0 where R ≤ L.
[[nodiscard]] double main_gear_radius_m(double wheelbase_m, double line_radius_m);
/// T / F of a running set in a turn: 1 / (1 - ȳ κ), κ = ±1/R_m with the sign of the turn. Over 1 toward the running engine.
/// Infinity where it cannot be done: ȳ κ ≥ 1, or R ≤ L. 1 on a straight (infinite radius or `turn_sign` 0).
[[nodiscard]] double thrust_factor(double mean_arm_m, double wheelbase_m, double line_radius_m, double turn_sign);
/// Side force on the nose wheel from asymmetric thrust: T ȳ / L [N], sign of the engine's side.
[[nodiscard]] double nose_side_force_n(double thrust_n, double mean_arm_m, double wheelbase_m);
/// Speed limit in a bend from lateral acceleration: √(a_lat g R) [m/s].
[[nodiscard]] double comfort_speed_mps(double line_radius_m, double lateral_g);
/// Speed limit from the nose wheel's grip [m/s]: v² ≤ (µ g ∓ |T ȳ| / (L f_n m)) R_m; 0 where there is no grip left.
/// − toward the running engine, + away; neither with a centred thrust.
[[nodiscard]] double grip_speed_mps(double mu_side, double thrust_n, double mean_arm_m, double wheelbase_m,
                                    double nose_load_share, double mass_kg, double line_radius_m, double turn_sign);

/// The inverse: greatest thrust with which the nose wheel grips at a speed [N]. Infinite away from the running engine, where
/// more thrust is more grip, and with a centred thrust; negative where the speed alone is too much.
[[nodiscard]] double grip_thrust_n(double mu_side, double speed_mps, double mean_arm_m, double wheelbase_m,
                                   double nose_load_share, double mass_kg, double line_radius_m, double turn_sign);

}  // namespace solotaxi::motion
