#include "solotaxi/aircraft/engine.hpp"

#include <cmath>

namespace solotaxi::aircraft {

namespace {
constexpr double kSevenPercent = 0.07, kThirtyPercent = 0.30;  // thrust settings of the two databank points
constexpr double kStandardHpa = 1013.25;
double standard_law(double base_pa, double height_m) { return base_pa * std::pow(1.0 - 2.25577e-5 * height_m, 5.25588); }
}  // namespace

Pascals pressure_from_qnh(double qnh_hpa, Metres elevation) {
  return Pascals{standard_law(qnh_hpa * 100.0, elevation.value())};
}

Pascals pressure_from_pressure_altitude(double altitude_ft) {
  return Pascals{standard_law(kStandardHpa * 100.0, feet(altitude_ft).value())};
}

Engine::Engine(const Aircraft& aircraft, Air air) : Engine(aircraft, air, aircraft.n1_limit_pct) {}

Engine::Engine(const Aircraft& aircraft, Air air, double n1_limit_pct)
    : idle_n1_pct_(aircraft.idle_n1_pct),
      idle_n_(aircraft.thrust_rated_n * air.delta() * aircraft.idle_thrust_share / air.theta()),
      limit_n_(0.0) {
  limit_n_ = thrust_at_n1(n1_limit_pct);
  const double rise = (aircraft.flow_30_kg_s - aircraft.flow_7_kg_s) / (kThirtyPercent - kSevenPercent);
  const double root_theta = std::sqrt(air.theta());
  flow_base_ = air.delta() * root_theta * (aircraft.flow_7_kg_s - rise * kSevenPercent);
  flow_slope_ = root_theta * rise / aircraft.thrust_rated_n;
}

double Engine::thrust_at_n1(double n1_pct) const {
  const double ratio = n1_pct / idle_n1_pct_;
  return idle_n_ * ratio * ratio;
}

double Engine::n1_for_thrust(double thrust_n) const { return idle_n1_pct_ * std::sqrt(thrust_n / idle_n_); }

}  // namespace solotaxi::aircraft
