// Departures by Boost.Graph's resource-constrained shortest paths, forward from the stand, built from the model's words: an
// independent answer on networks too large to try everything, and the measure for the speed of the search.
//
// It does not know that a route uses no arc twice; `repeats` says whether the way it found does.
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "solotaxi/planning/phase_search.hpp"

namespace solotaxi::test {

enum class Dominance {
  plain,        ///< no more cost, no less time done
  waiting_out,  ///< no more cost, as it stands and with the missing time waited out
};

class PhaseBoost {
 public:
  /// All stands count as one. Whole-second queues where a plan with ONE may stand in ONE in it.
  PhaseBoost(std::span<const std::uint32_t> arc_of, std::span<const planning::PhaseStep> steps,
             const planning::DepartureProblem& problem, bool with_one, Dominance dominance);
  ~PhaseBoost();

  /// Least cost, infinity where there is no plan.
  double find();
  [[nodiscard]] bool repeats() const;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace solotaxi::test
