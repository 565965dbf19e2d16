// Answers to questions about engine phases found without the search, from the words of the ground-movement model.
#pragma once

#include <limits>
#include <string>
#include <vector>

#include "support/phase_case.hpp"

namespace solotaxi::test {

inline constexpr double kNoPlan = std::numeric_limits<double>::infinity();

/// Least cost of a plan that contains ONE, and of one that does not.
struct LeastCosts {
  double with_one = kNoPlan, reference = kNoPlan;
};

/// By stand. Tries every route without an arc used twice, every phase of every arc, and every whole second of the queue.
[[nodiscard]] std::vector<LeastCosts> enumerate_departures(const PhaseCase& c);
[[nodiscard]] std::vector<LeastCosts> enumerate_arrivals(const PhaseCase& c);

/// What is wrong with a plan, "" if nothing is: legs joined by steps that may be made, no arc twice, phases in order, START
/// begun where it may, times kept, the queue in its place, and cost and time the sums of what is driven and stood.
[[nodiscard]] std::string fault_of(const PhaseCase& c, const planning::DepartureProblem& problem,
                                   const planning::PhasePlan& plan, bool with_one);
[[nodiscard]] std::string fault_of(const PhaseCase& c, const planning::ArrivalProblem& problem,
                                   const planning::PhasePlan& plan, bool with_one);

}  // namespace solotaxi::test
