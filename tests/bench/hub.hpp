// An invented hub to measure on: four parallel runways, an irregular grid of taxiways between them, 200 stands; 3,000
// segments of which 200 are driven one way only. Seeded: the same seed draws the same field on every platform.
#pragma once

#include <cstdint>
#include <vector>

#include "solotaxi/airfield/airfield.hpp"
#include "solotaxi/network/network.hpp"
#include "support/random_network.hpp"

namespace solotaxi::bench {

inline constexpr std::size_t kHubSegments = 3000, kHubStands = 200, kHubOneWay = 200, kHubRunways = 4;

struct Hub {
  struct Runway {
    std::vector<std::uint32_t> nodes;  ///< on the centreline, west to east
  };
  std::vector<LocalXY> nodes;
  std::vector<test::DrawnLine> lines;
  std::vector<std::int8_t> runway_of;  ///< by line: its runway, -1 for other lines
  std::vector<std::uint32_t> stands;   ///< nodes
  std::vector<Runway> runways;
};

[[nodiscard]] Hub draw_hub(std::uint64_t seed = 2024);

/// The hub's network drawn directly: every line a segment.
[[nodiscard]] network::Network hub_network(const Hub& hub);

/// The same field as a map would describe it, for the way from map to network: vertices with shared ids, runways in one
/// piece.
[[nodiscard]] airfield::Airfield hub_airfield(const Hub& hub);

}  // namespace solotaxi::bench
