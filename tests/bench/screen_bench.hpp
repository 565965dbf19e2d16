// Measures a whole field screened for one aircraft.
#pragma once

#include "bench/fields.hpp"

namespace solotaxi::bench {

void add_screen_benchmarks(const Field& field);

}  // namespace solotaxi::bench
