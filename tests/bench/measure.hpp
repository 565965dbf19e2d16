// Times questions one by one, so that the median over the set can be given beside the mean: counter median_us.
#pragma once

#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <cstddef>
#include <vector>

namespace solotaxi::bench {

/// Asks questions 0 … count - 1 in turn.
template <class Ask>
void measure_each(benchmark::State& state, std::size_t count, Ask ask) {
  using Clock = std::chrono::steady_clock;
  std::vector<double> times_us;
  std::size_t at = 0;
  for (auto _ : state) {
    const std::size_t question = at++ % count;
    const auto before = Clock::now();
    benchmark::DoNotOptimize(ask(question));
    const std::chrono::duration<double> took = Clock::now() - before;
    state.SetIterationTime(took.count());
    times_us.push_back(took.count() * 1e6);
  }
  const auto middle = times_us.begin() + static_cast<std::ptrdiff_t>(times_us.size() / 2);
  std::nth_element(times_us.begin(), middle, times_us.end());
  state.counters["median_us"] = *middle;
}

}  // namespace solotaxi::bench
