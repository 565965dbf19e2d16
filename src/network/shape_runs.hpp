// Which bends of a way make one curve, where it begins and ends, and over how much way it turns.
#pragma once

#include <functional>
#include <numbers>
#include <vector>

namespace solotaxi::network::detail {

inline constexpr double kDegree = std::numbers::pi / 180.0;
inline constexpr double kNoBend = 0.1 * kDegree;       ///< less is no bend
inline constexpr double kCurveBend = 60.0 * kDegree;   ///< bends of a curve, and nodes it passes, deflect less
inline constexpr double kSlightBend = 25.0 * kDegree;  ///< the same where the whole could not be steered as one curve
inline constexpr double kCurveLeg = 60.0;              ///< legs of a curve are shorter [m]

/// Longest leg of a curve beside a bend of this angle [m].
[[nodiscard]] double curve_leg_m(double angle_rad);

/// What a straight beside a bend of this angle may turn.
[[nodiscard]] double straight_rad(double bend_rad);

struct VertexBend {
  double at_m = 0.0;       ///< along the line
  double angle_rad = 0.0;  ///< right positive, |angle| ≥ kNoBend
};
using Bends = std::vector<VertexBend>;  ///< ascending in at_m

/// Drawing noise makes no curve turn back: takes out each bend against both its neighbours that a vertex off by twice the
/// noise would make, and shares its angle between the two.
void leave_out_dents(Bends& bends, double noise_m);

/// A run of bends of one hand that is a curve.
struct CurveRun {
  double angle_rad = 0.0;
  double way_m = 0.0;                            ///< over which it turns, so that R = way / |angle|
  double first_m = 0.0, last_m = 0.0;            ///< where it begins and ends; never beyond its outermost bends
  double first_bend_m = 0.0, last_bend_m = 0.0;  ///< its outermost bends; faint ones may lie before it begins
  double corner = 0.0;                           ///< 1 where it is as one corner, to 0 where it is drawn as a curve
  bool in_parts = false;                         ///< refused as a whole, but none of its parts is
};

/// The curves among bends that reach into from … to, in order. `refused` says of an angle and a way that they turn too
/// much, too tightly, to be taken for a tight drawing: such a run is looked at again in its slighter bends, and is a curve
/// all the same where none of those runs is refused. Cost: linear in the bends.
[[nodiscard]] std::vector<CurveRun> curve_runs(const Bends& bends, double from_m, double to_m,
                                               const std::function<bool(double, double)>& refused);

}  // namespace solotaxi::network::detail
