// Height profiles: the network's points put to the terrain, and its answer laid along the segments.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "network/draft.hpp"

namespace solotaxi::network::detail {
namespace {

/// Where the knots of a segment lie: its ends, every vertex whose height the map gives, and evenly between them.
std::vector<double> knot_places(const Segment& s, const std::vector<std::optional<double>>& heights, double spacing_m) {
  std::vector<double> fixed{0.0};
  for (std::size_t i = 1; i < s.chainage_m.size(); ++i)
    if (heights[i] || i + 1 == s.chainage_m.size())
      if (s.chainage_m[i] > fixed.back()) fixed.push_back(s.chainage_m[i]);
  std::vector<double> at{0.0};
  for (std::size_t i = 1; i < fixed.size(); ++i) {
    const double from = fixed[i - 1], length = fixed[i] - from;
    const auto parts = std::max(1.0, std::ceil(length / spacing_m - 1e-9));
    for (double k = 1.0; k < parts; ++k) at.push_back(from + length * k / parts);
    at.push_back(fixed[i]);
  }
  return at;
}

/// The position at a way along a segment; straight between vertices, in the plane and in degrees (a vertex spacing is far
/// too short for the two to differ).
terrain::HeightPoint point_at(const Segment& s, double at_m) {
  const auto it = std::upper_bound(s.chainage_m.begin() + 1, s.chainage_m.end() - 1, at_m);
  const auto i = static_cast<std::size_t>(it - s.chainage_m.begin());
  const double t = (at_m - s.chainage_m[i - 1]) / (s.chainage_m[i] - s.chainage_m[i - 1]);
  const LatLon a = s.geodetic[i - 1], b = s.geodetic[i];
  const double across = std::remainder(b.lon_deg() - a.lon_deg(), 360.0);
  double lon = a.lon_deg() + across * t;
  if (std::abs(lon) > 180.0) lon = std::remainder(lon, 360.0);
  terrain::HeightPoint p;
  p.at = LatLon::degrees(a.lat_deg() + (b.lat_deg() - a.lat_deg()) * t, lon);
  p.xy = s.line[i - 1] + (s.line[i] - s.line[i - 1]) * t;
  return p;
}

class Profiles {
 public:
  Profiles(Network& net, const Draft& draft) : net_(net), draft_(draft) {
    for (const auto& v : draft.vertices)
      if (v.height_m) map_height_[key(v.at)] = {*v.height_m, v.height_is_tag};
  }

  void run(std::span<const terrain::HeightSource* const> sources) {
    if (map_height_.empty() && sources.empty()) {
      set_knots();
      const bool stated = follow_stated_grades(net_);
      net_.findings.push_back(
          finding_at("unknown-grade", Severity::caution, "", std::nullopt,
                     stated ? "Neither the map nor a raster gives heights: grades are known only where the map states them."
                            : "Neither the map nor a raster gives heights: every grade is taken as level and unknown."));
      return;
    }
    set_knots();
    pose();
    take(terrain::estimate_heights(problem_, sources, draft_.options.heights));
  }

 private:
  static std::pair<double, double> key(LatLon at) { return {at.lat_deg(), at.lon_deg()}; }

  struct MapHeight {
    double height_m = 0.0;
    bool is_tag = false;
  };

  [[nodiscard]] std::optional<double> map_height(LatLon at) const {
    if (map_height_.empty()) return std::nullopt;
    const auto it = map_height_.find(key(at));
    return it == map_height_.end() ? std::nullopt : std::optional(it->second.height_m);
  }

  void put_map_height(terrain::HeightPoint& point, LatLon at) const {
    const auto it = map_height_.find(key(at));
    if (it == map_height_.end()) return;
    point.map_height_m = it->second.height_m;
    point.map_height_is_tag = it->second.is_tag;
  }

  void set_knots() {
    for (auto& s : net_.segments) {
      std::vector<std::optional<double>> heights;
      for (const LatLon at : s.geodetic) heights.push_back(map_height(at));
      s.profile.clear();
      for (const double at : knot_places(s, heights, draft_.options.knot_spacing_m))
        s.profile.push_back({at, std::numeric_limits<double>::quiet_NaN()});
      s.grade_sd.assign(s.profile.size() - 1, terrain::kUnknownGradeSd);
    }
  }

