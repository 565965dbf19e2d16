// How one bend or one curve is judged, wherever it lies.
#pragma once

#include <span>

#include "network/shape_lines.hpp"
#include "solotaxi/network/shape.hpp"

namespace solotaxi::network::detail {

/// What a way turns over a wheelbase at a bend [rad, ≥ 0].
struct Turned {
  double most_rad = 0.0;  ///< over the sharpest stretch of at most a wheelbase with the bend in it
  double net_rad = 0.0;   ///< over half a wheelbase either way: less, where the bends undo each other
};

/// What bends are judged by, worked out once.
class Judge {
 public:
  /// Throws Error (usage) for an option out of its range.
  explicit Judge(const ShapeOptions& options);

  [[nodiscard]] double wheelbase_m() const { return options_.wheelbase_m; }
  [[nodiscard]] double noise_m() const { return options_.simplify_m; }
  [[nodiscard]] double least_radius_m() const { return least_radius_m_; }
  /// What the way turns over a wheelbase at a bend of this angle; behind and ahead: the bends met going away from it either
  /// way, nearest first, `at_m` being their distance from it.
  [[nodiscard]] Turned turned(double angle_rad, std::span<const VertexBend> behind,
                              std::span<const VertexBend> ahead) const;
  /// A single bend between two straights. Fills angles, radii, marks and zones.
  [[nodiscard]] Bend single(double angle_rad, Straight before, Straight after, Turned turned) const;
  /// A curve between two straights. Fills angle, radii and marks, and as zones what the curve as driven is longer than as
  /// drawn, half on each side, cut to the straights.
  [[nodiscard]] Bend curve(const CurveRun& run, Straight before, Straight after) const;
  /// Whether a curve turns too much, too tightly, to be taken for a drawing fault.
  [[nodiscard]] bool refuses_curve(double angle_rad, double way_m) const;

 private:
  /// `undone`: what it turns over the steering limit is turned back within a wheelbase.
  void hold_to_steering(Bend& bend, bool undone) const;

  /// Radius of an undrawn corner: R_cap.
  [[nodiscard]] double cap_m(double angle_rad) const;
  /// By which a bend's zone and speed go: a tight drawing is driven as the tightest steering allows, however it is judged.
  [[nodiscard]] double driven_radius_m(const Bend& bend) const;

  ShapeOptions options_;
  double least_radius_m_;
  double fillet_excess_m_;  ///< e₀: how far the corner of 30° lies outside its fillet
};

/// The same bend met the other way.
[[nodiscard]] Bend reversed(const Bend& bend);

}  // namespace solotaxi::network::detail
