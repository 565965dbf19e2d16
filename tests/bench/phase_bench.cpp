// Plans over engine phases, ours and Boost.Graph's, on the same questions in the same run. Costs in the phases are those of
// the generic twin's cost tables: ONE of either engine; START is ONE with the other engine idling and the APU starting it.
#include "bench/phase_bench.hpp"

#include <benchmark/benchmark.h>

#include <array>
#include <cmath>
#include <functional>
#include <memory>
#include <random>
#include <stdexcept>
#include <utility>

#include "bench/baseline.hpp"
#include "bench/measure.hpp"
#include "solotaxi/motion/cost_table.hpp"
#include "solotaxi/planning/phase_search.hpp"
#include "support/phase_boost.hpp"
#include "support/random_network.hpp"

namespace solotaxi::bench {
namespace {

using namespace planning;
using network::ArcId;
using network::index;
using network::LineKind;

constexpr std::size_t kQueries = 256, kPasses = 8, kSlowQueries = 16, kStandSets = 16;
constexpr double kSecondsAnHour = 3600.0;

/// What a running set's phases cost on a network.
struct PhaseCosts {
  motion::CostTable one, all;
  double start_more_kg_s;  ///< START's flow beyond ONE's
  /// Where heights are unknown the cautious verdict leaves no place to one engine, and nothing to search: there ONE may
  /// drive wherever every engine may.
  motion::Verdict worst_for_one;
  PhaseCosts(const network::Network& net, const network::Shape& shape, const aircraft::Aircraft& aircraft, const char* set)
      : one(net, shape, aircraft, aircraft::parse_running_set(aircraft, set), {}),
        all(net, shape, aircraft, aircraft::all_engines(aircraft), {}),
        start_more_kg_s(all.standing_flow_kg_s() / 2.0 +
                        (aircraft.apu_start_kg_h - aircraft.apu_run_kg_h) / kSecondsAnHour),
        worst_for_one(std::isnan(net.segments.front().profile.front().height_m) ? motion::Verdict::all
                                                                                : motion::Verdict::rolling) {}

  static bool open(const motion::PlaceVerdict& place, motion::Verdict worst) { return place.verdict <= worst; }
  void fill(const motion::Cost& one_cost, bool one_open, const motion::Cost& all_cost, bool all_open, ByPhase& cost,
            ByPhase& time) const {
    time = {one_cost.time_s, one_cost.time_s, all_cost.time_s};
    cost = {one_open ? one_cost.fuel_kg : kBarred,
            one_open ? one_cost.fuel_kg + start_more_kg_s * one_cost.time_s : kBarred,
            all_open ? all_cost.fuel_kg : kBarred};
  }
  [[nodiscard]] PhaseTerminal begin(ArcId a) const {
    PhaseTerminal t;
    t.state = index(a);
    fill(one.arc(a) + one.start_from_rest(a), open(one.arc_verdict(a), worst_for_one), all.arc(a) + all.start_from_rest(a),
         open(all.arc_verdict(a), motion::Verdict::all), t.cost_kg, t.time_s);
    return t;
  }
  [[nodiscard]] PhaseTerminal end(ArcId a) const {
    PhaseTerminal t;
    t.state = index(a);
    fill(one.stop(a), true, all.stop(a), true, t.cost_kg, t.time_s);
    return t;
  }
  [[nodiscard]] std::vector<PhaseStep> steps(const network::Network& net) const;
  [[nodiscard]] DepartureProblem departure() const {
    DepartureProblem d;
    d.flow_kg_s = {one.standing_flow_kg_s(), one.standing_flow_kg_s() + start_more_kg_s, all.standing_flow_kg_s()};
    return d;
  }
};

std::vector<PhaseStep> PhaseCosts::steps(const network::Network& net) const {
  std::vector<bool> on_runway(net.nodes.size());
  for (const auto& s : net.segments)
    if (s.kind == LineKind::runway) on_runway[index(s.from)] = on_runway[index(s.to)] = true;
  std::vector<PhaseStep> steps;
  for (std::size_t m = 0; m < net.movements.size(); ++m) {
    const auto& movement = net.movements[m];
    const ArcId from = movement.from, to = movement.to;
    if (movement.turn_round || !net.may_drive(from) || !net.may_drive(to)) continue;
    PhaseStep s;
    s.from = index(from);
    s.to = index(to);
    const auto open_in = [&](const motion::CostTable& t, motion::Verdict worst) {
      return open(t.arc_verdict(to), worst) && open(t.movement(m).place, worst);
    };
    fill(one.arc(to) + one.movement(m).cost, open_in(one, worst_for_one), all.arc(to) + all.movement(m).cost,
         open_in(all, motion::Verdict::all), s.cost_kg, s.time_s);
    for (double& cost : s.cost_kg) cost = std::max(cost, 0.0);  // sums of nought may be rounded below it
    const bool runway_to = net.segment(to).kind == LineKind::runway;
    s.may_begin_start = !on_runway[index(net.head(from))] && !runway_to && std::abs(movement.angle_rad) <= M_PI / 3.0;
    s.queue_here = !runway_to && on_runway[index(net.head(to))] && !on_runway[index(net.tail(to))];
    steps.push_back(s);
  }
  return steps;
}

/// One running set's graph and search.
struct Planner {
  PhaseCosts costs;
  std::vector<std::uint32_t> arc_of;
  std::vector<PhaseStep> steps;
  PhaseGraph graph;
  PhaseSearch search;

