// Thrust and fuel flow of one engine on the ground in the air of the day.
//
//   T  = F00 δ x_idle (N1 / N1_idle)² / θ        fan affinity law through the idle point
//   ff = δ √θ [ ff7 + (ff30 - ff7)(x - 0.07) / 0.23 ],  x = T / (F00 δ)   gas-turbine similarity between databank points
// δ = p / 101325 Pa, θ = T_K / 288.15.
#pragma once

#include "solotaxi/aircraft/aircraft.hpp"
#include "solotaxi/units/quantity.hpp"

namespace solotaxi::aircraft {

/// The air the engines breathe.
struct Air {
  double pressure_pa = 101325.0;
  double temperature_k = 288.15;
  [[nodiscard]] double delta() const { return pressure_pa / 101325.0; }
  [[nodiscard]] double theta() const { return temperature_k / 288.15; }
};

/// Station pressure from QNH and field elevation: p = QNH (1 - 2.25577e-5 h)^5.25588 [ICAO Doc 7488, standard atmosphere].
[[nodiscard]] Pascals pressure_from_qnh(double qnh_hpa, Metres elevation);
/// Station pressure from the pressure altitude in feet (the same law from 1013.25 hPa).
[[nodiscard]] Pascals pressure_from_pressure_altitude(double feet);

/// One engine in given air. All thrusts in N, flows in kg/s, for one engine.
class Engine {
 public:
  Engine(const Aircraft& aircraft, Air air);
  /// `n1_limit_pct` replaces the aircraft's own.
  Engine(const Aircraft& aircraft, Air air, double n1_limit_pct);

  [[nodiscard]] double thrust_at_n1(double n1_pct) const;
  [[nodiscard]] double n1_for_thrust(double thrust_n) const;  ///< percent; thrust ≥ 0
  [[nodiscard]] double idle_thrust_n() const { return idle_n_; }
  [[nodiscard]] double limit_thrust_n() const { return limit_n_; }
  [[nodiscard]] double flow_kg_s(double thrust_n) const { return flow_base_ + flow_slope_ * thrust_n; }
  [[nodiscard]] double idle_flow_kg_s() const { return flow_kg_s(idle_n_); }

 private:
  double idle_n1_pct_, idle_n_, limit_n_, flow_base_, flow_slope_;
};

}  // namespace solotaxi::aircraft
