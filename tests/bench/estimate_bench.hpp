// Rows of an estimate a second, with the file of single movements written.
#pragma once

namespace solotaxi::bench {

void add_estimate_benchmarks();

}  // namespace solotaxi::bench
