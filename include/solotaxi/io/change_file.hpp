// Changes of a field that a planner thinks of, from a TOML file:
//
//   [[change]]
//   name = "B"             # taxiway, runway or map id; a runway with the lines that join it
//   max_grade_pct = 1.5    # 0 to 10: no steeper than so much
//   min_radius_m = 45      # 5 to 1000: its bends no tighter
//   closed = false
#pragma once

#include <filesystem>
#include <vector>

#include "solotaxi/planning/screen.hpp"

namespace solotaxi::io {

/// Throws Error (data), with the line, for a file that cannot be read, is no TOML, changes nothing, or has a key or value
/// that is none of these. New centrelines are not read: they belong into the map.
[[nodiscard]] std::vector<planning::Change> read_changes(const std::filesystem::path& file);

}  // namespace solotaxi::io
