// Every vector format GDAL reads, in any coordinate reference system.
#pragma once

#include <filesystem>

#include "mapping.hpp"
#include "solotaxi/airfield/raw_map.hpp"

namespace solotaxi::io {

/// Reads the layers that have an aeroway attribute (by name, in a column of packed tags, or by the mapping) into WGS 84.
/// Heights are third coordinates in metres; a layer whose heights are all exactly 0 has none. Feature ids are those of an
/// `@id`, `osm_id`, `osm_way_id` or `id` attribute, else "layer/fid". Throws Error (data) for a file GDAL cannot read to
/// its end, and for a layer without a coordinate reference system.
[[nodiscard]] airfield::RawMap read_vector(const std::filesystem::path& file, const Mapping& mapping);

}  // namespace solotaxi::io
