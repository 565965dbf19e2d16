// From the options to a network.
#pragma once

#include <functional>
#include <memory>
#include <vector>

#include "options.hpp"
#include "solotaxi/airfield/raw_map.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/network/network.hpp"

namespace solotaxi::cli {

/// How the map is to be read.
[[nodiscard]] io::MapOptions map_options(const FieldOptions& options);
/// Reads map and rasters and builds the network, with further lines drawn into the map; or reads one that was built, which takes
/// no further lines. Errors name the map.
[[nodiscard]] network::Network load_network(const FieldOptions& options, const std::vector<airfield::RawFeature>& lines = {});

/// Where a command has its network from: read from the map, or read before (Python).
using Loader = std::function<std::shared_ptr<const network::Network>(const FieldOptions&)>;

}  // namespace solotaxi::cli
