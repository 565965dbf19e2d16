#include "solotaxi/planning/spread.hpp"

#include <boost/random/normal_distribution.hpp>
#include <cmath>
#include <random>

namespace solotaxi::planning {

double Spread::sd() const { return std::sqrt(all * all + field * field + aircraft * aircraft); }

std::span<const UncertainKey> uncertain_keys() {
  static const std::array<UncertainKey, kUncertain> keys{{
      {Uncertain::rolling_resistance,
       "rolling_resistance",
       "rolling resistance",
       "",
       0.005,
       {0.003, 0.001, 0.0,
        "textbooks' range of 0.008 to 0.020 as two deviations either way, from memory; by field assumed"}},
      {Uncertain::mass, "mass", "mass", "share", 0.1, {0.01, 0.0, 0.02, "assumed"}},
      {Uncertain::idle_thrust,
       "idle_thrust",
       "idle thrust",
       "share",
       0.35,
       {0.1, 0.0, 0.15, "range of 0.03 to 0.06 of rated thrust as two deviations either way, from memory"}},
      {Uncertain::fuel_flow,
       "fuel_flow",
       "engine fuel flow",
       "share",
       0.35,
       {0.05, 0.0, 0.05,
        "assumed; measured taxi fuel lay some 17 % below the databank's (Transp. Res. Record 2674(12), 2020)"}},
      {Uncertain::apu_flow, "apu_flow", "APU flow", "share", 0.35, {0.0, 0.0, 0.12, "assumed"}},
      {Uncertain::warm_up, "warm_up", "warm-up", "s", 60.0, {45.0, 0.0, 0.0, "common practice of 2 to 5 min, no source"}},
      {Uncertain::queue, "queue", "queue", "share", 0.35, {0.0, 0.2, 0.0, "assumed"}},
      {Uncertain::grade,
       "grade",
       "grade",
       "deviations",
       1.0,
       {0.0, 0.3, 0.0, "assumed: errors of some ten pieces of a way cancel in part"}},
  }};
  return keys;
}

Spreads usual_spreads() {
  Spreads out;
  for (const UncertainKey& key : uncertain_keys()) out[index(key.what)] = key.usual;
  return out;
}

std::vector<double> normal_draws(std::uint64_t seed, const std::string& name, std::size_t draws) {
  constexpr double kFarthest = 2.5;
  std::uint64_t start = 0xCBF29CE484222325ULL ^ seed;  // FNV-1a
  for (const char c : name) start = (start ^ static_cast<unsigned char>(c)) * 0x100000001B3ULL;
  std::mt19937_64 bits(start);
  boost::random::normal_distribution<double> normal;
  std::vector<double> out(draws);
  for (double& value : out) {
    do value = normal(bits);
    while (std::abs(value) > kFarthest);
  }
  return out;
}

}  // namespace solotaxi::planning
