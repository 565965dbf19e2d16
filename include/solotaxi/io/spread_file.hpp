// How far what is assumed may lie off, as a file says it (TOML): a table for each value, its keys standard deviations.
//
//   [rolling_resistance]            # see planning/spread.hpp for names, units and what is usual
//   all = 0.003                     # common to every movement
//   field = 0.001                   # of its own for each field (of grades: each runway end and direction)
//   aircraft = 0.0                  # of its own for each aircraft type
//   source = "measured, 2026"       # "assumed" where it is not said
#pragma once

#include <filesystem>

#include "solotaxi/planning/spread.hpp"

namespace solotaxi::io {

/// Values without a table have their usual spread; deviations that a table does not name are 0. Throws Error (data) with
/// file and line for unknown names, wrong types and values out of range.
[[nodiscard]] planning::Spreads read_spreads(const std::filesystem::path& file);

}  // namespace solotaxi::io
