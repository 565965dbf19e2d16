// AIXM 5.1 aerodrome data as a raw map.
#pragma once

#include <filesystem>
#include <optional>

#include "solotaxi/airfield/raw_map.hpp"
#include "solotaxi/base/instant.hpp"

namespace solotaxi::io {

/// Reads one message or a folder of feature files, with the digital NOTAMs applied for a time (which is then needed).
///
/// Guidance lines become taxiways, taxilanes (APRON, AIR_TLANE) and guidance lines of stands (GATE_TLANE), with direction,
/// speed limit, and the designator, width and limits of the taxiway or stand they are linked to; of several taxiways the
/// one whose pavement holds most of the line. Runways are laid through their surveyed centreline points from end to end,
/// with their elevations; displaced thresholds become points. Pavement elements cut lines where a limit ends. Errors and
/// findings as in io/map_file.hpp.
[[nodiscard]] airfield::RawMap read_aixm_map(const std::filesystem::path& path, std::optional<Instant> at,
                                             const std::vector<std::filesystem::path>& notams);

}  // namespace solotaxi::io
