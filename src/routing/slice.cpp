#include <algorithm>
#include <cmath>
#include <limits>

#include "routing/assemble.hpp"

namespace solotaxi::routing {
namespace {

constexpr double kLeastPiece_m = 1e-6;

double height_at(const network::Segment& s, double at_m) {
  for (std::size_t i = 1; i < s.profile.size(); ++i) {
    if (at_m > s.profile[i].at_m && i + 1 < s.profile.size()) continue;
    const auto &a = s.profile[i - 1], &b = s.profile[i];
    const double part = b.at_m > a.at_m ? (at_m - a.at_m) / (b.at_m - a.at_m) : 0.0;
    return a.height_m + part * (b.height_m - a.height_m);
  }
  return std::numeric_limits<double>::quiet_NaN();
}

}  // namespace

Slice slice(const Network& net, ArcId arc, double from_m, double to_m) {
  const network::Segment& s = net.segment(arc);
  const bool along = network::is_along(arc);
  const double low = std::max(0.0, along ? from_m : s.length_m - to_m);
  const double high = std::min(s.length_m, along ? to_m : s.length_m - from_m);
  Slice out;
  const auto point = [&](double at) { return RoutePoint{network::position_at(net, s, at), height_at(s, at)}; };
  out.points.push_back(point(low));
  for (std::size_t i = 0; i < s.chainage_m.size(); ++i)
    if (s.chainage_m[i] > low + kLeastPiece_m && s.chainage_m[i] < high - kLeastPiece_m)
      out.points.push_back({s.geodetic[i], height_at(s, s.chainage_m[i])});
  out.points.push_back(point(high));
  for (std::size_t i = 1; i < s.profile.size(); ++i) {
    const auto &a = s.profile[i - 1], &b = s.profile[i];
    const double begin = std::max(low, a.at_m), end = std::min(high, b.at_m);
    if (end - begin <= kLeastPiece_m) continue;
    const double grade = (b.height_m - a.height_m) / (b.at_m - a.at_m);
    const double height = a.height_m + ((along ? begin : end) - a.at_m) * grade;
    out.runs.push_back({end - begin, along ? grade : -grade, i <= s.grade_sd.size() ? s.grade_sd[i - 1] : 0.0, height});
  }
  if (!along) {
    std::reverse(out.points.begin(), out.points.end());
    std::reverse(out.runs.begin(), out.runs.end());
  }
  return out;
}

}  // namespace solotaxi::routing
