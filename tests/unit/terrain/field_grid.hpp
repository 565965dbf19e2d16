// Invented height problems and height sources on a flat grid, for tests of the height estimate.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <functional>
#include <limits>
#include <random>
#include <string>
#include <vector>

#include "solotaxi/terrain/heights.hpp"

namespace solotaxi::test {

using Surface = std::function<double(LocalXY)>;  ///< height [m] in the local plane

inline LatLon grid_origin() { return LatLon::degrees(-12.0, -30.0); }  // open ocean

/// A raster of square pixels in the local plane about the origin.
class GridSource final : public terrain::HeightSource {
 public:
  GridSource(LocalXY south_west, int columns, int rows, double pixel_m, const Surface& surface, double sigma_m = 2.0)
      : noise_model{sigma_m, 0.9, 100.0}, corner_(south_west), columns_(columns), rows_(rows), pixel_(pixel_m) {
    for (int y = 0; y < rows; ++y)
      for (int x = 0; x < columns; ++x) z_.push_back(surface(centre(x, y)));
  }
  double& at(int x, int y) { return z_[static_cast<std::size_t>(y * columns_ + x)]; }
  [[nodiscard]] double at(int x, int y) const { return z_[static_cast<std::size_t>(y * columns_ + x)]; }
  [[nodiscard]] LocalXY centre(int x, int y) const { return corner_ + LocalXY{x * pixel_, y * pixel_}; }
  [[nodiscard]] int columns() const { return columns_; }
  [[nodiscard]] int rows() const { return rows_; }

  /// Bilinear between pixel centres, for comparison; NaN outside.
  [[nodiscard]] double bilinear(LocalXY position) const {
    const LocalXY p = position - corner_;
    const double px = p.x_m / pixel_, py = p.y_m / pixel_;
    if (!(px >= 0.0 && py >= 0.0 && px <= columns_ - 1 && py <= rows_ - 1)) return std::numeric_limits<double>::quiet_NaN();
    const int x = std::min(static_cast<int>(px), columns_ - 2), y = std::min(static_cast<int>(py), rows_ - 2);
    const double wx = px - x, wy = py - y;
    return (1.0 - wy) * ((1.0 - wx) * at(x, y) + wx * at(x + 1, y)) +
           wy * ((1.0 - wx) * at(x, y + 1) + wx * at(x + 1, y + 1));
  }

  [[nodiscard]] terrain::Readings readings(std::span<const LatLon> places, Metres reach) const override {
    terrain::Readings out;
    std::vector<char> wanted(z_.size(), 0);
    for (const LatLon at_place : places) {
      const LocalXY p = frame.to_local(at_place) - corner_;
      const double px = p.x_m / pixel_, py = p.y_m / pixel_, span = reach.value() / pixel_ + 1.0;
      out.inside.push_back(px >= -0.5 && py >= -0.5 && px <= columns_ - 0.5 && py <= rows_ - 0.5);
      for (int y = std::max(0, static_cast<int>(py - span)); y <= std::min(rows_ - 1, static_cast<int>(py + span)); ++y)
        for (int x = std::max(0, static_cast<int>(px - span)); x <= std::min(columns_ - 1, static_cast<int>(px + span));
             ++x)
          wanted[static_cast<std::size_t>(y * columns_ + x)] = 1;
    }
    for (int y = 0; y < rows_; ++y)
      for (int x = 0; x < columns_; ++x)
        if (wanted[static_cast<std::size_t>(y * columns_ + x)] != 0)
          out.list.push_back({frame.to_geodetic(centre(x, y)), at(x, y), 0.0});
    return out;
  }
  [[nodiscard]] terrain::SourceKind kind() const override { return terrain::SourceKind::raster; }
  [[nodiscard]] Metres spacing_at(LatLon) const override { return Metres{pixel_}; }
  [[nodiscard]] terrain::NoiseModel noise() const override { return noise_model; }
  [[nodiscard]] std::string name() const override { return "grid"; }
  [[nodiscard]] Metres step() const override { return Metres{step_m}; }
  [[nodiscard]] std::string extent() const override { return "the test grid"; }
  [[nodiscard]] terrain::VerticalDatum datum() const override { return stated_datum; }

  LocalFrame frame{grid_origin()};
  terrain::NoiseModel noise_model;
  terrain::VerticalDatum stated_datum;
  double step_m = 0.0;

