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

/// `name_or_file` is a path, or the name of a file in the installed data directory ("narrow-body-twin"). An unknown name throws
/// Error (usage) with the names there are.
[[nodiscard]] aircraft::Aircraft find_aircraft(const std::string& name_or_file);

/// The directory of data files: environment SOLOTAXI_DATA, else the source tree's or the installed one (compiled in).
[[nodiscard]] std::filesystem::path data_directory();

}  // namespace solotaxi::io
