// How one bend or one curve is judged, wherever it lies.
#pragma once

#include "network/shape_lines.hpp"
#include "solotaxi/network/shape.hpp"

namespace solotaxi::network::detail {

/// What bends are judged by, worked out once.
class Judge {
 public:
  /// Throws Error (usage) for an option out of its range.
  explicit Judge(const ShapeOptions& options);

  [[nodiscard]] double half_wheelbase_m() const { return 0.5 * options_.wheelbase_m; }
  [[nodiscard]] double least_radius_m() const { return least_radius_m_; }
  /// A single bend between two straights; `turned_rad` is what the way turns within half a wheelbase on either side of it.
  /// Fills angles, radii, marks and zones.
  [[nodiscard]] Bend single(double angle_rad, Straight before, Straight after, double turned_rad) const;
  /// A curve; `length_m` from its first bend to its last. Fills angle, radii and marks, and as zones what the curve as
  /// driven is longer than as drawn, half on each side.
  [[nodiscard]] Bend curve(double angle_rad, double length_m) const;

 private:
  void hold_to_steering(Bend& bend) const;

  ShapeOptions options_;
  double least_radius_m_;
  double fillet_excess_m_;  ///< e₀: how far the corner of 30° lies outside its fillet
};

/// The same bend met the other way.
[[nodiscard]] Bend reversed(const Bend& bend);

}  // namespace solotaxi::network::detail
