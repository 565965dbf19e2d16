// Elevation rasters through GDAL as height sources.
#pragma once

#include <filesystem>
#include <memory>

#include "solotaxi/terrain/heights.hpp"

namespace solotaxi::io {

/// Opens a raster of any format and CRS GDAL reads; band 1, metres (its scale and offset applied). Bilinear between pixel
/// centres; voids (nodata, NaN) and the outside give no height. Throws Error (data) for a missing or damaged file, one without
/// a CRS or georeference, or one that is void throughout. `sigma` is the declared noise of a pixel (assumed 2 m).
[[nodiscard]] std::unique_ptr<terrain::HeightSource> open_raster(const std::filesystem::path& file, Metres sigma = Metres{2.0});

}  // namespace solotaxi::io
