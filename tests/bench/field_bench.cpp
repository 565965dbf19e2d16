// What comes before a search and what is around it: reading a map, shape, cost tables, a whole route.
#include "bench/field_bench.hpp"

#include <benchmark/benchmark.h>

#include <memory>
#include <random>
#include <stdexcept>
#include <utility>
#include <variant>

#include "bench/hub.hpp"
#include "solotaxi/motion/cost_table.hpp"
#include "solotaxi/network/build.hpp"

namespace solotaxi::bench {
namespace {

using routing::Objective;

constexpr std::size_t kRouteQueries = 64;

/// Stand to runway at full length and runway to stand in turn; only questions with an answer for every engine.
std::vector<routing::RouteRequest> route_requests(const Field& field) {
  std::mt19937_64 random(3);
  std::vector<routing::RouteRequest> requests;
  const aircraft::Aircraft aircraft;
  for (std::size_t tries = 0; requests.size() < kRouteQueries; ++tries) {
    if (tries > 20 * kRouteQueries) throw std::runtime_error("too few routes between stands and runways");
    const auto& stand = field.net.stands[random() % field.net.stands.size()];
    const auto& runway = field.net.runways[random() % field.net.runways.size()];
    const std::string& end = runway.designators[random() % 2];
    if (end.empty() || stand.ref.empty()) continue;
    routing::RouteRequest request;
    request.from = routing::parse_place("stand:" + stand.ref + "#" + stand.id.substr(stand.id.find('/') + 1));
    request.to = routing::parse_place("runway:" + end);
    if (requests.size() % 2 == 1) std::swap(request.from, request.to);
    const auto answer = routing::find_route(field.net, aircraft, aircraft::all_engines(aircraft), {}, request);
    if (std::holds_alternative<routing::Route>(answer)) requests.push_back(std::move(request));
  }
  return requests;
}

}  // namespace

void add_map_benchmark(const std::string& name, const std::filesystem::path& file) {
  benchmark::RegisterBenchmark(("map_to_network/" + name).c_str(), [file](benchmark::State& state) {
    for (auto _ : state) {
      const auto net = read_network(file);
      state.counters["segments"] = static_cast<double>(net.segments.size());
    }
  })->Unit(benchmark::kMillisecond);
}

void add_hub_build_benchmark() {
  const auto field = std::make_shared<airfield::Airfield>(hub_airfield(draw_hub()));
  benchmark::RegisterBenchmark("map_to_network/hub", [field](benchmark::State& state) {
    for (auto _ : state) {
      const auto net = network::build_network(*field);
      state.counters["segments"] = static_cast<double>(net.segments.size());
    }
  })->Unit(benchmark::kMillisecond);
}

void add_cost_benchmarks(const Field& field) {
  const aircraft::Aircraft aircraft;
  benchmark::RegisterBenchmark(("shape/" + field.name).c_str(), [&field, aircraft](benchmark::State& state) {
    for (auto _ : state) benchmark::DoNotOptimize(shape_of(field.net, aircraft));
  })->Unit(benchmark::kMillisecond);
  for (const char* engines : {"all", "left", "right"}) {
    const auto set = aircraft::parse_running_set(aircraft, engines);
    benchmark::RegisterBenchmark(("cost_table/" + field.name + "/" + engines).c_str(), [&field, aircraft,
                                                                                        set](benchmark::State& state) {
      for (auto _ : state) benchmark::DoNotOptimize(motion::CostTable(field.net, field.shape, aircraft, set, {}));
    })->Unit(benchmark::kMillisecond);
  }
}

void add_route_benchmarks(const Field& field) {
  const auto requests = std::make_shared<std::vector<routing::RouteRequest>>(route_requests(field));
  const aircraft::Aircraft aircraft;
  for (const Objective objective : {Objective::distance, Objective::time, Objective::fuel}) {
    const std::string name = "find_route/" + field.name + "/" + routing::to_string(objective) + "/left";
    benchmark::RegisterBenchmark(name.c_str(),
                                 [&field, requests, aircraft, objective](benchmark::State& state) {
                                   const auto set = aircraft::parse_running_set(aircraft, "left");
                                   std::size_t at = 0;
                                   for (auto _ : state) {
                                     routing::RouteRequest request = (*requests)[at++ % requests->size()];
                                     request.objective = objective;
                                     benchmark::DoNotOptimize(routing::find_route(field.net, aircraft, set, {}, request));
                                   }
                                 })
        ->Iterations(4 * kRouteQueries)
        ->Unit(benchmark::kMillisecond);
  }
}

}  // namespace solotaxi::bench
