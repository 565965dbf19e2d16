#include "bench/height_bench.hpp"

#include <benchmark/benchmark.h>

#include <memory>
#include <string>

#include "unit/terrain/field_grid.hpp"

namespace solotaxi::bench {
namespace {

using terrain::HeightProblem;

/// Parallel taxiways 200 m apart, 2 km long, joined every 500 m.
HeightProblem parallel_taxiways(int lines) {
  constexpr int kPieces = 200;
  constexpr double kStep = 10.0, kApart = 200.0;
  HeightProblem problem;
  problem.frame = LocalFrame(test::grid_origin());
  const auto add = [&](double x, double y) {
    terrain::HeightPoint point;
    point.xy = {x, y};
    point.at = problem.frame.to_geodetic(point.xy);
    problem.points.push_back(point);
    return static_cast<std::uint32_t>(problem.points.size() - 1);
  };
  for (int k = 0; k < lines; ++k)
    for (int i = 0; i <= kPieces; ++i) {
      const std::uint32_t here = add(i * kStep, k * kApart);
      if (i > 0) problem.edges.push_back({here - 1, here, kStep, false});
    }
  const auto on = [](int line, int i) { return static_cast<std::uint32_t>(line * (kPieces + 1) + i); };
  for (int k = 0; k + 1 < lines; ++k)
    for (int i = 0; i <= kPieces; i += 50) {
      std::uint32_t before = on(k, i);
      for (double y = kStep; y < kApart; y += kStep) {
        const std::uint32_t here = add(i * kStep, k * kApart + y);
        problem.edges.push_back({before, here, kStep, false});
        before = here;
      }
      problem.edges.push_back({before, on(k + 1, i), kStep, false});
    }
  return problem;
}

}  // namespace

void add_height_benchmarks() {
  for (const int lines : {14, 134}) {  // 28 km along and 13 km across; ten times as much
    const auto problem = std::make_shared<HeightProblem>(parallel_taxiways(lines));
    double length = 0.0;
    for (const terrain::HeightEdge& e : problem->edges) length += e.length_m;
    const auto random = std::make_shared<std::mt19937>(7);
    const auto raster = std::make_shared<test::GridSource>(
        LocalXY{-101.0, -101.0}, 74, static_cast<int>(lines * 200.0 / 30.0) + 8, 30.0,
        [=](LocalXY p) { return 40.0 + 0.004 * p.x_m + std::normal_distribution(0.0, 1.0)(*random); }, 1.0);
    for (const bool search : {false, true}) {
      terrain::HeightOptions options;
      if (!search) options.wander_least_per_m = options.wander_most_per_m = options.wander_median_per_m;
      const std::string name =
          "heights/" + std::to_string(std::lround(length / 1000.0)) + "km/" + (search ? "with_wander" : "one_solution");
      benchmark::RegisterBenchmark(name.c_str(), [=](benchmark::State& state) {
        const terrain::HeightSource* const sources[] = {raster.get()};
        for (auto _ : state) benchmark::DoNotOptimize(terrain::estimate_heights(*problem, sources, options));
      })->Unit(benchmark::kMillisecond);
    }
  }
}

}  // namespace solotaxi::bench
