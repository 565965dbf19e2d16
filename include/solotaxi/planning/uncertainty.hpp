// How far totals over movements may lie off: every plan met is evaluated with drawn errors (spread.hpp, response.hpp) and
// weighted with the movements that have its figures. So it costs draws times plans, whatever the number of movements.
//
// Draws move the totals away from the point estimate by what they change of each plan; without any spread nothing is moved.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "solotaxi/planning/estimate.hpp"

namespace solotaxi::planning {

/// Quantities told with their uncertainty: [s], [kg].
enum class Total {
  time_s,
  reference_time_s,
  fuel_kg,
  reference_fuel_kg,
  saving_kg,
  hc_kg,
  co_kg,
  nox_kg,
  reference_hc_kg,
  reference_co_kg,
  reference_nox_kg
};
inline constexpr std::size_t kTotals = 11;

/// 5 %, half and 95 % of the draws lie below.
struct Interval {
  double p5 = 0.0, median = 0.0, p95 = 0.0;
};
using Intervals = std::array<Interval, kTotals>;
constexpr const Interval& get(const Intervals& all, Total which) { return all[static_cast<std::size_t>(which)]; }

/// One error alone, every other value as assumed.
struct Effect {
  Uncertain what{};
  Interval saving_kg, fuel_kg;
};

struct Uncertainty {
  std::size_t draws = 0;
  std::uint64_t seed = 0;
  Spreads spreads;
  Intervals whole{};
  std::map<GroupBy, std::map<std::string, Intervals>> groups;
  std::vector<Effect> effects;  ///< what moves the saving most comes first
};

/// `totals` with their plans (Estimate with spreads). At least one draw. Uses the threads there are; the same for any
/// number.
[[nodiscard]] Uncertainty uncertainty_of(const EstimateTotals& totals, const Spreads& spreads, std::size_t draws,
                                         std::uint64_t seed);

}  // namespace solotaxi::planning
