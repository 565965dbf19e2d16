// Lines that name the nodes they end at: ends of one name are one vertex, wherever they are drawn.
#pragma once

#include "solotaxi/airfield/raw_map.hpp"

namespace solotaxi::io {

/// Takes the tags from_node and to_node off the lines of a map and gives the vertices they name a common id and position,
/// that of the routing node of that id where the map has it, else of the first line. Findings: node-reference-disagrees
/// (ends over 0.1 m apart, joined as they are named to be; over 5 m, serious, and not joined).
void tie_named_nodes(airfield::RawMap& map);

}  // namespace solotaxi::io
