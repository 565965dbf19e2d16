// Random questions for the search over engine phases, small enough to try everything or of medium size.
#pragma once

#include <cstdint>
#include <random>
#include <vector>

#include "solotaxi/planning/phase_search.hpp"

namespace solotaxi::test {

/// Times are whole seconds, so that a queue can be tried second by second.
struct PhaseCase {
  std::vector<std::uint32_t> arc_of;
  std::vector<planning::PhaseStep> steps;
  planning::DepartureProblem departure;
  planning::ArrivalProblem arrival;
};

struct PhaseCaseOptions {
  int most_nodes = 6, most_segments = 8;
  double plausible = 0.3;         ///< share of cases where no step is cheaper than standing as long
  double any = 0.1;               ///< share of cases taken as they come; the others have a departure and an arrival
  std::size_t most_ways = 3'000;  ///< ways from any terminal that use no arc twice; with more another case is drawn
};

/// At most 6 nodes and 8 segments, every oddity: nought costs and times, ties, barred phases, layers, several stands.
[[nodiscard]] PhaseCase small_phase_case(std::mt19937_64& random, const PhaseCaseOptions& options = {});

/// A grid of columns × rows nodes with plausible costs.
[[nodiscard]] PhaseCase medium_phase_case(std::mt19937_64& random, std::uint32_t columns, std::uint32_t rows);

}  // namespace solotaxi::test
