#pragma once

#include "bench/fields.hpp"

namespace solotaxi::bench {

/// Plans over engine phases on a field: one exact plan with both running sets, one runway to all stands, and Boost.Graph's
/// searches on the same questions. The field must outlive the benchmarks.
void add_phase_benchmarks(const Field& field);
/// One runway to 200 stands on grids of up to 30,000 segments.
void add_phase_growth_benchmark();

}  // namespace solotaxi::bench
