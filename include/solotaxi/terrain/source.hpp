// Sources of ground heights, and what each declares about its noise and vertical datum.
#pragma once

#include <limits>
#include <span>
#include <string>
#include <vector>

#include "solotaxi/geo/geodesic.hpp"

namespace solotaxi::terrain {

/// Noise of one reading: its standard deviation, the share of the variance that near readings have in common
/// (0 ≤ share < 1), and the way over which that common part fades to 1/e.
struct NoiseModel {
  double sigma_m = 0.0;
  double correlated_share = 0.0;
  double correlation_length_m = 100.0;
};

/// Defaults by kind of source; all assumed. Noise of rasters is declared as correlated [the ground-movement model, section
/// 8]: white noise gives deviations three times too small on real rasters.
inline constexpr NoiseModel kRasterNoise{2.0, 0.9, 100.0};
/// Points surveyed with satellite receivers or levels; their errors have little in common.
inline constexpr NoiseModel kSurveyNoise{0.05, 0.0, 100.0};
/// Third coordinates of drawn lines: mostly from a survey or a design, rounded to centimetres.
inline constexpr NoiseModel kLineNoise{0.05, 0.0, 100.0};
/// `ele` tags: mostly whole metres of many origins.
inline constexpr NoiseModel kTagNoise{1.0, 0.0, 100.0};

enum class SourceKind { raster, survey, map_line, map_tag };
/// "raster", "survey", "map lines", "map tags".
[[nodiscard]] const char* to_string(SourceKind kind);

/// What heights are measured from. Unstated ones are taken as those of the other sources, and compared with them.
struct VerticalDatum {
  enum class Kind { unstated, geoid, ellipsoid };
  Kind kind = Kind::unstated;
  std::string name;           ///< as the source states it, "" where it does not
  bool offset_given = false;  ///< the user gave the step to the datum of the other sources; it is in the heights already
};

/// What may be a height of the ground [m]: the lowest dry land is the Dead Sea's shore near -440 m, the highest 8849 m
/// [from memory]; anything else is a void, a blunder or another unit.
inline constexpr double kLowestGround = -500.0, kHighestGround = 9000.0;

/// One measurement: a pixel (at its centre) or a surveyed point.
struct Reading {
  LatLon at;
  double height_m = std::numeric_limits<double>::quiet_NaN();  ///< NaN in a void
  double sigma_m = 0.0;                                        ///< 0: the source's own
};

struct Readings {
  std::vector<Reading> list;  ///< each pixel or point once, in an order that depends on the source and the places only
  std::vector<char> inside;   ///< by place: it lies on the source (a raster's rectangle, voids included); points: always
};

/// A raster, or a list of points. Safe to use from several threads.
class HeightSource {
 public:
  virtual ~HeightSource() = default;
  /// All readings within `reach` of any of the places, and perhaps some a little beyond.
  [[nodiscard]] virtual Readings readings(std::span<const LatLon> places, Metres reach) const = 0;
  [[nodiscard]] virtual SourceKind kind() const = 0;
  [[nodiscard]] virtual std::string name() const = 0;
  [[nodiscard]] virtual NoiseModel noise() const = 0;
  /// Spacing of pixels on the ground near a position; 0 for points.
  [[nodiscard]] virtual Metres spacing_at(LatLon at) const = 0;
  /// Step the values read so far are rounded to (1 m for whole metres); 0 where there is none.
  [[nodiscard]] virtual Metres step() const { return Metres{0.0}; }
  /// Its extent in words, for messages; may be empty.
  [[nodiscard]] virtual std::string extent() const { return {}; }
  [[nodiscard]] virtual VerticalDatum datum() const { return {}; }
};

}  // namespace solotaxi::terrain
