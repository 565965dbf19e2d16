#include "solotaxi/planning/phase_search.hpp"

#include <catch2/catch.hpp>
#include <stdexcept>

namespace {

using namespace solotaxi::planning;

constexpr std::uint32_t kPushBack = Standing::kBeforeFirst;
using Why = Standing::Why;

/// One way of arcs 0, 1, … of 100 s each; ONE costs 10 kg an arc, START 16 kg, ALL 20 kg. The holding position is before
/// the last arc.
struct OneWay {
  std::vector<std::uint32_t> arc_of;
  std::vector<PhaseStep> steps;
  DepartureProblem departure;
  ArrivalProblem arrival;

  explicit OneWay(std::uint32_t arcs) {
    const ByPhase cost = {10, 16, 20}, time = {100, 100, 100};
    for (std::uint32_t a = 0; a < arcs; ++a) arc_of.push_back(a);
    for (std::uint32_t a = 0; a + 1 < arcs; ++a) steps.push_back({a, a + 1, cost, time, true, a + 2 == arcs});
    departure.flow_kg_s = {0.08, 0.14, 0.12};
    departure.stands = {{0, 0, cost, time, true}};
    departure.runway = {{arcs - 1, 0, {}, {}, true}};
    departure.push_back_s = 120;
    departure.start_s = 60;
    departure.warm_up_s = 180;
    arrival.runway = departure.stands;
    arrival.stands = departure.runway;
  }
  [[nodiscard]] PhaseAnswer depart() const {
    const PhaseGraph graph(arc_of, steps);
    return PhaseSearch(graph).find(departure);
  }
  [[nodiscard]] PhaseAnswer arrive() const {
    const PhaseGraph graph(arc_of, steps);
    return PhaseSearch(graph).find(arrival);
  }
};

std::vector<Phase> phases(const std::optional<PhasePlan>& plan) {
  std::vector<Phase> all;
  if (plan)
    for (const PhaseLeg& leg : plan->legs) all.push_back(leg.phase);
  return all;
}

bool stands(const PhasePlan& plan, std::uint32_t after, Phase phase, double seconds, Why why) {
  for (const Standing& s : plan.standings)
    if (s.after == after && s.phase == phase && s.why == why && s.seconds == Approx(seconds)) return true;
  return false;
}

constexpr Phase kO = Phase::one, kS = Phase::start, kA = Phase::all;

}  // namespace

TEST_CASE("A departure starts the second engine as late as its warm-up and the standing flows allow", "[phase]") {
  const OneWay way(5);
  const auto [one, reference] = way.depart();
  REQUIRE(one);
  REQUIRE(reference);
  // Behind the holding position one arc of 100 s in ALL, so 80 s of warm-up are missing. Begun at the holding position,
  // START and the warm-up are stood: 9.6 + 40 + 60 × 0.14 + 80 × 0.12 + 20 = 87.6. Begun one arc before, ALL driven: dearer
  // by 20 − 10 − 80 × 0.12 = 0.4; START driven: dearer by 16 − 10 − 8.4 < 0, so 9.6 + 30 + 16 + 9.6 + 20 = 85.2 is least.
  CHECK(one->cost_kg == Approx(85.2));
  CHECK(phases(one) == std::vector{kO, kO, kO, kS, kA});
  CHECK(stands(*one, kPushBack, kO, 120, Why::push_back));
  CHECK(stands(*one, 3, kA, 80, Why::missing_time));
  CHECK(one->time_s == Approx(120 + 500 + 80));
  CHECK(one->waited_s(kA) == Approx(80));
  CHECK(one->waited_s(kS) == 0.0);
  // START through the push back and on is cheaper here than ALL, until the warm-up is due: 16.8 + 3 × 16 + 2 × 20.
  CHECK(reference->cost_kg == Approx(104.8));
  CHECK(phases(reference) == std::vector{kS, kS, kS, kA, kA});
}

TEST_CASE("START and warm-up take the place of queue, and a queue too short for them is lengthened", "[phase]") {
  OneWay way(5);
  way.steps[2].may_begin_start = way.steps[1].may_begin_start = way.steps[0].may_begin_start = false;  // in the queue only
  way.departure.queue_s = 300;
  // 60 s of START, 80 s of warm-up, and ONE for the rest: 9.6 + 40 + 160 × 0.08 + 60 × 0.14 + 80 × 0.12 + 20.
  auto plan = way.depart().with_one;
  REQUIRE(plan);
  CHECK(plan->cost_kg == Approx(100.4));
  CHECK(stands(*plan, 3, kO, 160, Why::queue));
  CHECK(stands(*plan, 3, kS, 60, Why::queue));
  CHECK(stands(*plan, 3, kA, 80, Why::queue));
  way.departure.queue_s = 100;  // 40 s too short
  plan = way.depart().with_one;
  REQUIRE(plan);
  CHECK(plan->cost_kg == Approx(9.6 + 40 + 60 * 0.14 + 80 * 0.12 + 20));
  CHECK(stands(*plan, 3, kS, 60, Why::queue));
  CHECK(stands(*plan, 3, kA, 40, Why::queue));
  CHECK(stands(*plan, 3, kA, 40, Why::missing_time));
}

