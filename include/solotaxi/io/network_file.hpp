// A built network as a GeoPackage (report::network_layers writes it), read back so that a planner can mend it in a GIS.
//
// The layers `segments`, `nodes`, `places`, `runways`, `profile` and `field` are read; what they mean and what may be
// changed:
//   segments   vertices may be moved, attributes changed, segments deleted; a new one needs only its line and kind (its
//   ends
//              take the node within 0.1 m, else make one). from_node and to_node count where the line still ends there,
//              else the line does. name, kind, one_way, closed, width_m, wingspan_limit_m, mass_limit_kg, speed_limit_kt,
//              stated_grade_pct (counts before the profile), bridge, tunnel, drawing_layer, surface.
//   nodes      number and height; a node moves with the lines that end at it, not by itself.
//   places     stands and holding positions: name, node, closed, kind; other kinds are only shown.
//   runways    designators, displaced thresholds, closed, no_take_off, no_landing.
//   profile    heights along each segment.
// Columns that are only shown (length_m, grade_mean_pct, lengths of runways) are computed anew.
//
// Findings, beside those the file holds: network-node-added, network-end-moved, network-node-unused, network-place-lost,
// network-renumbered, and those of network/restore.hpp.
#pragma once

#include <filesystem>

#include "solotaxi/network/network.hpp"

namespace solotaxi::io {

/// Whether a file is a GeoPackage with the layers of a network.
[[nodiscard]] bool is_network_file(const std::filesystem::path& file);

/// Throws Error (data) naming file and layer for one that is damaged, lacks a layer or column that is needed, holds a word
/// that is not understood, or makes no network.
[[nodiscard]] network::Network read_network(const std::filesystem::path& file);

}  // namespace solotaxi::io
