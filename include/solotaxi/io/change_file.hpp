// Changes of a field that a planner thinks of, from a TOML file:
//
//   [[change]]
//   name = "B"             # taxiway, runway or map id; a runway with the lines that join it
//   max_grade_pct = 1.5    # 0 to 10: no steeper than so much
//   min_radius_m = 45      # 5 to 1000: its bends no tighter
//   closed = false
//
//   [[centreline]]         # a new line, drawn as a map would draw it
//   aeroway = "taxiway"    # or "taxilane"
//   ref = "Z"              # this and further tags as the map's, texts: name, width, maxwingspan, maxspeed, oneway, layer …
//   line = [[-31.1941, -24.5806], [-31.1930, -24.5790, 12.5]]   # latitude, longitude; height [m] where it is known
#pragma once

#include <filesystem>
#include <vector>

#include "solotaxi/airfield/raw_map.hpp"
#include "solotaxi/planning/screen.hpp"

namespace solotaxi::io {

struct ChangeFile {
  std::vector<planning::Change> changes;
  std::vector<airfield::RawFeature> centrelines;  ///< with ids "new/1", "new/2" … in the file's order
};

/// Throws Error (data), with the line, for a file that cannot be read, is no TOML, changes nothing, or has a key or value
/// that is none of these.
[[nodiscard]] ChangeFile read_changes(const std::filesystem::path& file);

}  // namespace solotaxi::io
