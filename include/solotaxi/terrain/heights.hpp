// Heights and grades along a network from whatever the sources give.
//
// This is the seam of the elevation method: the network states a HeightProblem (points joined by edges, some with a height
// from the map, some on a bridge deck or in a tunnel) and takes back heights with their standard deviations. How they are
// estimated is this module's own affair.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "solotaxi/base/finding.hpp"
#include "solotaxi/geo/geodesic.hpp"

namespace solotaxi::terrain {

/// A source of ground heights by position, such as a raster.
class HeightSource {
 public:
  virtual ~HeightSource() = default;
  /// Height [m] interpolated at a position; nothing outside the source, in a void, or beside one.
  [[nodiscard]] virtual std::optional<double> height_at(LatLon at) const = 0;
  /// Spacing of its pixels on the ground [m].
  [[nodiscard]] virtual Metres spacing() const = 0;
  /// Declared standard deviation of one pixel [m].
  [[nodiscard]] virtual Metres sigma() const = 0;
  [[nodiscard]] virtual std::string name() const = 0;
};

struct HeightPoint {
  LatLon at;
  LocalXY xy;
  std::optional<double> map_height_m;  ///< third coordinate or `ele` tag of the map here
  bool on_structure = false;           ///< inner point of a bridge deck or a tunnel: terrain is not used
};

struct HeightEdge {
  std::uint32_t a = 0, b = 0;  ///< indices of points
  double length_m = 0.0;       ///< > 0
  bool on_structure = false;   ///< a bridge deck or tunnel: its grade follows its ends
};

struct HeightProblem {
  std::vector<HeightPoint> points;
  std::vector<HeightEdge> edges;
  std::string field_name;
};

struct HeightEstimate {
  std::vector<double> height_m;      ///< by point; NaN where nothing is known
  std::vector<double> height_sd_m;   ///< by point
  std::vector<double> edge_grade_sd; ///< by edge, rise over run; where nothing is known kUnknownGradeSd
  Findings findings;
};

struct HeightOptions {
  /// Standard deviation of a height given by the map itself [m]; assumed.
  double map_height_sigma_m = 0.5;
  /// How strongly the ground's gradient wanders with way [1/m]: variance of gradient gained per metre.
  /// Median of surveyed airfields [model section 8].
  double gradient_wander_per_m = 1e-6;
};

/// Standard deviation given to a grade nothing is known about: half the steepest grade allowed on code A–B taxiways
/// (3 %, ICAO Annex 14), rise over run; assumed.
inline constexpr double kUnknownGradeSd = 0.015;

/// Smoothed heights of all points. Throws Error (data) when a source covers none of the points ("raster beside the field").
/// Cost: one sparse factorisation, about linear in the number of points for a planar network.
[[nodiscard]] HeightEstimate estimate_heights(const HeightProblem& problem, std::span<const HeightSource* const> sources,
                                              const HeightOptions& options = {});

}  // namespace solotaxi::terrain
