// From the options to a network.
#pragma once

#include <optional>
#include <vector>

#include "options.hpp"
#include "solotaxi/airfield/raw_map.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/network/network.hpp"

namespace solotaxi::cli {

struct LoadedField {
  network::Network network;
  std::optional<network::Network> with_lines;  ///< where there are further lines
};

/// How the map is to be read.
[[nodiscard]] io::MapOptions map_options(const FieldOptions& options);
/// Reads map and rasters and builds the network, and one more with further lines drawn into the map; or reads one that was
/// built, which takes no further lines. Errors name the map.
[[nodiscard]] LoadedField load_field(const FieldOptions& options, const std::vector<airfield::RawFeature>& lines);
[[nodiscard]] network::Network load_network(const FieldOptions& options);

}  // namespace solotaxi::cli
