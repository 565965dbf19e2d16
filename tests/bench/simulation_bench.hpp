#pragma once

#include "bench/fields.hpp"

namespace solotaxi::bench {

/// A departure on one engine, start on the way, along cheapest routes of 2 km and more; the same with every engine.
void add_simulation_benchmarks(const Field& field);

}  // namespace solotaxi::bench
