// Whole plans and their parts, on one field.
#pragma once

#include "bench/fields.hpp"

namespace solotaxi::bench {

void add_plan_benchmarks(const Field& field);

}  // namespace solotaxi::bench
