// Elevation rasters through GDAL as height sources.
#pragma once

#include <filesystem>
#include <limits>
#include <memory>
#include <optional>

#include "solotaxi/terrain/source.hpp"

namespace solotaxi::io {

/// What a raster says at one position, bilinear between pixel centres.
struct HeightSample {
  enum class State { height, in_void, outside };
  State state = State::outside;
  double height_m = std::numeric_limits<double>::quiet_NaN();  ///< meaningful for State::height only
  /// A pixel it is interpolated from lies within 0.01 m of 0: true at the sea, a dropout anywhere else.
  bool beside_zero = false;
};

class Raster : public terrain::HeightSource {
 public:
  /// A void among the pixels that have a weight gives no height, and so does the outside, which begins at the outermost
  /// pixel centres. For comparison: grades of such samples are mostly noise.
  [[nodiscard]] virtual HeightSample sample_at(LatLon at) const = 0;
  /// Height of sample_at, where there is one.
  [[nodiscard]] std::optional<double> height_at(LatLon at) const {
    const HeightSample sample = sample_at(at);
    return sample.state == HeightSample::State::height ? std::optional(sample.height_m) : std::nullopt;
  }
  /// Side of a square of the middle pixel's area on the ground.
  [[nodiscard]] virtual Metres spacing() const = 0;
};

struct RasterOptions {
  terrain::NoiseModel noise = terrain::kRasterNoise;
  /// Added to every height; where given, the heights count as on the datum of the other sources.
  std::optional<double> offset_m;
};

/// Opens a raster of any format, CRS (Mercator, UTM, degrees, also 0…360) and georeference (also rotated) GDAL reads;
/// band 1.
///
/// Heights are metres: the band's scale and offset are applied, and a unit it states (feet, US survey feet) is converted
/// and named in name(); without one metres are assumed. The vertical datum is what the CRS states: heights of a
/// three-dimensional geographic CRS, and of a vertical CRS that names the ellipsoid, lie above the ellipsoid. Voids are
/// nodata, masked pixels, NaN, and heights outside -500…9000 m. step() is the band's scale where every pixel read so far is
/// a whole number. Only tiles of 64 by 64 pixels around the positions asked for are read and kept, 8 MiB at most (GDAL
/// keeps blocks of its own). May be used from several threads, one at a time inside.
///
/// Throws Error (data) for a missing or damaged file (damage may show only when a height is asked for), an image, a unit
/// that is no length, no CRS or georeference, or a raster that is void throughout; Error (usage) for noise or an offset
/// out of range.
[[nodiscard]] std::unique_ptr<Raster> open_raster(const std::filesystem::path& file, const RasterOptions& options = {});

}  // namespace solotaxi::io
