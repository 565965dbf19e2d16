// Draws, responses of plans to errors, and the totals' uncertainty.
#include "solotaxi/planning/uncertainty.hpp"

#include <cmath>
#include <numeric>

#include "planning/plan_response.hpp"
#include "support/counted.hpp"
#include "unit/planning/plan_fields.hpp"

using namespace solotaxi;
using namespace solotaxi::planning;
using namespace solotaxi::test;

namespace {

/// Some 2 km with a bend of a right angle and a side way to the stand.
const Drawn& bent_field() {
  static const Drawn field(R"(
a---b------c
           |
           |
           d---e--f)",
                           {"taxiway A: a b c d e", "runway 09/27: e f"}, {.metres = 200});
  return field;
}

Spreads no_spreads() {
  Spreads out;
  for (Spread& s : out) s.source = "assumed";
  return out;
}

Spreads only(Uncertain what, Spread spread) {
  Spreads out = no_spreads();
  out[index(what)] = std::move(spread);
  return out;
}

/// Totals of a few movements, from as many fields as are asked for, each with the same map.
EstimateTotals totals_with(const Spreads& spreads, int fields = 1) {
  const Drawn& f = bent_field();
  Estimate estimate(2000.0, spreads);
  for (int k = 0; k < fields; ++k) (void)estimate.add_field("F" + std::to_string(k), f.net, 101325.0);
  (void)estimate.add_aircraft("T", {}, {});
  Counter counter(estimate);
  const std::string stand = f.node('a');
  for (int field = 0; field < fields; ++field)
    for (int k = 0; k < 8; ++k) {
      MovementQuestion q;
      q.field = static_cast<std::size_t>(field);
      q.stand = stand;
      q.departure = k % 2 == 0;
      q.runway = q.departure ? "09" : "27";
      if (q.departure) q.queue_s = 45.0 * k;
      if (k > 4) q.taxi_time_s = 700.0 + k;
      q.hour = k;
      q.month = 12 * 2026 + k % 2;
      REQUIRE(counted(counter, q) != nullptr);
    }
  return estimate.totals(counter.take());
}

double width(const Interval& i) { return i.p95 - i.p5; }

}  // namespace

TEST_CASE("draws are of a standard normal, end at 2.5 deviations, and hang on seed and name alone") {
  const std::vector<double> a = normal_draws(1, "mass", 20000);
  double sum = 0.0, squares = 0.0, most = 0.0;
  for (const double x : a) sum += x, squares += x * x, most = std::max(most, std::abs(x));
  const double mean = sum / 20000, sd = std::sqrt(squares / 20000 - mean * mean);
  CHECK(mean == Approx(0.0).margin(4.0 / std::sqrt(20000.0)));
  CHECK(sd == Approx(0.955).margin(0.02));  // of a normal cut off there: 1 - 2 · 2.5 φ(2.5) / (2 Φ(2.5) - 1) = 0.911
  CHECK(most <= 2.5);
  CHECK(normal_draws(1, "mass", 50) == std::vector<double>(a.begin(), a.begin() + 50));
  const std::vector<double> b = normal_draws(1, "queue", 20000), c = normal_draws(2, "mass", 20000);
  CHECK(std::abs(std::inner_product(a.begin(), a.end(), b.begin(), 0.0)) / 20000 < 4.0 / std::sqrt(20000.0));
  CHECK(std::abs(std::inner_product(a.begin(), a.end(), c.begin(), 0.0)) / 20000 < 4.0 / std::sqrt(20000.0));
}

TEST_CASE("without any spread every draw is the point estimate, to the last digit") {
  const EstimateTotals totals = totals_with(no_spreads());
  const Sums sums = whole(totals);
  const Uncertainty u = uncertainty_of(totals, no_spreads(), 20, 1);
  const auto same = [](const Interval& i, double value) { return i.p5 == value && i.median == value && i.p95 == value; };
  const auto kg = [&](Sum which) { return 1e-6 * static_cast<double>(get(sums, which)); };
  CHECK(same(get(u.whole, Total::fuel_kg), kg(Sum::fuel_mg)));
  CHECK(same(get(u.whole, Total::reference_fuel_kg), kg(Sum::reference_fuel_mg)));
  CHECK(same(get(u.whole, Total::nox_kg), kg(Sum::nox_mg)));
  CHECK(same(get(u.whole, Total::time_s), 1e-3 * static_cast<double>(get(sums, Sum::time_ms))));
  for (const Effect& e : u.effects) CHECK(width(e.saving_kg) == 0.0);
}

TEST_CASE("movements counted by plan add up to all movements") {
  const EstimateTotals totals = totals_with(usual_spreads());
  std::int64_t queued = 0, unqueued = 0;
  for (const auto& [key, plan] : totals.plans)
    for (const auto& [time, weight] : plan.by_time) queued += weight.queued, unqueued += weight.unqueued;
  CHECK(queued + unqueued == 8 * kWhole);
  CHECK(unqueued == 3 * kWhole);
}

