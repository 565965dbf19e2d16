// From the options to a network.
#pragma once

#include "options.hpp"
#include "solotaxi/network/network.hpp"

namespace solotaxi::cli {

/// Reads map and rasters and builds the network. Errors name the file.
[[nodiscard]] network::Network load_network(const FieldOptions& options);

}  // namespace solotaxi::cli
