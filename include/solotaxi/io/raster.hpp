// Elevation rasters through GDAL as height sources.
#pragma once

#include <filesystem>
#include <memory>

#include "solotaxi/terrain/heights.hpp"

namespace solotaxi::io {

/// Opens a raster of any format, CRS (Mercator, UTM, degrees, also 0…360) and georeference (also rotated) GDAL reads;
/// band 1.
///
/// Heights are metres: the band's scale and offset are applied, and a unit it states (feet, US survey feet) is converted
/// and named in name(); without one metres are assumed. The vertical datum is taken as it is. Bilinear between pixel
/// centres; a void (nodata, mask, NaN, or a height outside -500…9000 m) among the pixels that have a weight gives no
/// height, and so does the outside, which begins at the outermost pixel centres. step() is the band's scale where every
/// pixel read so far is a whole number. spacing() is the side of a square of the middle pixel's area on the ground,
/// spacing_at() near a position. Only tiles of 64 by 64 pixels around the positions asked for are read and kept, 8 MiB at
/// most (GDAL keeps blocks of its own). May be used from several threads, one at a time inside.
///
/// Throws Error (data) for a missing or damaged file (damage may show only when a height is asked for), an image, a unit
/// that is no length, no CRS or georeference, or a raster that is void throughout; Error (usage) for a `sigma` that is not
/// positive. `sigma` is the declared noise of a pixel (assumed 2 m).
[[nodiscard]] std::unique_ptr<terrain::HeightSource> open_raster(const std::filesystem::path& file,
                                                                 Metres sigma = Metres{2.0});

}  // namespace solotaxi::io