TEST_CASE("Without a place where START may begin there is no plan with ONE, and the reference stays", "[phase]") {
  OneWay way(3);
  for (PhaseStep& s : way.steps) s.may_begin_start = s.queue_here = false;
  way.departure.runway[0].may_begin_start = false;
  CHECK_FALSE(way.depart().with_one);
  CHECK(way.depart().reference);
  way.departure.runway[0].may_begin_start = true;
  CHECK(way.depart().with_one);
}

TEST_CASE("An arrival shuts down at the first movement after the cool-down, and waits for nothing", "[phase]") {
  OneWay way(4);
  way.arrival.apu_lead_kg = 1.5;
  way.arrival.cool_down_left_s = 180;
  const auto [one, reference] = way.arrive();
  REQUIRE(one);
  REQUIRE(reference);
  CHECK(phases(one) == std::vector{kA, kA, kO, kO});
  CHECK(one->cost_kg == Approx(20 + 20 + 10 + 10 + 1.5));
  CHECK(reference->cost_kg == Approx(80.0));
  CHECK(reference->time_s == Approx(400.0));
  way.arrival.cool_down_left_s = 0;
  CHECK(phases(way.arrive().with_one) == std::vector{kO, kO, kO, kO});
  way.arrival.cool_down_left_s = 301;
  CHECK_FALSE(way.arrive().with_one);
}

TEST_CASE("An arrival that has cool-down to burn takes a longer way, but no arc twice", "[phase]") {
  // Arc 0 leads to a ring 1, 2, 3 and from it to the stand's arc 4; arcs 5 to 8 are a way round that costs more.
  std::vector<std::uint32_t> arc_of = {0, 1, 2, 3, 4, 5, 6, 7, 8};
  const ByPhase cheap = {1, 1, 1}, dear = {3, 3, 3}, time = {10, 10, 10};
  std::vector<PhaseStep> steps = {{0, 1, cheap, time}, {1, 2, cheap, time}, {2, 3, cheap, time}, {3, 1, cheap, time},
                                  {1, 4, cheap, time}, {0, 5, dear, time},  {5, 6, dear, time},  {6, 7, dear, time},
                                  {7, 8, dear, time},  {8, 4, cheap, time}};
  const PhaseGraph graph(arc_of, steps);
  PhaseSearch search(graph);
  ArrivalProblem problem;
  problem.runway = {{0, 0, cheap, time, true}};
  problem.stands = {{4, 0, {}, {}, true}};
  problem.cool_down_left_s = 45;
  const auto plan = search.find(problem).with_one;
  REQUIRE(plan);
  CHECK(search.repeats() > 0);  // once round the ring would cost 6
  CHECK(plan->cost_kg == Approx(1 + 4 * 3 + 1));
  CHECK(phases(plan) == std::vector{kA, kA, kA, kA, kA, kO});
  CHECK(search.find_all(problem).at(0).with_one->cost_kg == Approx(14.0));
}

TEST_CASE("A graph or problem that cannot be is refused", "[phase]") {
  const ByPhase cost = {1, 1, 1}, time = {1, 1, 1};
  CHECK_THROWS_AS(PhaseGraph({0, 1}, {{0, 2, cost, time}}), std::logic_error);
  CHECK_THROWS_AS(PhaseGraph({0, 1}, {{0, 1, {1, -1, 1}, time}}), std::logic_error);
  CHECK_THROWS_AS(PhaseGraph({0, 1}, {{0, 1, cost, {1, 1, kBarred}}}), std::logic_error);
  CHECK_NOTHROW(PhaseGraph({0, 1}, {{0, 1, {1, 1, kBarred}, {1, 1, kBarred}}}));
  OneWay way(3);
  way.departure.flow_kg_s = {0.1, 0.1, 0.12};
  CHECK_THROWS_AS(way.depart(), std::logic_error);
  way = OneWay(3);
  way.departure.queue_s = -1;
  CHECK_THROWS_AS(way.depart(), std::logic_error);
  way = OneWay(3);
  way.arrival.stands[0].state = 3;
  CHECK_THROWS_AS(way.arrive(), std::logic_error);
}

TEST_CASE("More labels than the limit are an error, not another answer", "[phase]") {
  const OneWay way(5);
  const PhaseGraph graph(way.arc_of, way.steps);
  PhaseSearch search(graph);
  search.set_label_limit(3);
  CHECK_THROWS_AS(search.find(way.departure), std::runtime_error);
  search.set_label_limit(1000);
  CHECK(search.find(way.departure).with_one->cost_kg == Approx(85.2));
}
