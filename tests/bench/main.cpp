// Measures the engine on an invented hub and, where the shared folder is, on a real field. Run by tools/bench.
#include <benchmark/benchmark.h>

#include <exception>
#include <iostream>
#include <memory>

#include "bench/estimate_bench.hpp"
#include "bench/field_bench.hpp"
#include "bench/height_bench.hpp"
#include "bench/phase_bench.hpp"
#include "bench/plan_bench.hpp"
#include "bench/screen_bench.hpp"
#include "bench/search_bench.hpp"
#include "bench/simulation_bench.hpp"

int main(int argc, char** argv) {
  using namespace solotaxi::bench;
  benchmark::Initialize(&argc, argv);
  if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 2;
  try {
    const Field hub = hub_field();
    std::unique_ptr<Field> lmml;
    if (const auto file = lmml_file()) {
      lmml = std::make_unique<Field>(lmml_field(*file));
      add_map_benchmark("LMML", *file);
      add_cost_benchmarks(*lmml);
      add_search_benchmarks(*lmml);
      add_phase_benchmarks(*lmml);
      add_plan_benchmarks(*lmml);
      add_screen_benchmarks(*lmml);
      add_route_benchmarks(*lmml);
      add_simulation_benchmarks(*lmml);
    } else {
      std::cerr << "[skipped] LMML: the shared folder is not here\n";
    }
    add_estimate_benchmarks();
    add_height_benchmarks();
    add_hub_build_benchmark();
    add_cost_benchmarks(hub);
    add_search_benchmarks(hub);
    add_simulation_benchmarks(hub);
    add_phase_benchmarks(hub);
    add_phase_growth_benchmark();
    benchmark::RunSpecifiedBenchmarks();
  } catch (const std::exception& error) {
    std::cerr << "bench: " << error.what() << '\n';
    return 1;
  }
  return 0;
}