  /// The cost tables may be asked for single arcs only while network and shape live.
  Planner(const network::Network& net, const network::Shape& shape, const char* set)
      : costs(net, shape, aircraft::Aircraft{}, set),
        arc_of(every_arc(net)),
        steps(costs.steps(net)),
        graph(arc_of, steps),
        search(graph) {}

  static std::vector<std::uint32_t> every_arc(const network::Network& net) {
    std::vector<std::uint32_t> arcs(net.arc_count());
    for (std::uint32_t a = 0; a < arcs.size(); ++a) arcs[a] = a;
    return arcs;
  }
};

/// One field's planners and questions, made before any clock runs.
struct Setup {
  std::vector<std::unique_ptr<Planner>> sets;
  std::vector<std::vector<DepartureProblem>> departures;  ///< by question, then set
  std::vector<std::vector<ArrivalProblem>> arrivals;
  std::vector<DepartureProblem> to_all;  ///< left set
  std::vector<ArrivalProblem> from_all;
  std::vector<Query> queries;
  std::unique_ptr<Baseline> line_graph;

  explicit Setup(const Field& field) {
    const Weights& w = field.weights[static_cast<std::size_t>(routing::Objective::fuel)];
    const routing::SearchGraph graph(field.net, w.arc, w.movement);
    line_graph = std::make_unique<Baseline>(Baseline::on_arcs(field.net, w.arc, w.movement));
    for (const char* set : {"left", "right"}) sets.push_back(std::make_unique<Planner>(field.net, field.shape, set));
    const auto both_ways = place_queries(field, graph, 2 * kQueries);
    std::vector<ArcId> stands;
    for (std::size_t i = 0; i < both_ways.size(); i += 2) {
      queries.push_back(both_ways[i]);
      add_question(ArcId{both_ways[i].from}, ArcId{both_ways[i].to});
      add_arrival(ArcId{both_ways[i + 1].from}, ArcId{both_ways[i + 1].to});
    }
    for (const auto& stand : field.net.stands)
      for (const ArcId a : field.net.arcs_from(stand.node))
        if (field.net.segment(a).kind != LineKind::runway) stands.push_back(a);
    for (std::size_t i = 0; i < kStandSets; ++i) {
      add_to_all(stands, ArcId{both_ways[2 * i].to});
    }
    check_answers();
  }

