// OpenStreetMap XML and PBF through libosmium.
#pragma once

#include <filesystem>
#include <string>

#include "mapping.hpp"
#include "solotaxi/airfield/raw_map.hpp"

namespace solotaxi::io {

/// Keeps features with an aeroway key (also under a prefix, as in disused:aeroway) and the nodes they need. The file is
/// read once for ways and relations, once for nodes, and once more only where relations have member ways without such a
/// key; objects may come in any order. Memory grows with what is kept, not with the file. `format` is libosmium's name for
/// it ("osm", "osm.bz2", "pbf").
[[nodiscard]] airfield::RawMap read_osm(const std::filesystem::path& file, const std::string& format,
                                        const Mapping& mapping);

}  // namespace solotaxi::io
