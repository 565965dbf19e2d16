// What is not known exactly about many movements, and how far it may lie off: for estimates with their uncertainty.
//
// A spread is three standard deviations that add up: of an error common to all movements, of one of its own for each field,
// and of one of its own for each aircraft type. Errors of single movements are left out: they average out in totals. An
// error is normal, drawn anew where it lies beyond 2.5 standard deviations. Draws are the same on every machine that rounds
// as IEEE 754 has it, and hang on the seed and on the name of what is drawn, not on the order of anything.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace solotaxi::planning {

enum class Uncertain {
  rolling_resistance,  ///< added to the coefficient
  mass,                ///< share of the mass
  idle_thrust,         ///< share of the idle thrust, and of the limit above it
  fuel_flow,           ///< share of the engines' fuel
  apu_flow,            ///< share of the APU's fuel
  warm_up,             ///< added [s]
  queue,               ///< share of the queue told; a measured taxi time has none
  grade                ///< added, in standard deviations of each grade; of its own for each runway end and direction
};
inline constexpr std::size_t kUncertain = 8;

struct Spread {
  double all = 0.0, field = 0.0, aircraft = 0.0;  ///< standard deviations
  std::string source;                             ///< or "assumed"
  /// Of the sum.
  [[nodiscard]] double sd() const;
};
using Spreads = std::array<Spread, kUncertain>;
/// Values by what is uncertain.
using Errors = std::array<double, kUncertain>;
constexpr std::size_t index(Uncertain u) { return static_cast<std::size_t>(u); }

struct UncertainKey {
  Uncertain what{};
  const char *key, *name, *unit;  ///< "rolling_resistance", "rolling resistance", ""
  double most;                    ///< of all + field + aircraft
  Spread usual;                   ///< default
};
/// By Uncertain. The one table of defaults, with units, ranges and sources.
[[nodiscard]] std::span<const UncertainKey> uncertain_keys();
[[nodiscard]] Spreads usual_spreads();

/// So many draws of a standard normal error that goes by a name.
[[nodiscard]] std::vector<double> normal_draws(std::uint64_t seed, const std::string& name, std::size_t draws);

}  // namespace solotaxi::planning
