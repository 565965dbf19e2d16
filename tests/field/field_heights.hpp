// The height problem of a real or invented field's network, rasters over it, and errors of grades along its lines.
#pragma once

#include <cmath>
#include <filesystem>
#include <vector>

#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/geo/line.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/network/build.hpp"
#include "unit/terrain/field_grid.hpp"
#include "unit/terrain/noise_field.hpp"

namespace solotaxi::test {

/// A network's points as its height profiles have them.
struct FieldHeights {
  terrain::HeightProblem problem;
  /// By segment: points and their chainages.
  std::vector<std::vector<std::pair<std::uint32_t, double>>> lines;
  LocalXY south_west, north_east;
  double length_m = 0.0;
};
inline FieldHeights field_heights(const network::Network& network) {
  FieldHeights field;
  terrain::HeightProblem& problem = field.problem;
  problem.frame = network.frame;
  problem.field_name = network.name;
  const auto add = [&](LatLon at, LocalXY xy, bool structure) {
    terrain::HeightPoint point;
    point.at = at, point.xy = xy, point.on_structure = structure;
    problem.points.push_back(point);
    return static_cast<std::uint32_t>(problem.points.size() - 1);
  };
  for (const network::Node& n : network.nodes) add(n.at, n.xy, false);
  for (const network::Segment& s : network.segments) {
    const bool structure = s.bridge || s.tunnel;
    auto& line = field.lines.emplace_back();
    line.emplace_back(index(s.from), 0.0);
    const std::vector<double> planar = chainage(s.line);
    for (std::size_t k = 1; k < s.profile.size(); ++k) {
      std::uint32_t here = index(s.to);
      if (k + 1 < s.profile.size()) {
        const LocalXY xy = point_along(s.line, s.profile[k].at_m * planar.back() / s.length_m);
        here = add(network.frame.to_geodetic(xy), xy, structure);
      }
      problem.edges.push_back({line.back().first, here, s.profile[k].at_m - s.profile[k - 1].at_m, structure});
      line.emplace_back(here, s.profile[k].at_m);
    }
    field.length_m += s.length_m;
  }
  field.south_west = field.north_east = problem.points.front().xy;
  for (const auto& p : problem.points) {
    field.south_west = {std::min(field.south_west.x_m, p.xy.x_m), std::min(field.south_west.y_m, p.xy.y_m)};
    field.north_east = {std::max(field.north_east.x_m, p.xy.x_m), std::max(field.north_east.y_m, p.xy.y_m)};
  }
  return field;
}

inline network::Network network_of(const std::filesystem::path& map, double knot_spacing_m) {
  network::BuildOptions options;
  options.knot_spacing_m = knot_spacing_m;
  return network::build_network(airfield::interpret(io::read_map(map, {}), {}), options);
}

/// A raster of 30 m pixels over a field, all of one height.
inline GridSource raster_over(const FieldHeights& field, double level_m, double sigma_m) {
  constexpr double kPixel = 30.0, kMargin = 100.0;
  const LocalXY size = field.north_east - field.south_west;
  GridSource source(
      field.south_west - LocalXY{kMargin, kMargin}, static_cast<int>((size.x_m + 2.0 * kMargin) / kPixel) + 1,
      static_cast<int>((size.y_m + 2.0 * kMargin) / kPixel) + 1, kPixel, [&](LocalXY) { return level_m; }, sigma_m);
  source.frame = field.problem.frame;
  return source;
}

/// Sum of squares of grade errors over windows of 50 m along the lines.
struct GradeErrors {
  double squares = 0.0;
  std::size_t windows = 0, unknown = 0;  ///< with and without a known height
  [[nodiscard]] double rms() const { return std::sqrt(squares / static_cast<double>(windows)); }
};
/// `error_m` gives estimate − truth of a point.
template <class Error>
void add_window_errors(const FieldHeights& field, Error error_m, GradeErrors& out) {
  constexpr double kWindow = 50.0;
  for (const auto& line : field.lines) {
    const auto error_at = [&](double at) {
      std::size_t k = 1;
      while (k + 1 < line.size() && line[k].second < at) ++k;
      const auto [a, from] = line[k - 1];
      const auto [b, to] = line[k];
      const double share = (at - from) / (to - from);
      return (1.0 - share) * error_m(a) + share * error_m(b);
    };
    for (double at = 0.0; at + kWindow <= line.back().second; at += 10.0) {
      const double e = (error_at(at + kWindow) - error_at(at)) / kWindow;
      if (std::isnan(e)) {
        ++out.unknown;
        continue;
      }
      out.squares += e * e;
      ++out.windows;
    }
  }
}

}  // namespace solotaxi::test