TEST_CASE("a flow's error is a factor of the fuel it is part of") {
  const EstimateTotals totals = totals_with(only(Uncertain::fuel_flow, {0.1, 0.0, 0.0, ""}));
  const Uncertainty u = uncertainty_of(totals, only(Uncertain::fuel_flow, {0.1, 0.0, 0.0, ""}), 200, 3);
  std::vector<double> draws = normal_draws(3, "fuel_flow", 200);
  std::sort(draws.begin(), draws.end());
  const double median = 0.5 * (draws[99] + draws[100]);
  const Sums sums = whole(totals);
  // HC is of the engines alone.
  CHECK(get(u.whole, Total::hc_kg).median ==
        Approx(1e-6 * static_cast<double>(get(sums, Sum::hc_mg)) * (1.0 + 0.1 * median)).epsilon(1e-5));
  CHECK(get(u.whole, Total::time_s).p5 == 1e-3 * static_cast<double>(get(sums, Sum::time_ms)));
}

TEST_CASE("errors of single fields average out over fields, those common to all do not") {
  const auto relative = [](const Spread& spread, int fields) {
    const Spreads spreads = only(Uncertain::rolling_resistance, spread);
    const EstimateTotals totals = totals_with(spreads, fields);
    const Interval i = get(uncertainty_of(totals, spreads, 2000, 1).whole, Total::fuel_kg);
    return width(i) / i.median;
  };
  const Spread all{0.001, 0.0, 0.0, ""}, field{0.0, 0.001, 0.0, ""};
  CHECK(relative(all, 4) == Approx(relative(all, 1)).epsilon(1e-9));
  CHECK(relative(field, 4) == Approx(0.5 * relative(field, 1)).epsilon(0.1));
}

TEST_CASE("what is drawn does not hang on the order in which movements were met") {
  const Spreads spreads = usual_spreads();
  EstimateTotals forth = totals_with(spreads, 2), back;
  add(back, totals_with(spreads, 2));
  const Uncertainty a = uncertainty_of(forth, spreads, 40, 7), b = uncertainty_of(back, spreads, 40, 7);
  for (std::size_t k = 0; k < kTotals; ++k) {
    CHECK(a.whole[k].p5 == b.whole[k].p5);
    CHECK(a.whole[k].p95 == b.whole[k].p95);
  }
  CHECK(a.whole[2].p5 != uncertainty_of(forth, spreads, 40, 8).whole[2].p5);
}

TEST_CASE("responses are right to 15 % of a plan's own spread, held against drives at drawn errors") {
  const Drawn& f = bent_field();
  const Spreads spreads = usual_spreads();
  const bool departure = GENERATE(true, false);
  const double queue_s = departure ? GENERATE(0.0, 60.0, 300.0) : 0.0;
  PlanRequest request =
      departure ? plan_request(f.node('a'), "runway:09", queue_s) : plan_request("runway:27", f.node('a'));
  request.route.direction = departure ? routing::Direction::departure : routing::Direction::arrival;
  const aircraft::Aircraft aircraft;
  const motion::Conditions conditions;
  Solved solved(f.net, aircraft, conditions, request);
  const Solution found = solved.solver.solve(queue_s);
  REQUIRE(found.one);
  REQUIRE(found.reference);
  TaxiFigures planned;
  planned.one = true;
  planned.advised = figures_of(*found.one, solved.solver.question(), request);
  planned.reference = figures_of(*found.reference, solved.solver.question(), request);
  const Responses responses = responses_of(solved.solver, found, planned, queue_s, request, spreads);
  // Without errors the kept plan is the plan.
  const ErringFigures none = driven_with(solved.solver, found, true, queue_s, request, {});
  REQUIRE(none.advised);
  CHECK(none.advised->fuel_kg == planned.advised.fuel_kg);
  CHECK(none.reference->time_s == planned.reference.time_s);
  constexpr int kDraws = 60;
  std::array<std::vector<double>, kUncertain> drawn;
  for (const UncertainKey& key : uncertain_keys()) drawn[index(key.what)] = normal_draws(11, key.key, kDraws);
  double miss = 0.0, miss_saving = 0.0, spread = 0.0, spread_saving = 0.0;
  for (int d = 0; d < kDraws; ++d) {
    Errors errors{};
    for (std::size_t u = 0; u < kUncertain; ++u)
      if (u != index(Uncertain::fuel_flow) && u != index(Uncertain::apu_flow))
        errors[u] = spreads[u].sd() * drawn[u][static_cast<std::size_t>(d)];
    const ErringFigures driven = driven_with(solved.solver, found, true, queue_s, request, errors);
    REQUIRE(driven.advised);
    REQUIRE(driven.reference);
    const auto fuel = [](const PlanParts& p) { return get(p, Part::engine_kg) + get(p, Part::apu_kg); };
    const double told_reference = fuel(with_errors(planned.reference.parts(), responses.reference, errors, true));
    const double told = stalls(responses.stalls_at, errors)
                            ? told_reference
                            : fuel(with_errors(planned.advised.parts(), responses.advised, errors, true));
    const double saving = driven.reference->fuel_kg - driven.advised->fuel_kg;
    const double planned_saving = planned.reference.fuel_kg - planned.advised.fuel_kg;
    miss += std::pow(told - driven.advised->fuel_kg, 2);
    spread += std::pow(driven.advised->fuel_kg - planned.advised.fuel_kg, 2);
    miss_saving += std::pow(told_reference - told - saving, 2);
    spread_saving += std::pow(saving - planned_saving, 2);
  }
  CAPTURE(departure, queue_s, std::sqrt(miss / kDraws), std::sqrt(spread / kDraws), std::sqrt(miss_saving / kDraws),
          std::sqrt(spread_saving / kDraws));
  CHECK(std::sqrt(miss / spread) < 0.15);
  CHECK(std::sqrt(miss_saving / spread_saving) < 0.30);
}
