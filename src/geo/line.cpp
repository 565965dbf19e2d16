#include "solotaxi/geo/line.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace solotaxi {
namespace {

/// Where on the piece a–b the foot of `point` lies, 0…1.
double share_on_piece(LocalXY point, LocalXY a, LocalXY b) {
  const LocalXY d = b - a;
  const LocalXY p = point - a;
  const double square = d.x_m * d.x_m + d.y_m * d.y_m;
  if (square <= 0.0) return 0.0;
  return std::min(1.0, std::max(0.0, (p.x_m * d.x_m + p.y_m * d.y_m) / square));
}

std::size_t distance_between(std::size_t a, std::size_t b) { return a < b ? b - a : a - b; }

}  // namespace

std::vector<double> chainage(std::span<const LocalXY> line) {
  std::vector<double> at(line.size(), 0.0);
  for (std::size_t i = 1; i < line.size(); ++i) at[i] = at[i - 1] + distance_m(line[i - 1], line[i]);
  return at;
}

double distance_to_piece_m(LocalXY point, LocalXY a, LocalXY b) {
  return distance_m(point, a + (b - a) * share_on_piece(point, a, b));
}

NearestPoint nearest_point(std::span<const LocalXY> line, LocalXY point) {
  if (line.empty()) throw std::invalid_argument("nearest_point: a line without vertices");
  NearestPoint best{line[0], distance_m(point, line[0]), 0.0, 0, 0.0};
  double before = 0.0;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const double length = distance_m(line[i], line[i + 1]);
    const double share = share_on_piece(point, line[i], line[i + 1]);
    const LocalXY at = line[i] + (line[i + 1] - line[i]) * share;
    const double d = distance_m(point, at);
    if (d < best.distance_m) best = {at, d, before + share * length, i, share};
    before += length;
  }
  return best;
}

LocalXY point_along(std::span<const LocalXY> line, double at_m) {
  if (line.empty()) throw std::invalid_argument("point_along: a line without vertices");
  if (at_m <= 0.0) return line.front();
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const double length = distance_m(line[i], line[i + 1]);
    if (at_m <= length && length > 0.0) return line[i] + (line[i + 1] - line[i]) * (at_m / length);
    at_m -= length;
  }
  return line.back();
}

std::vector<std::size_t> simplify(std::span<const LocalXY> line, double tolerance_m) {
  std::vector<std::size_t> kept;
  if (line.empty()) return kept;
  kept.push_back(0);
  if (line.size() == 1) return kept;
  std::vector<std::pair<std::size_t, std::size_t>> open{{0, line.size() - 1}};
  while (!open.empty()) {
    const auto [first, last] = open.back();
    open.pop_back();
    const std::size_t middle = first + (last - first) / 2;
    double farthest = tolerance_m;
    std::size_t at = first;
    for (std::size_t i = first + 1; i < last; ++i) {
      const double d = distance_to_piece_m(line[i], line[first], line[last]);
      if (d > farthest || (at != first && d == farthest && distance_between(i, middle) < distance_between(at, middle))) {
        farthest = d;
        at = i;
      }
    }
    if (at == first) {
      kept.push_back(last);  // pieces are taken front to back, so this comes in order
    } else {
      open.emplace_back(at, last);
      open.emplace_back(first, at);
    }
  }
  return kept;
}

}  // namespace solotaxi
