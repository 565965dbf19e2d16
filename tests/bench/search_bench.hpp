#pragma once

#include "bench/fields.hpp"

namespace solotaxi::bench {

/// Point to point and one to all on a field for each objective. The field must outlive the benchmarks.
void add_search_benchmarks(const Field& field);

}  // namespace solotaxi::bench