  void add_question(ArcId from, ArcId to) {
    auto& question = departures.emplace_back();
    for (const auto& set : sets) {
      DepartureProblem d = set->costs.departure();
      d.stands = {set->costs.begin(from)};
      d.runway = {set->costs.end(to)};
      question.push_back(std::move(d));
    }
  }
  void add_arrival(ArcId from, ArcId to) {
    auto& question = arrivals.emplace_back();
    for (const auto& set : sets) {
      ArrivalProblem a;
      a.runway = {set->costs.begin(from)};
      a.stands = {set->costs.end(to)};
      question.push_back(std::move(a));
    }
  }
  void add_to_all(const std::vector<ArcId>& stands, ArcId runway) {
    DepartureProblem d = sets[0]->costs.departure();
    for (const ArcId a : stands) {
      d.stands.push_back(sets[0]->costs.begin(a));
      d.stands.back().stand = static_cast<std::uint32_t>(d.stands.size() - 1);
    }
    d.runway = {sets[0]->costs.end(runway)};
    to_all.push_back(std::move(d));
  }

  std::size_t with_one = 0;  ///< plans with ONE found

  double plan(std::size_t question) {
    double sum = 0.0;
    for (std::size_t s = 0; s < sets.size(); ++s) {
      const PhaseAnswer answer = sets[s]->search.find(departures[question][s]);
      with_one += answer.with_one ? 1U : 0U;
      sum += answer.with_one ? answer.with_one->cost_kg : 0.0;
      sum += answer.reference ? answer.reference->cost_kg : 0.0;
    }
    return sum;
  }
  double plan_arrival(std::size_t question) {
    double sum = 0.0;
    for (std::size_t s = 0; s < sets.size(); ++s) {
      const PhaseAnswer answer = sets[s]->search.find(arrivals[question][s]);
      with_one += answer.with_one ? 1U : 0U;
      sum += answer.with_one ? answer.with_one->cost_kg : 0.0;
    }
    return sum;
  }
  /// Boost.Graph's problems of the same question, both sets and both kinds of plan.
  [[nodiscard]] std::vector<std::unique_ptr<test::PhaseBoost>> boost(std::size_t question) const {
    std::vector<std::unique_ptr<test::PhaseBoost>> all;
    for (std::size_t s = 0; s < sets.size(); ++s)
      for (const bool one : {true, false})
        all.push_back(std::make_unique<test::PhaseBoost>(sets[s]->arc_of, sets[s]->steps, departures[question][s], one,
                                                         test::Dominance::waiting_out));
    return all;
  }

 private:
  /// A wrong answer may be as fast as it likes.
  void check_answers() {
    for (std::size_t q = 0; q < 2; ++q) {
      double sum = 0.0;
      for (const auto& problem : boost(q))
        if (const double cost = problem->find(); cost < kBarred) sum += cost;
      if (with_one = 0; std::abs(plan(q) - sum) > 1e-6) throw std::runtime_error("phase plans differ from Boost.Graph's");
      if (with_one == 0) throw std::runtime_error("no phase plan with ONE to measure");
    }
  }
};

void register_medians(const std::string& name, std::shared_ptr<Setup> setup, std::size_t count,
                      std::function<double(Setup&, std::size_t)> ask) {
  benchmark::RegisterBenchmark(name.c_str(),
                               [setup, count, ask](benchmark::State& state) {
                                 std::size_t labels = 0, repeats = 0;
                                 setup->with_one = 0;
                                 measure_each(state, count, [&](std::size_t q) {
                                   const double answer = ask(*setup, q);
                                   labels += setup->sets[0]->search.labels();
                                   repeats += setup->sets[0]->search.repeats();
                                   return answer;
                                 });
                                 const auto asked = static_cast<double>(state.iterations());
                                 state.counters["labels"] = static_cast<double>(labels) / asked;
                                 state.counters["with_one"] = static_cast<double>(setup->with_one) / asked;
                                 state.counters["repeats"] = static_cast<double>(repeats) / asked;
                               })
      ->Iterations(static_cast<benchmark::IterationCount>(count * kPasses))
      ->UseManualTime()
      ->Unit(benchmark::kMicrosecond);
}

/// A grid with 200 stands and one runway end drawn anywhere.
struct Grid {
  std::size_t segments;
  std::unique_ptr<Planner> planner;
  std::vector<DepartureProblem> problems;

