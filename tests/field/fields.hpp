// The fields that tests of the whole way are made on.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/io/raster.hpp"
#include "solotaxi/network/build.hpp"
#include "support/shared.hpp"

namespace solotaxi::test {

/// A real field without heights; nothing where it is absent (the test is skipped).
inline std::optional<network::Network> real_field(const std::string& name) {
  const auto file = shared_file("airports/" + name + "/aeroway.osm");
  if (!file) return std::nullopt;
  return network::build_network(airfield::interpret(io::read_map(*file)));
}

/// The demo field with its heights.
inline network::Network demo_field() {
  const std::filesystem::path demo = std::filesystem::path(SOLOTAXI_ROOT) / "data/demo";
  const auto raster = io::open_raster(demo / "elevation.tif");
  const std::vector<const terrain::HeightSource*> sources{raster.get()};
  return network::build_network(airfield::interpret(io::read_map(demo / "field.geojson")), {}, sources);
}

}  // namespace solotaxi::test
