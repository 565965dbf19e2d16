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
/// Heights and grades along every segment, one line a knot of its profile: segment, source_id, name, kind, chainage_m, lat,
/// lon, height_m, and of the piece that begins there grade_pct and grade_sd_pct. Empty where unknown. Comma-separated,
/// UTF-8, fields quoted where they need it [RFC 4180].
[[nodiscard]] std::string profile_csv(const network::Network& network);
[[nodiscard]] std::vector<io::FeatureLayer> network_layers(const network::Network& network);

}  // namespace solotaxi::report
