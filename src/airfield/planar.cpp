#define BOOST_ALLOW_DEPRECATED_HEADERS  // Boost.Geometry includes one of Boost's own

#include "planar.hpp"

#include <algorithm>
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/register/linestring.hpp>
#include <boost/geometry/geometries/register/point.hpp>
#include <boost/geometry/geometries/ring.hpp>
#include <cmath>

BOOST_GEOMETRY_REGISTER_POINT_2D(solotaxi::LocalXY, double, boost::geometry::cs::cartesian, x_m, y_m)
BOOST_GEOMETRY_REGISTER_LINESTRING(std::vector<solotaxi::LocalXY>)

namespace bg = boost::geometry;

namespace solotaxi::airfield {
namespace {

using BoostRing = bg::model::ring<LocalXY>;

BoostRing to_ring(const PlanarLine& line) {
  BoostRing ring(line.begin(), line.end());
  bg::correct(ring);  // closes and turns it as the library wants it
  return ring;
}

/// Where the cross-line at `s` along the axis cuts the ring: extreme offsets to its left.
std::optional<std::pair<double, double>> section(const PlanarLine& turned, double s) {
  double low = 0.0, high = 0.0;
  bool any = false;
  for (std::size_t i = 0; i < turned.size(); ++i) {
    const LocalXY a = turned[i], b = turned[(i + 1) % turned.size()];
    if ((a.x_m <= s) == (b.x_m <= s)) continue;
    const double y = a.y_m + (b.y_m - a.y_m) * (s - a.x_m) / (b.x_m - a.x_m);
    low = any ? std::min(low, y) : y;
    high = any ? std::max(high, y) : y;
    any = true;
  }
  if (!any) return std::nullopt;
  return std::pair{low, high};
}

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

/// Direction of the largest second moment of the ring's area about its centroid.
double principal_direction(const PlanarLine& ring, LocalXY centre) {
  double xx = 0.0, yy = 0.0, xy = 0.0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const LocalXY a = ring[i] - centre, b = ring[(i + 1) % ring.size()] - centre;
    const double cross = a.x_m * b.y_m - b.x_m * a.y_m;
    xx += cross * (a.x_m * a.x_m + a.x_m * b.x_m + b.x_m * b.x_m);
    yy += cross * (a.y_m * a.y_m + a.y_m * b.y_m + b.y_m * b.y_m);
    xy += cross * (2 * a.x_m * a.y_m + a.x_m * b.y_m + b.x_m * a.y_m + 2 * b.x_m * b.y_m) / 2;
  }
  const double sign = xx + yy < 0 ? -1.0 : 1.0;  // orientation of the ring
  return 0.5 * std::atan2(2 * sign * xy, sign * (xx - yy));
}

}  // namespace

PlanarLine to_plane(const LocalFrame& frame, const std::vector<Vertex>& line) {
  PlanarLine out;
  out.reserve(line.size());
  for (const Vertex& vertex : line) out.push_back(frame.to_local(vertex.at));
  return out;
}

// Even-odd crossings on the ring as it stands; the library would want a corrected copy of it for every point.
bool contains(const PlanarLine& ring, LocalXY point) {
  bool inside = false;
  for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
    const LocalXY a = ring[j], b = ring[i];
    if ((a.y_m > point.y_m) != (b.y_m > point.y_m) &&
        point.x_m < a.x_m + (b.x_m - a.x_m) * (point.y_m - a.y_m) / (b.y_m - a.y_m))
      inside = !inside;
  }
  return inside;
}

double distance_to_area_m(const PlanarLine& ring, LocalXY point) {
  if (contains(ring, point)) return 0.0;
  return distance_to_line_m(ring, point);
}

double distance_to_line_m(const PlanarLine& line, LocalXY point) {
  return line.size() == 1 ? distance_m(line[0], point) : bg::distance(point, line);
}

LocalXY centroid(const PlanarLine& ring) {
  LocalXY out;
  if (ring.size() > 3 && area_m2(ring) > 0)
    bg::centroid(to_ring(ring), out);
  else
    bg::centroid(ring, out);
  return out;
}

