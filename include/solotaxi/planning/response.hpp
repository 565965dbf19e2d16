// How the figures of a plan that is kept answer to errors of what was assumed for it.
//
// The crew keeps way and phases; the start of the other engines, or their stop, is set to the metre under the conditions
// met. Each error's effect is a parabola through drives at 1.5 standard deviations either way, and effects add up, with a
// product for rolling resistance and idle thrust, of which the larger rules; flows of engines and APU are exact factors.
// Where the kept plan would stall the movement goes as the reference does: errors are weighed against those that alone make
// it stall. Held against drives at drawn errors, fuel of single plans is right to 15 % of its own spread, what they save to
// 30 % (root of the mean square, on a drawn field); in totals over many plans much of that averages out.
#pragma once

#include <array>

#include "solotaxi/planning/spread.hpp"

namespace solotaxi::planning {

/// What a plan is made of: its time [s]; fuel of its engines and its APU [kg]; the same per second of standing as it ends.
enum class Part { time_s, engine_kg, apu_kg, standing_engine_kg_s, standing_apu_kg_s };
inline constexpr std::size_t kParts = 5;
using PlanParts = std::array<double, kParts>;
constexpr double get(const PlanParts& parts, Part which) { return parts[static_cast<std::size_t>(which)]; }

/// Change of the parts with an error x: slope x + bend x².
struct Curve {
  PlanParts slope{}, bend{};
};
struct Response {
  std::array<Curve, kUncertain> curves{};
  PlanParts product{};  ///< change with the product of the errors of rolling resistance and idle thrust
};

/// The parabola through no change at 0 and the changes at two errors of different sign.
[[nodiscard]] Curve curve_through(double low, const PlanParts& at_low, double high, const PlanParts& at_high);

/// Whether a plan stalls with errors, given the errors that alone just make it stall (0: none does).
[[nodiscard]] bool stalls(const Errors& stalls_at, const Errors& errors);

/// The parts with errors; exactly those planned where there are none. Without `queued` the queue has no error.
[[nodiscard]] PlanParts with_errors(const PlanParts& planned, const Response& response, const Errors& errors, bool queued);

}  // namespace solotaxi::planning
