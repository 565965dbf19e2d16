// What was read and built of a field, with all findings: text, JSON, feature layers of the network.
#pragma once

#include <string>
#include <vector>

#include "solotaxi/io/vector_writer.hpp"
#include "solotaxi/network/network.hpp"

namespace solotaxi::report {

/// Adds findings on grades over the slope standards of a code letter: 3 % for A–B, 1.5 % for C–F [ICAO Annex 14]; change
/// of slope 1 % per 25 m (A–B) and 30 m (C–F).
[[nodiscard]] Findings slope_findings(const network::Network& network, char code_letter);

[[nodiscard]] std::string check_text(const network::Network& network);
/// Keys as in data/schema/check.schema.json; ends with a line break.
[[nodiscard]] std::string check_json(const network::Network& network);
[[nodiscard]] std::vector<io::FeatureLayer> network_layers(const network::Network& network);

}  // namespace solotaxi::report
