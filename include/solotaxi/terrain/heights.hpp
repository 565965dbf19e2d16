// Heights and grades along a network from whatever the sources give.
//
// This is the seam of the elevation method: the network states a HeightProblem (points joined by edges, some with a height
// from the map, some on a bridge deck or in a tunnel) and takes back heights with their standard deviations. How they are
// estimated is this module's own affair.
//
// Method: unknowns of a point are its height and the ground's gradient there; along an edge the gradient wanders like a
// random walk (the height is its integral), so a plane is exact, points may lie at any spacing, and raster noise does not
// become grade. Everything is solved at once; each pixel counts as one observation. For the standard deviations, taken from
// the selected inverse, the part of a source's noise that neighbours share is a further unknown of each point.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "solotaxi/base/finding.hpp"
#include "solotaxi/geo/geodesic.hpp"

namespace solotaxi::terrain {

/// What a source says at one position.
struct HeightSample {
  enum class State { height, in_void, outside };
  State state = State::outside;
  double height_m = std::numeric_limits<double>::quiet_NaN();  ///< meaningful for State::height only
  /// A pixel it is interpolated from lies within 0.01 m of 0: true at the sea, a dropout anywhere else.
  bool beside_zero = false;
};

/// A source of ground heights by position, such as a raster. Only the first four members must be given.
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

  /// As height_at, with the reason where there is none. The default takes nothing as outside, and a height of 0 as
  /// `beside_zero`.
  [[nodiscard]] virtual HeightSample sample_at(LatLon at) const;
  /// Spacing near a position, for sources whose scale varies (Mercator).
  [[nodiscard]] virtual Metres spacing_at(LatLon) const { return spacing(); }
  /// Share of the variance that neighbouring pixels have in common, 0 ≤ share < 1, and the way over which it fades to 1/e.
  /// Assumed: noise of real rasters is never white, and taking it so gives deviations three times too small.
  [[nodiscard]] virtual double correlated_share() const { return 0.9; }
  [[nodiscard]] virtual Metres correlation_length() const { return Metres{100.0}; }
  /// Step the values read so far are rounded to (1 m for whole metres); 0 where there is none.
  [[nodiscard]] virtual Metres step() const { return Metres{0.0}; }
  /// Its extent in words, for messages; may be empty.
  [[nodiscard]] virtual std::string extent() const { return {}; }
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
  /// By point; NaN where nothing is known: no observation in its connected part, a standard deviation over
  /// kUnknownHeightSd, or no observation at the point itself and every grade there as uncertain as kUnknownGradeSd.
  std::vector<double> height_m;
  std::vector<double> height_sd_m;    ///< by point; infinite where nothing is known
  std::vector<double> edge_grade_sd;  ///< by edge, rise over run; at most kUnknownGradeSd, which is "nothing known"
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

/// A height less certain than this [m] is reported as unknown; assumed. With sources declared noisier than half of it,
/// twice the smallest declared sigma instead.
inline constexpr double kUnknownHeightSd = 5.0;

/// Smoothed heights of all points.
///
/// Taken as observations: each source at each point that is not on a structure nor within one pixel of one, and the map's
/// heights. Points closer than a pixel share its information. Observations more than 3 standard deviations off lose weight.
/// A deck's grade follows its ends. Points of a part without edges to another are estimated on their own.
/// Throws Error (data) when a source covers none of the points ("raster beside the field"), for an edge that is not longer
/// than 0 or names no point, and for options or declared noise out of range.
/// Findings: height-voids, height-dropouts, height-steps (rounded to 0.25 m or coarser), height-outliers,
/// height-near-structure, raster-ends-inside, height-sources-differ, height-unknown.
/// Accuracy: 2 m of white noise in 30 m pixels on a level field leaves grades wrong by 0.2 % over 50 m (raw 3.5 %). The
/// price is that short hills are flattened: of a ramp of 2 % over 200 m, 1.8 % are left with a declared noise of 0.5 m, 1.5
/// % with 1 m, 1.1 % with 2 m. Declare the noise the raster has. Cost: two sparse factorisations, up to seven with
/// outliers, about linear in the number of points for a planar network.
[[nodiscard]] HeightEstimate estimate_heights(const HeightProblem& problem, std::span<const HeightSource* const> sources,
                                              const HeightOptions& options = {});

}  // namespace solotaxi::terrain
