// From a raw map to one aerodrome: choosing it, reading tags, assembling runways, telling stands from gates.
#pragma once

#include <optional>
#include <string>

#include "solotaxi/airfield/airfield.hpp"
#include "solotaxi/airfield/raw_map.hpp"

namespace solotaxi::airfield {

struct InterpretOptions {
  /// ICAO or IATA code, name, or "lat,lon"; needed only where the map holds several aerodromes.
  std::optional<std::string> aerodrome;
  /// Lines tagged access=no are shut; otherwise they stay open with a finding.
  bool access_no_is_closed = false;
};

/// Throws Error (data) where the map has no taxiway line, taxiways only as areas, no runway, or NaN coordinates;
/// Error (usage) where several aerodromes are in the map and none is chosen (the hint lists them).
[[nodiscard]] Airfield interpret(const RawMap& map, const InterpretOptions& options = {});

}  // namespace solotaxi::airfield
