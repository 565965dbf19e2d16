// Heights and grades along a network, estimated together from whatever the sources give.
//
// The network states a HeightProblem (points joined by edges, some with a height from the map, some on a bridge deck or in
// a tunnel) and takes back heights with their standard deviations. How they are estimated is this module's own affair.
//
// Method [the ground-movement model, section 8]: unknowns of a point are its height and the ground's gradient there; along
// an edge the gradient wanders like a random walk and the height is its integral, so a plane is exact, points may lie at
// any spacing, and noise does not become grade. Each pixel and each surveyed point near the network is one observation, at
// the nearest point of the network and with its offset through the gradient. The noise neighbours share is a further
// unknown of each pixel, conditioned on a few near ones [Vecchia 1988, J. R. Stat. Soc. B 50(2)]. How strongly the gradient
// wanders is found by maximum likelihood within bounds; deviations hold ramps possible that it would flatten. Readings far
// off count less; connected groups of them are left out.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "solotaxi/base/finding.hpp"
#include "solotaxi/geo/geodesic.hpp"
#include "solotaxi/terrain/source.hpp"

namespace solotaxi::terrain {

struct HeightPoint {
  LatLon at;
  LocalXY xy;                          ///< in HeightProblem::frame
  std::optional<double> map_height_m;  ///< third coordinate or `ele` tag of the map here
  bool map_height_is_tag = false;      ///< it is an `ele` tag
  bool on_structure = false;           ///< inner point of a bridge deck or a tunnel: terrain is not used
};

struct HeightEdge {
  std::uint32_t a = 0, b = 0;  ///< indices of points
  double length_m = 0.0;       ///< > 0
  bool on_structure = false;   ///< a bridge deck or tunnel: its grade follows its ends
};

struct HeightProblem {
  LocalFrame frame = LocalFrame();
  std::vector<HeightPoint> points;
  std::vector<HeightEdge> edges;
  std::string field_name;
  std::optional<double> field_elevation_m;  ///< of the aerodrome as the map states it; only compared with, never used
};

/// How one source fits the estimate.
struct SourceFit {
  std::string name;
  SourceKind kind = SourceKind::raster;
  VerticalDatum datum;
  std::size_t readings = 0;  ///< near the network and used
  std::size_t left_out = 0;  ///< rejected as groups of outliers, or all of them as too few to be understood
  double declared_sigma_m = 0.0;
  double residual_rms_m = 0.0;  ///< of the readings used, from the estimated ground
  double moved_by_m = 0.0;      ///< step taken off it to bring it to the other sources
};

struct HeightEstimate {
  /// By point; NaN where nothing is known: no observation in its connected part, a standard deviation over
  /// kUnknownHeightSd, or no observation within 50 m of way and every grade there as uncertain as kUnknownGradeSd.
  std::vector<double> height_m;
  std::vector<double> height_sd_m;     ///< by point; infinite where nothing is known
  std::vector<double> edge_grade_sd;   ///< by edge, rise over run; at most kUnknownGradeSd, which is "nothing known"
  double gradient_wander_per_m = 0.0;  ///< as found, 0 where there is no observation
  std::vector<SourceFit> sources;
  Findings findings;
};

struct HeightOptions {
  NoiseModel line_noise = kLineNoise;  ///< of third coordinates of the map's lines
  NoiseModel tag_noise = kTagNoise;    ///< of `ele` tags
  double map_offset_m = 0.0;           ///< added to all heights of the map, to bring them to the datum of the sources
  /// How strongly the ground's gradient wanders with way: variance of gradient gained per metre [1/m], each from 1e-9 to
  /// 0.1, least ≤ most. One value for the field is sought within these bounds with a log-normal prior about the median
  /// (`wander_log_sd` from 0.01 to 10); equal bounds fix it. The defaults are a prior of airfields [the ground-movement
  /// model, section 8: surveyed runways 3e-7, long taxiways 1.3e-6, short pieces 4e-6, median of fields 1e-6]. A field
  /// calmer than the median is taken for a median one: what is calm as a whole may have a ramp, and would flatten it.
  /// Ground that is no airfield's wants bounds of its own: hill roads about 1e-5 to 1e-3.
  double wander_least_per_m = 1e-6, wander_most_per_m = 4e-6;
  double wander_median_per_m = 1e-6;
  double wander_log_sd = 0.3;  ///< assumed
  /// Share of places, 0 to 0.5, whose ground may wander by `wander_most_per_m` before any reading is looked at: what the
  /// deviations allow for ramps the sources do not show. Assumed; the deviations of a field without any such place come out
  /// 5 to 10 % too large.
  double ramp_share = 0.08;
};

/// Standard deviation given to a grade nothing is known about: half the steepest grade allowed on code A–B taxiways
/// (3 %, ICAO Annex 14), rise over run; assumed.
inline constexpr double kUnknownGradeSd = 0.015;

/// A height less certain than this [m] is reported as unknown; assumed. With sources declared noisier than half of it,
/// twice the smallest declared sigma instead.
inline constexpr double kUnknownHeightSd = 5.0;

/// Heights of all points.
///
/// Taken as observations: pixels within one pixel of the network (half of one where pixels are under 15 m or the ground is
/// steeper than 4 %), surveyed points within 30 m, the map's own heights. Pixels within one pixel of a bridge deck or
/// tunnel are not used; a deck's grade follows its ends. Points of a part without edges to another are estimated on their
/// own. Throws Error (data) for a source that reaches no part of the network ("raster beside the field"), for sources that
/// state ellipsoidal heights beside others above the geoid, for sources more than 10 m apart at five places or more (feet
/// are named; fewer heights that far off are left out), for an edge that is not longer than 0 or names no point, and Error
/// (usage) for options or declared noise out of range. Findings: height-voids, height-impossible, height-dropouts,
/// height-steps (rounded to 0.25 m or coarser), height-outliers, height-outlier-group, height-hill, bridge-missing,
/// grade-implausible, height-near-structure, raster-ends-inside, survey-off-network, height-sources-differ,
/// height-sources-alike, height-duplicates, height-datum, height-looks-like-feet, field-elevation-differs,
/// height-noise-understated, height-noise-overstated, height-noise-like-terrain, short-ramps-unseen. What stays unknown is
/// for the caller to report. Accuracy: see the README. The price of calm grades is that short hills are flattened the more,
/// the noisier the source is declared: declare the noise the raster has. The deviations allow for that only in part, see
/// HeightOptions::ramp_share; short-ramps-unseen names the length. Cost: about a dozen sparse factorisations and three
/// selected inverses, about linear in the number of points for a planar network.
[[nodiscard]] HeightEstimate estimate_heights(const HeightProblem& problem, std::span<const HeightSource* const> sources,
                                              const HeightOptions& options = {});

}  // namespace solotaxi::terrain
