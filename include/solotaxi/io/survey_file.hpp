// Surveyed heights from a text table.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>

#include "solotaxi/terrain/source.hpp"

namespace solotaxi::io {

struct SurveyOptions {
  terrain::NoiseModel noise = terrain::kSurveyNoise;  ///< of points without a sigma of their own
  /// Added to every height; where given, the heights count as on the datum of the other sources.
  std::optional<double> offset_m;
};

/// Reads surveyed points: comma-separated lines `lat, lon, height[, sigma]`, WGS 84 degrees and metres, UTF-8, with or
/// without a heading. A heading may name the columns in any order: lat or latitude; lon, lng or longitude; height, ele,
/// elevation, z or h; sigma, sd or accuracy; others are not read. Empty lines and lines that begin with # are passed over.
/// A heading that names a column height_ellipsoid or ellipsoidal_height states the datum.
///
/// Throws Error (data) with file and line for a missing file, a line with too few or unusable numbers, positions out of
/// range, a height outside -500…9000 m, a sigma that is not positive, a heading without position or height, or no point at
/// all. Cost: one pass.
[[nodiscard]] std::unique_ptr<terrain::HeightSource> open_survey(const std::filesystem::path& file,
                                                                 const SurveyOptions& options = {});

}  // namespace solotaxi::io
