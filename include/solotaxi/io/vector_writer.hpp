// Writing tables of features as GeoJSON, GeoPackage or KML, by ending. Written whole or not at all.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "solotaxi/geo/position.hpp"

namespace solotaxi::io {

using Value = std::variant<std::monostate, std::string, double, std::int64_t, bool>;  ///< monostate is null

struct Feature {
  std::vector<LatLon> line;       ///< one vertex: a point
  std::vector<double> height_m;   ///< empty, or one per vertex (NaN: none)
  std::vector<Value> values;      ///< by column
};

struct FeatureLayer {
  std::string name;
  std::vector<std::string> columns;
  std::vector<Feature> features;
};

/// Endings .geojson, .gpkg, .kml; GeoJSON and KML take several layers as one, with a column "layer". WGS 84 throughout.
/// Writes to a temporary file beside the target and renames it. Throws Error (usage) for another ending, (data) where it cannot write.
void write_layers(const std::filesystem::path& file, const std::vector<FeatureLayer>& layers);

/// Writes text the same way: whole or not at all.
void write_text(const std::filesystem::path& file, const std::string& text);

}  // namespace solotaxi::io
