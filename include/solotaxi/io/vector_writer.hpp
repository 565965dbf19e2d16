// Writing tables of features as GeoJSON, GeoPackage or KML, by ending. Written whole or not at all (staged_file.hpp).
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <variant>
#include <vector>

#include "solotaxi/geo/position.hpp"
#include "solotaxi/io/staged_file.hpp"

namespace solotaxi::io {

using Value = std::variant<std::monostate, std::string, double, std::int64_t, bool>;  ///< monostate is null

struct Feature {
  std::vector<LatLon> line;      ///< one vertex: a point
  std::vector<double> height_m;  ///< empty, or one per vertex (NaN: none)
  std::vector<Value> values;     ///< by column
  bool area = false;             ///< `line` is a closed ring, written as a polygon
};

struct FeatureLayer {
  std::string name;
  std::string description;  ///< for the reader of the file: cautions, attribution
  std::vector<std::string> columns;
  std::vector<Feature> features;
  /// By column, any value of its type; keeps the type where no feature has a value. May be left empty.
  std::vector<Value> typical = {};
  /// How QGIS draws the layer (QML), or empty; a GeoPackage carries it in its table layer_styles, other formats do not.
  std::string style_qml = {};
};

/// Endings write_layers takes, with the dot.
[[nodiscard]] const std::vector<std::string>& layer_endings();

/// Endings .geojson, .gpkg, .kml, in any case; GeoJSON and KML take several layers as one, with a column "layer" and the
/// first layer's description. WGS 84 throughout; coordinates with 9 decimals. A line with a height missing is written
/// without heights; a number that is not finite is null. The same layers give the same bytes: a GeoPackage is dated 1970.
/// Throws Error (usage) for another ending, (data) where it cannot write.
void write_layers(const std::filesystem::path& file, const std::vector<FeatureLayer>& layers);
/// The same up to the last step.
[[nodiscard]] StagedFile stage_layers(const std::filesystem::path& file, const std::vector<FeatureLayer>& layers);

}  // namespace solotaxi::io
