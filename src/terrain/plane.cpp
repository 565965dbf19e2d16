#include "terrain/plane.hpp"

#include <Eigen/Dense>

namespace solotaxi::terrain {

Plane fit_plane(std::span<const LocalXY> at, std::span<const double> height_m) {
  Plane plane;
  for (std::size_t k = 0; k < at.size(); ++k) {
    plane.centre = plane.centre + at[k];
    plane.at += height_m[k];
  }
  const double n = static_cast<double>(at.size());
  plane.centre = plane.centre * (1.0 / n);
  plane.at /= n;
  Eigen::Matrix2d normal = Eigen::Matrix2d::Zero();
  Eigen::Vector2d right = Eigen::Vector2d::Zero();
  for (std::size_t k = 0; k < at.size(); ++k) {
    const LocalXY d = at[k] - plane.centre;
    const Eigen::Vector2d v(d.x_m, d.y_m);
    normal += v * v.transpose();
    right += v * (height_m[k] - plane.at);
  }
  // Across a line of positions the slope would be that of the heights' noise over the drawing's: it is left level.
  constexpr double kLeastSpread_m = 30.0;  // root of the summed squares; a drawn line strays by 0.3 m at a point; assumed
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> axes(normal);
  Eigen::Vector2d g = Eigen::Vector2d::Zero();
  for (int i = 0; i < 2; ++i) {
    if (axes.eigenvalues()[i] < kLeastSpread_m * kLeastSpread_m) continue;
    const Eigen::Vector2d axis = axes.eigenvectors().col(i);
    g += axis * (axis.dot(right) / axes.eigenvalues()[i]);
  }
  plane.gx = g.x();
  plane.gy = g.y();
  return plane;
}

}  // namespace solotaxi::terrain
