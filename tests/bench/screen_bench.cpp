#include "bench/screen_bench.hpp"

#include <benchmark/benchmark.h>

#include "solotaxi/planning/screen.hpp"

namespace solotaxi::bench {

void add_screen_benchmarks(const Field& field) {
  for (const std::size_t mend : {std::size_t{0}, std::size_t{5}})
    benchmark::RegisterBenchmark(("screen/" + field.name + "/mend_" + std::to_string(mend)).c_str(),
                                 [&field, mend](benchmark::State& state) {
                                   motion::Conditions level;
                                   level.unknown_grade_sigmas = 0.0;  // else no plan has one engine at all
                                   planning::ScreenRequest request;
                                   request.mend = mend;
                                   for (auto _ : state)
                                     benchmark::DoNotOptimize(planning::screen(field.net, {}, level, request).saving_kg);
                                 })
        ->Unit(benchmark::kMillisecond);
}

}  // namespace solotaxi::bench
