#include "solotaxi/motion/force.hpp"

#include <cmath>
#include <limits>

#include "solotaxi/units/quantity.hpp"

namespace solotaxi::motion {

double rolling_force_n(double mass_kg, double mu, double grade) {
  const double cosine = 1.0 / std::sqrt(1.0 + grade * grade);
  return mass_kg * kGravity.value() * cosine * (mu + grade);
}

double limiting_grade(double thrust_n, double mass_kg, double mu) {
  // T / (m g) = µ cos γ + sin γ = √(1 + µ²) sin(γ + atan µ)
  const double sine = thrust_n / (mass_kg * kGravity.value() * std::sqrt(1.0 + mu * mu));
  if (sine >= 1.0) return std::numeric_limits<double>::infinity();
  if (sine <= -1.0) return -std::numeric_limits<double>::infinity();
  return std::tan(std::asin(sine) - std::atan(mu));
}

}  // namespace solotaxi::motion
