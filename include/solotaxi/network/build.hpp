// From an aerodrome's drawn lines to the taxi network: noding, joining, runway ends, stands, holding positions, heights.
#pragma once

#include <span>

#include "solotaxi/airfield/airfield.hpp"
#include "solotaxi/network/network.hpp"
#include "solotaxi/terrain/heights.hpp"

namespace solotaxi::network {

struct BuildOptions {
  double snap_m = 2.0;             ///< near-miss ends closer than this are joined [map rule 3: true ones 0.06–1.5 m]
  double runway_reach_m = 10.0;    ///< a taxiway that stops this short of a runway it serves is joined [map rule 4: 5.8 m]
  double stand_reach_m = 60.0;     ///< a stand off the network is joined over at most this [map rule 9]
  double assumed_hold_m = 90.0;    ///< from the runway centreline where no holding position is mapped [map rule 10]
  double knot_spacing_m = 10.0;    ///< of the height profile; assumed
  terrain::HeightOptions heights{};
};

/// Builds the network. Throws Error (data) when there is no taxiway, only areas, or no runway.
/// Every join, repair and loss is a finding with the map's id. Cost: O(v log v) in the vertices, plus the heights.
[[nodiscard]] Network build_network(const airfield::Airfield& field, const BuildOptions& options = {},
                                    std::span<const terrain::HeightSource* const> sources = {});

}  // namespace solotaxi::network
