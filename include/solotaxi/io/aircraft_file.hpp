// Aircraft files (TOML).
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "solotaxi/aircraft/aircraft.hpp"

namespace solotaxi::io {

/// Reads one aircraft file. Keys are the members of aircraft::Aircraft; a missing key keeps its default, an unknown key, a wrong
/// type or a value out of range throws Error (data) with file and line.
[[nodiscard]] aircraft::Aircraft read_aircraft(const std::filesystem::path& file);

/// `name_or_file` is a path, or the name of a built-in aircraft ("narrow-body-twin"). An unknown name throws Error (usage) with
/// the names there are.
[[nodiscard]] aircraft::Aircraft find_aircraft(const std::string& name_or_file);

/// Names of the built-in aircraft: the files of data/aircraft as they stood when the library was built, in alphabetical order.
[[nodiscard]] std::vector<std::string> aircraft_names();

}  // namespace solotaxi::io
