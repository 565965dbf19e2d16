// Reading maps: OSM XML and PBF through libosmium, every vector format of GDAL in any CRS through GDAL.
#pragma once

#include <filesystem>
#include <optional>

#include "solotaxi/airfield/raw_map.hpp"

namespace solotaxi::io {

/// Reads a map file into raw features with OpenStreetMap's tag names. `mapping` is a TOML file that gives attribute names of
/// another schema (see data/mapping/README or README.md). Files need not be sorted; missing nodes, duplicate objects and
/// features it cannot take become findings. Throws Error (data) naming the file for one that is missing or damaged.
[[nodiscard]] airfield::RawMap read_map(const std::filesystem::path& file,
                                        const std::optional<std::filesystem::path>& mapping = std::nullopt);

}  // namespace solotaxi::io
