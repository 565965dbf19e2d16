#include "bench/simulation_bench.hpp"

#include <benchmark/benchmark.h>

#include <memory>
#include <numeric>
#include <stdexcept>

#include "solotaxi/motion/simulation.hpp"

namespace solotaxi::bench {
namespace {

constexpr std::size_t kDrives = 32;
constexpr double kLeastLength_m = 2000.0;

/// Between stands and runway entries in turn.
std::vector<std::vector<network::ArcId>> long_ways(const Field& field) {
  const Weights& weights = field.weights[static_cast<std::size_t>(routing::Objective::fuel)];
  const routing::SearchGraph graph(field.net, weights.arc, weights.movement);
  routing::ArcSearch search(graph);
  std::vector<std::vector<network::ArcId>> ways;
  for (const Query& q : place_queries(field, graph, 512)) {
    const routing::Terminal seed{network::ArcId{q.from}, 0}, goal{network::ArcId{q.to}, 0};
    if (!search.find({&seed, 1}, {&goal, 1})) continue;
    auto way = search.path();
    double length = 0.0;
    for (const network::ArcId a : way) length += field.net.segment(a).length_m;
    if (length >= kLeastLength_m) ways.push_back(std::move(way));
    if (ways.size() == kDrives) break;
  }
  if (ways.empty()) throw std::runtime_error("no way of 2 km on " + field.name);
  return ways;
}

void add(const std::string& name, const Field& field, const std::shared_ptr<std::vector<motion::Drive>>& drives) {
  benchmark::RegisterBenchmark(name.c_str(), [&field, drives](benchmark::State& state) {
    const aircraft::Aircraft aircraft;
    std::size_t at = 0;
    double steps = 0.0, metres = 0.0;
    for (auto _ : state) {
      const auto s = motion::simulate(field.net, field.shape, aircraft, {}, (*drives)[at++ % drives->size()]);
      steps += static_cast<double>(s.samples.size());
      metres += s.samples.back().at_m;
    }
    state.counters["steps"] = steps / static_cast<double>(state.iterations());
    state.counters["metres"] = metres / static_cast<double>(state.iterations());
    state.counters["per_step"] = benchmark::Counter(steps, benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
  })->Unit(benchmark::kMicrosecond);
}

}  // namespace

void add_simulation_benchmarks(const Field& field) {
  const auto one = std::make_shared<std::vector<motion::Drive>>(), all = std::make_shared<std::vector<motion::Drive>>();
  for (auto& way : long_ways(field)) {
    motion::Drive drive;
    drive.arcs = std::move(way);
    drive.phases = {{{3}}};
    drive.stops = {{0.0, 120.0}};
    all->push_back(drive);
    drive.phases = {{{1}, {}, 110.0}, {{1}, {2}, 130.0, kLeastLength_m / 2}, {{3}, {}, 0.0, {}, 60.0}};
    one->push_back(std::move(drive));
  }
  add("simulate/" + field.name + "/one_engine", field, one);
  add("simulate/" + field.name + "/every_engine", field, all);
}

}  // namespace solotaxi::bench