  explicit Grid(std::uint32_t side) {
    std::mt19937_64 random(5);
    test::RandomNetworkOptions options;
    options.columns = options.rows = side;
    const network::Network net = test::random_network(random, options);
    segments = net.segments.size();
    const network::Shape shape = shape_of(net, aircraft::Aircraft{});
    planner = std::make_unique<Planner>(net, shape, "left");
    const auto any_arc = [&] {
      return ArcId{static_cast<std::uint32_t>(test::random_int(random, 0, static_cast<std::int64_t>(net.arc_count()) - 1))};
    };
    for (std::size_t i = 0; i < kStandSets; ++i) {
      DepartureProblem& d = problems.emplace_back(planner->costs.departure());
      for (std::uint32_t s = 0; s < 200; ++s) {
        d.stands.push_back(planner->costs.begin(any_arc()));
        d.stands.back().stand = s;
      }
      d.runway = {planner->costs.end(any_arc())};
    }
  }
};

}  // namespace

void add_phase_growth_benchmark() {
  for (const std::uint32_t side : {24U, 41U, 75U, 130U}) {
    const auto grid = std::make_shared<Grid>(side);
    benchmark::RegisterBenchmark(("phase_to_all/grid_" + std::to_string(grid->segments) + "/departure/solotaxi").c_str(),
                                 [grid](benchmark::State& state) {
                                   measure_each(state, kStandSets, [&](std::size_t q) {
                                     return grid->planner->search.find_all(grid->problems[q]).size();
                                   });
                                   state.counters["labels"] = static_cast<double>(grid->planner->search.labels());
                                 })
        ->Iterations(2 * kStandSets)
        ->UseManualTime()
        ->Unit(benchmark::kMicrosecond);
  }
}

void add_phase_benchmarks(const Field& field) {
  const auto setup = std::make_shared<Setup>(field);
  const std::string where = "/" + field.name + "/";
  register_medians("phase_plan" + where + "departure/solotaxi", setup, kQueries,
                   [](Setup& s, std::size_t q) { return s.plan(q); });
  register_medians("phase_plan" + where + "departure/boost_line_graph", setup, kQueries, [](Setup& s, std::size_t q) {
    s.line_graph->find_all(s.queries[q].from);
    return static_cast<double>(s.line_graph->label(s.queries[q].to));
  });
  benchmark::RegisterBenchmark(("phase_plan" + where + "departure/boost_r_c").c_str(),
                               [setup](benchmark::State& state) {
                                 std::vector<std::vector<std::unique_ptr<test::PhaseBoost>>> problems;
                                 for (std::size_t q = 0; q < kSlowQueries; ++q) problems.push_back(setup->boost(q));
                                 measure_each(state, kSlowQueries, [&](std::size_t q) {
                                   double sum = 0.0;
                                   for (const auto& problem : problems[q]) sum += problem->find();
                                   return sum;
                                 });
                               })
      ->Iterations(kSlowQueries)
      ->UseManualTime()
      ->Unit(benchmark::kMicrosecond);
  register_medians("phase_plan" + where + "arrival/solotaxi", setup, kQueries,
                   [](Setup& s, std::size_t q) { return s.plan_arrival(q); });
  register_medians("phase_to_all" + where + "departure/solotaxi", setup, kStandSets, [](Setup& s, std::size_t q) {
    return static_cast<double>(s.sets[0]->search.find_all(s.to_all[q]).size());
  });
}

}  // namespace solotaxi::bench
