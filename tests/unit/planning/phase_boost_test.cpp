#include "support/phase_boost.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <iostream>
#include <random>

#include "support/phase_case.hpp"
#include "support/phase_oracle.hpp"

namespace {

using namespace solotaxi;
using namespace solotaxi::planning;
using namespace solotaxi::test;

#ifdef __SANITIZE_ADDRESS__
constexpr int kCases = 10;
#else
constexpr int kCases = 300;
#endif

}  // namespace

TEST_CASE("Departures on medium networks are those of Boost.Graph's resource-constrained search", "[phase]") {
  const auto seed = std::random_device{}();
  std::cout << "seed " << seed << '\n';
  std::mt19937_64 random(seed);
  int compared = 0, with_one = 0, repeating = 0;
  for (int i = 0; i < kCases; ++i) {
    INFO("seed " << seed << ", case " << i);
    const PhaseCase c = medium_phase_case(random, 6, 5);
    const PhaseGraph graph(c.arc_of, c.steps);
    PhaseSearch search(graph);
    const PhaseAnswer answer = search.find(c.departure);
    for (const bool one : {true, false}) {
      const auto& plan = one ? answer.with_one : answer.reference;
      const double cost = plan ? plan->cost_kg : kNoPlan;
      if (plan) CHECK(fault_of(c, c.departure, *plan, one) == "");
      PhaseBoost plain(c.arc_of, c.steps, c.departure, one, Dominance::plain);
      PhaseBoost waiting(c.arc_of, c.steps, c.departure, one, Dominance::waiting_out);
      const double least = plain.find(), again = waiting.find();
      CHECK((least == again || std::abs(least - again) < 1e-9 * least));
      if (plain.repeats()) {  // then its cost is only a lower bound
        ++repeating;
        CHECK(cost >= least - 1e-9 * least);
        continue;
      }
      CHECK((cost == least || std::abs(cost - least) < 1e-9 * std::max(1.0, least)));
      ++compared;
      with_one += one && plan ? 1 : 0;
    }
  }
  std::cout << compared << " minima compared, " << with_one << " of them with ONE; " << repeating
            << " with an arc used twice\n";
  CHECK(compared > kCases);
  CHECK(with_one > kCases / 4);
}