  /// Points 0 … nodes - 1 are the nodes; inner knots follow segment by segment, edges likewise.
  void pose() {
    problem_.frame = net_.frame;
    problem_.field_name = net_.name.empty() ? net_.ident : net_.name;
    if (net_.elevation) problem_.field_elevation_m = net_.elevation->value();
    for (const auto& n : net_.nodes) {
      terrain::HeightPoint p;
      p.at = n.at;
      p.xy = n.xy;
      put_map_height(p, n.at);
      problem_.points.push_back(p);
    }
    for (const auto& s : net_.segments) {
      const bool structure = s.bridge || s.tunnel;
      std::uint32_t before = index(s.from);
      for (std::size_t k = 1; k < s.profile.size(); ++k) {
        std::uint32_t here = index(s.to);
        if (k + 1 < s.profile.size()) {
          here = static_cast<std::uint32_t>(problem_.points.size());
          problem_.points.push_back(inner_point(s, s.profile[k].at_m, structure));
        }
        problem_.edges.push_back({before, here, s.profile[k].at_m - s.profile[k - 1].at_m, structure});
        before = here;
      }
    }
  }

  [[nodiscard]] terrain::HeightPoint inner_point(const Segment& s, double at_m, bool structure) const {
    const auto vertex = std::lower_bound(s.chainage_m.begin(), s.chainage_m.end(), at_m);
    auto p = point_at(s, at_m);
    p.on_structure = structure;
    if (vertex != s.chainage_m.end() && *vertex == at_m)
      put_map_height(p, s.geodetic[static_cast<std::size_t>(vertex - s.chainage_m.begin())]);
    return p;
  }

  void take(terrain::HeightEstimate estimate) {
    for (std::size_t n = 0; n < net_.nodes.size(); ++n) net_.nodes[n].height_m = estimate.height_m[n];
    std::size_t inner = net_.nodes.size(), edge = 0;
    for (auto& s : net_.segments) {
      s.profile.front().height_m = net_.node(s.from).height_m;
      s.profile.back().height_m = net_.node(s.to).height_m;
      for (std::size_t k = 1; k + 1 < s.profile.size(); ++k) s.profile[k].height_m = estimate.height_m[inner++];
      for (auto& sd : s.grade_sd) sd = estimate.edge_grade_sd[edge++];
    }
    net_.height_sources = std::move(estimate.sources);
    net_.gradient_wander_per_m = estimate.gradient_wander_per_m;
    net_.findings.insert(net_.findings.end(), std::make_move_iterator(estimate.findings.begin()),
                         std::make_move_iterator(estimate.findings.end()));
    follow_stated_grades(net_);
    report_unknown();
  }

  /// One finding for each line of the map with grades nothing is known about, the longest first.
  void report_unknown() {
    struct Unknown {
      double length_m = 0.0;
      const Segment* at = nullptr;
    };
    std::map<std::string, Unknown> lines;
    for (const auto& s : net_.segments)
      for (std::size_t k = 0; k + 1 < s.profile.size(); ++k) {
        if (std::isfinite(s.profile[k].height_m) && std::isfinite(s.profile[k + 1].height_m)) continue;
        Unknown& line = lines[s.source_id];
        line.length_m += s.profile[k + 1].at_m - s.profile[k].at_m;
        if (line.at == nullptr) line.at = &s;
      }
    std::vector<std::pair<std::string, Unknown>> order(lines.begin(), lines.end());
    std::stable_sort(order.begin(), order.end(),
                     [](const auto& a, const auto& b) { return a.second.length_m > b.second.length_m; });
    constexpr std::size_t kNamed = 20;
    for (std::size_t k = 0; k < order.size() && k < kNamed; ++k)
      net_.findings.push_back(finding_at("unknown-grade", Severity::caution, order[k].first,
                                         order[k].second.at->geodetic.front(),
                                         fmt::format("No height is known near {:.0f} m of {}: the grade there is unknown.",
                                                     order[k].second.length_m, name_of(*order[k].second.at))));
    if (order.size() > kNamed)
      net_.findings.push_back(finding_at("unknown-grade", Severity::caution, "", std::nullopt,
                                         fmt::format("The grade is unknown on {} more lines.", order.size() - kNamed)));
  }

  static std::string name_of(const Segment& s) {
    return fmt::format("{}{}", airfield::to_string(s.kind), s.name.empty() ? "" : " " + s.name);
  }

  Network& net_;
  const Draft& draft_;
  std::map<std::pair<double, double>, MapHeight> map_height_;
  terrain::HeightProblem problem_;
};

}  // namespace

void add_profiles(Network& net, const Draft& draft, std::span<const terrain::HeightSource* const> sources) {
  Profiles(net, draft).run(sources);
}

}  // namespace solotaxi::network::detail
