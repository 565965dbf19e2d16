// Forces on the rolling aircraft.
#pragma once

namespace solotaxi::motion {

/// Rolling resistance and weight along the slope [N]: m g (µ cos γ + sin γ), tan γ = grade. Air drag is left out
/// (< 2 % at 20 kt). Negative when the aircraft gathers speed by itself.
[[nodiscard]] double rolling_force_n(double mass_kg, double mu, double grade);

/// Steepest grade a thrust can hold at a given µ (rise over run); the inverse of rolling_force_n.
/// Infinite where the thrust exceeds every slope's need.
[[nodiscard]] double limiting_grade(double thrust_n, double mass_kg, double mu);

}  // namespace solotaxi::motion
