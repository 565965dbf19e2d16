#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>
#include <iostream>
#include <random>
#include <string>

#include "support/phase_case.hpp"
#include "support/phase_oracle.hpp"

namespace {

using namespace solotaxi;
using namespace solotaxi::planning;
using namespace solotaxi::test;

#ifdef __SANITIZE_ADDRESS__
constexpr int kSmallCases = 1000;
#else
constexpr int kSmallCases = 10000;
#endif

/// Another one each run, printed; SOLOTAXI_SEED asks for one again.
std::uint64_t seed_of_run() {
  const char* given = std::getenv("SOLOTAXI_SEED");
  const std::uint64_t seed = given ? std::strtoull(given, nullptr, 10) : std::random_device{}();
  std::cout << "seed " << seed << " (SOLOTAXI_SEED=" << seed << " runs the same cases again)\n";
  return seed;
}

bool same(double a, double b) { return a == b || std::abs(a - b) <= 1e-9 * std::max(1.0, std::abs(a)); }

double cost(const std::optional<PhasePlan>& plan) { return plan ? plan->cost_kg : kNoPlan; }

/// "" where the answer is the enumeration's and its plans are sound.
template <class Problem>
std::string difference(const PhaseCase& c, const Problem& problem, const PhaseAnswer& answer, const LeastCosts& least) {
  const auto number = [](double x) { return std::to_string(x); };
  if (!same(cost(answer.with_one), least.with_one))
    return "with ONE " + number(cost(answer.with_one)) + " where " + number(least.with_one) + " is least";
  if (!same(cost(answer.reference), least.reference))
    return "reference " + number(cost(answer.reference)) + " where " + number(least.reference) + " is least";
  if (answer.with_one)
    if (auto fault = fault_of(c, problem, *answer.with_one, true); !fault.empty()) return "with ONE: " + fault;
  if (answer.reference)
    if (auto fault = fault_of(c, problem, *answer.reference, false); !fault.empty()) return "reference: " + fault;
  return "";
}

struct Tally {
  int with_one = 0, without = 0, repeated = 0;
  template <class Problem>
  void check(const PhaseCase& c, const Problem& problem, PhaseSearch& search, const std::vector<LeastCosts>& least) {
    LeastCosts of_all;
    const auto answers = search.find_all(problem);
    repeated += search.repeats() > 0 ? 1 : 0;
    REQUIRE(answers.size() == least.size());
    for (std::size_t s = 0; s < least.size(); ++s) {
      INFO("stand " << s);
      REQUIRE(difference(c, problem, answers[s], least[s]) == "");
      of_all.with_one = std::min(of_all.with_one, least[s].with_one);
      of_all.reference = std::min(of_all.reference, least[s].reference);
    }
    ++(of_all.with_one < kNoPlan ? with_one : without);
    INFO("all stands as one");
    REQUIRE(difference(c, problem, search.find(problem), of_all) == "");
  }
};

/// Random small networks, each answered by search and by enumeration.
template <class Problem, class Enumerate>
void check_cases(const char* what, Problem problem, Enumerate enumerate) {
  std::mt19937_64 random(seed_of_run());
  Tally tally;
  for (int i = 0; i < kSmallCases; ++i) {
    INFO("case " << i);
    const PhaseCase c = small_phase_case(random);
    const PhaseGraph graph(c.arc_of, c.steps);
    PhaseSearch search(graph);
    tally.check(c, c.*problem, search, enumerate(c));
  }
  std::cout << what << ": " << tally.with_one << " cases with a plan in ONE, " << tally.without << " without, "
            << tally.repeated << " where the plain minimum used an arc twice\n";
  CHECK(tally.with_one > kSmallCases / 10);
  CHECK(tally.without > kSmallCases / 100);
  CHECK(tally.repeated > 0);
}

}  // namespace

TEST_CASE("Every departure is the cheapest of all routes, switch points and waits on random small networks", "[phase]") {
  check_cases("departures", &PhaseCase::departure, enumerate_departures);
}

TEST_CASE("Every arrival is the cheapest of all routes and switch points on random small networks", "[phase]") {
  check_cases("arrivals", &PhaseCase::arrival, enumerate_arrivals);
}