 private:
  LocalXY corner_;
  int columns_, rows_;
  double pixel_;
  std::vector<double> z_;
};

/// Surveyed points.
class PointSource final : public terrain::HeightSource {
 public:
  explicit PointSource(std::vector<terrain::Reading> points, terrain::NoiseModel noise = terrain::kSurveyNoise)
      : points_(std::move(points)), noise_(noise) {}
  [[nodiscard]] terrain::Readings readings(std::span<const LatLon> places, Metres) const override {
    return {points_, std::vector<char>(places.size(), 1)};
  }
  [[nodiscard]] terrain::SourceKind kind() const override { return terrain::SourceKind::survey; }
  [[nodiscard]] Metres spacing_at(LatLon) const override { return Metres{0.0}; }
  [[nodiscard]] terrain::NoiseModel noise() const override { return noise_; }
  [[nodiscard]] std::string name() const override { return "survey"; }

 private:
  std::vector<terrain::Reading> points_;
  terrain::NoiseModel noise_;
};

/// Adds a straight line of points `step_m` apart from a to b; reuses points that are already there. Returns its points in
/// order.
inline std::vector<std::uint32_t> add_line(terrain::HeightProblem& problem, LocalXY a, LocalXY b, double step_m = 10.0) {
  const LocalFrame frame(grid_origin());
  const double length = distance_m(a, b);
  const int n = std::max(1, static_cast<int>(std::lround(length / step_m)));
  std::vector<std::uint32_t> line;
  for (int k = 0; k <= n; ++k) {
    const LocalXY p = a + (b - a) * (static_cast<double>(k) / n);
    std::uint32_t i = 0;
    while (i < problem.points.size() && distance_m(problem.points[i].xy, p) > 0.01) ++i;
    if (i == problem.points.size()) {
      terrain::HeightPoint point;
      point.at = frame.to_geodetic(p);
      point.xy = p;
      problem.points.push_back(point);
    }
    line.push_back(i);
    if (k > 0) problem.edges.push_back({line[line.size() - 2], i, length / n, false});
  }
  return line;
}

/// Taxiways on a grid: `across` lines west to east of 1,600 m 200 m apart, and five south to north, 400 m apart.
struct TaxiwayGrid {
  terrain::HeightProblem problem;
  std::vector<std::vector<std::uint32_t>> lines;
};
inline TaxiwayGrid taxiway_grid(int across = 5, double step_m = 10.0) {
  TaxiwayGrid grid;
  grid.problem.frame = LocalFrame(grid_origin());
  grid.problem.field_name = "grid field";
  for (int k = 0; k < across; ++k)
    grid.lines.push_back(add_line(grid.problem, {0.0, 200.0 * k}, {1600.0, 200.0 * k}, step_m));
  for (int k = 0; k < 5 && across > 1; ++k)
    grid.lines.push_back(add_line(grid.problem, {400.0 * k, 0.0}, {400.0 * k, 200.0 * (across - 1)}, step_m));
  return grid;
}

/// A source of 30 m pixels (or other) that covers the grid with some margin.
inline GridSource source_over_grid(const Surface& surface, double pixel_m = 30.0, double sigma_m = 2.0) {
  const int columns = static_cast<int>(2000.0 / pixel_m) + 2, rows = static_cast<int>(1400.0 / pixel_m) + 2;
  return {{-201.0, -203.0}, columns, rows, pixel_m, surface, sigma_m};
}

/// Root mean square of grade − truth over windows of `window` points along the lines.
inline double grade_rms(const TaxiwayGrid& grid, const std::vector<double>& height_m, const Surface& truth,
                        std::size_t window = 5) {
  double sum = 0.0;
  std::size_t n = 0;
  for (const auto& line : grid.lines)
    for (std::size_t k = 0; k + window < line.size(); ++k) {
      const std::uint32_t i = line[k], j = line[k + window];
      const LocalXY a = grid.problem.points[i].xy, b = grid.problem.points[j].xy;
      const double error = (height_m[j] - truth(b) - height_m[i] + truth(a)) / distance_m(a, b);
      sum += error * error;
      ++n;
    }
  return std::sqrt(sum / static_cast<double>(n));
}

inline bool has_finding(const Findings& findings, const std::string& code) {
  for (const Finding& f : findings)
    if (f.code == code) return true;
  return false;
}

}  // namespace solotaxi::test
