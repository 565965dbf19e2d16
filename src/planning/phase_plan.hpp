// From a way with phases to a plan: where it stands and for how long, and its sums.
#pragma once

#include <vector>

#include "planning/phase_queue.hpp"
#include "solotaxi/planning/phase_search.hpp"

namespace solotaxi::planning {

/// A way through states: step i leads from leg i to leg i + 1.
struct PhaseWay {
  std::size_t from = 0, to = 0;  ///< terminals
  std::vector<PhaseLeg> legs;
  std::vector<std::uint32_t> steps;
  std::size_t queue_leg = 0;  ///< the queue stands at this leg's end; departures only
};

[[nodiscard]] PhasePlan complete(const PhaseGraph& graph, const DepartureProblem& problem, PhaseWay way);
[[nodiscard]] PhasePlan complete(const PhaseGraph& graph, const ArrivalProblem& problem, PhaseWay way);

}  // namespace solotaxi::planning