double area_m2(const PlanarLine& ring) { return std::abs(bg::area(to_ring(ring))); }

double share_inside(const PlanarLine& line, const PlanarLine& ring) {
  double inside = 0.0, total = 0.0;
  for (std::size_t i = 1; i < line.size(); ++i) {
    const double length = distance_m(line[i - 1], line[i]);
    const int parts = std::max(1, static_cast<int>(std::ceil(length / 10.0)));
    for (int k = 0; k < parts; ++k) {
      const LocalXY middle = line[i - 1] + (line[i] - line[i - 1]) * ((k + 0.5) / parts);
      if (contains(ring, middle)) inside += length / parts;
    }
    total += length;
  }
  return total > 0 ? inside / total : 0.0;
}

double along_m(const PlanarLine& line, LocalXY point) {
  double best = INFINITY, best_along = 0.0, along = 0.0;
  for (std::size_t i = 1; i < line.size(); ++i) {
    const LocalXY step = line[i] - line[i - 1], offset = point - line[i - 1];
    const double length = distance_m(line[i - 1], line[i]);
    if (length <= 0) continue;
    const double t = std::clamp((step.x_m * offset.x_m + step.y_m * offset.y_m) / (length * length), 0.0, 1.0);
    const double apart = distance_m(point, line[i - 1] + step * t);
    if (apart < best) {
      best = apart;
      best_along = along + t * length;
    }
    along += length;
  }
  return best_along;
}

std::optional<StripAxis> strip_axis(const PlanarLine& ring) {
  if (ring.size() < 4 || area_m2(ring) < 1.0) return std::nullopt;
  const LocalXY centre = centroid(ring);
  double direction = principal_direction(ring, centre);
  StripAxis axis;
  for (int round = 0; round < 3; ++round) {
    const double c = std::cos(direction), s = std::sin(direction);
    PlanarLine turned;
    turned.reserve(ring.size());
    for (const LocalXY p : ring) {
      const LocalXY d = p - centre;
      turned.push_back({d.x_m * c + d.y_m * s, d.y_m * c - d.x_m * s});
    }
    const auto [low, high] =
        std::minmax_element(turned.begin(), turned.end(), [](LocalXY a, LocalXY b) { return a.x_m < b.x_m; });
    const double first = low->x_m, last = high->x_m;
    constexpr int kSections = 99;
    std::vector<double> at, middle, width;
    for (int i = 1; i <= kSections; ++i) {
      const double x = first + (last - first) * i / (kSections + 1);
      if (const auto cut = section(turned, x)) {
        at.push_back(x);
        middle.push_back((cut->first + cut->second) / 2);
        width.push_back(cut->second - cut->first);
      }
    }
    if (at.size() < 10) return std::nullopt;
    const double usual = median(width);
    if (usual <= 0 || last - first < 5 * usual) return std::nullopt;
    double n = 0, sx = 0, sy = 0, sxx = 0, sxy = 0;
    for (std::size_t i = 0; i < at.size(); ++i) {
      if (std::abs(width[i] - usual) > 0.1 * usual) continue;
      n += 1, sx += at[i], sy += middle[i], sxx += at[i] * at[i], sxy += at[i] * middle[i];
    }
    if (n < 5 || n * sxx - sx * sx <= 0) return std::nullopt;
    const double slope = (n * sxy - sx * sy) / (n * sxx - sx * sx), offset = (sy - slope * sx) / n;
    for (std::size_t i = 0; i < at.size(); ++i)
      if (std::abs(width[i] - usual) <= 0.1 * usual && std::abs(middle[i] - offset - slope * at[i]) > 0.25 * usual)
        return std::nullopt;
    const auto back = [&](double x) {
      const double y = offset + slope * x;
      return LocalXY{centre.x_m + x * c - y * s, centre.y_m + x * s + y * c};
    };
    axis = {back(first), back(last), 0.0, usual};
    direction += std::atan(slope);
  }
  axis.length_m = distance_m(axis.from, axis.to);
  return axis;
}

}  // namespace solotaxi::airfield
