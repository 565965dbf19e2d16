// Writing tables of features as GeoJSON, GeoPackage or KML, by ending. Written whole or not at all.
//
// A file is first made in full, then written beside its target under a temporary name, and only then takes the target's
// place. Who writes several files stages them all before committing any, so that one that fails costs no other.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "solotaxi/geo/position.hpp"

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

/// A file written under a temporary name beside its target. Vanishes unless it is committed.
class StagedFile {
 public:
  StagedFile(StagedFile&& other) noexcept;
  StagedFile& operator=(StagedFile&&) = delete;
  StagedFile(const StagedFile&) = delete;
  StagedFile& operator=(const StagedFile&) = delete;
  ~StagedFile();
  /// Takes the target's place, replacing a file that is there. Throws Error (data) where it cannot.
  void commit();
  [[nodiscard]] const std::filesystem::path& target() const { return target_; }
  /// Where it is until then; for who adds to it.
  [[nodiscard]] const std::filesystem::path& temporary() const { return temporary_; }
  /// Stays under its temporary name if it is not committed, to be gone on with.
  void keep(bool kept) { kept_ = kept; }

 private:
  friend StagedFile stage_text(const std::filesystem::path& file, const std::string& text);
  friend StagedFile stage_partial(const std::filesystem::path& file, std::uint64_t bytes);
  StagedFile(std::filesystem::path target, std::filesystem::path temporary);
  std::filesystem::path target_, temporary_;
  bool kept_ = false;
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

/// Writes text the same way: whole or not at all.
void write_text(const std::filesystem::path& file, const std::string& text);
[[nodiscard]] StagedFile stage_text(const std::filesystem::path& file, const std::string& text);
/// Where a file that is written piece by piece is gone on with: its first bytes under the name FILE.partial. Throws Error
/// (data) where so many are not there.
[[nodiscard]] StagedFile stage_partial(const std::filesystem::path& file, std::uint64_t bytes);

}  // namespace solotaxi::io
