#include "solotaxi/terrain/heights.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <queue>

#include "solotaxi/base/error.hpp"
#include "terrain/add_finding.hpp"
#include "terrain/doubts.hpp"
#include "terrain/observations.hpp"
#include "terrain/ramps.hpp"
#include "terrain/robust.hpp"
#include "terrain/state_system.hpp"
#include "terrain/wander.hpp"

namespace solotaxi::terrain {
namespace {

constexpr double kInfinite = std::numeric_limits<double>::infinity();
constexpr double kNearReading = 50.0;  // m along the network; assumed
constexpr double kNothing = std::numeric_limits<double>::quiet_NaN();

void require_valid(const HeightProblem& problem, const HeightOptions& options) {
  const auto require = [](const char* name, double value, double least, double most, const char* unit) {
    if (!(value >= least && value <= most))
      throw usage_error(fmt::format("{} of the ground is {}; it must be from {} to {}{}", name, value, least, most, unit));
  };
  constexpr double kLeastWander = 1e-9, kMostWander = 0.1;
  require("the least wander", options.wander_least_per_m, kLeastWander, kMostWander, " per m");
  require("the most wander", options.wander_most_per_m, kLeastWander, kMostWander, " per m");
  require("the median wander", options.wander_median_per_m, kLeastWander, kMostWander, " per m");
  require("the deviation of the logarithm of the wander", options.wander_log_sd, 0.01, 10.0, "");
  require("the share of ramps", options.ramp_share, 0.0, 0.5, "");
  if (options.wander_least_per_m > options.wander_most_per_m)
    throw usage_error(fmt::format("the least wander of the ground, {} per m, is over the most, {} per m",
                                  options.wander_least_per_m, options.wander_most_per_m));
  if (!std::isfinite(options.map_offset_m)) throw usage_error("the offset of the map's heights must be a number of metres");
  for (std::size_t k = 0; k < problem.edges.size(); ++k) {
    const HeightEdge& e = problem.edges[k];
    if (e.a >= problem.points.size() || e.b >= problem.points.size() || !(e.length_m > 0.0) || !std::isfinite(e.length_m))
      throw data_error(fmt::format("edge {} of the height network has no usable length or ends", k));
  }
}

/// Way along the network from each point to the nearest one with a reading; infinite without one.
std::vector<double> way_to_reading(const HeightProblem& problem, const Observations& observed) {
  std::vector<std::vector<std::pair<std::uint32_t, double>>> next(problem.points.size());
  for (const HeightEdge& e : problem.edges) {
    next[e.a].emplace_back(e.b, e.length_m);
    next[e.b].emplace_back(e.a, e.length_m);
  }
  std::vector<double> way(problem.points.size(), kInfinite);
  using Entry = std::pair<double, std::uint32_t>;
  std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue;
  for (const Observation& o : observed.list)
    if (way[o.point] > 0.0) queue.emplace(way[o.point] = 0.0, o.point);
  while (!queue.empty()) {
    const auto [length, i] = queue.top();
    queue.pop();
    if (length > way[i]) continue;
    for (const auto& [j, step] : next[i])
      if (length + step < way[j]) queue.emplace(way[j] = length + step, j);
  }
  return way;
}

/// Takes back what is too uncertain to be called known, and caps the deviations of grades.
void withhold_unknown(const HeightProblem& problem, const Observations& observed, HeightEstimate& out) {
  const double limit = std::max(kUnknownHeightSd, 2.0 * observed.smallest_sigma_m);
  const std::vector<double> way = way_to_reading(problem, observed);
  std::vector<char> supported(problem.points.size(), 0);
  for (std::size_t i = 0; i < way.size(); ++i) supported[i] = way[i] <= kNearReading ? 1 : 0;
  for (std::size_t k = 0; k < problem.edges.size(); ++k) {
    const HeightEdge& e = problem.edges[k];
    if (out.edge_grade_sd[k] < kUnknownGradeSd) supported[e.a] = supported[e.b] = 1;
    out.edge_grade_sd[k] = std::min(out.edge_grade_sd[k], kUnknownGradeSd);
  }
  for (std::size_t i = 0; i < problem.points.size(); ++i)
    if (supported[i] == 0 || !(out.height_sd_m[i] <= limit)) {
      out.height_m[i] = kNothing;
      out.height_sd_m[i] = kInfinite;
    }
  for (std::size_t k = 0; k < problem.edges.size(); ++k)
    if (std::isnan(out.height_m[problem.edges[k].a]) || std::isnan(out.height_m[problem.edges[k].b]))
      out.edge_grade_sd[k] = kUnknownGradeSd;
}

}  // namespace

const char* to_string(SourceKind kind) {
  switch (kind) {
    case SourceKind::raster:
      return "raster";
    case SourceKind::survey:
      return "survey";
    case SourceKind::map_line:
      return "map lines";
    case SourceKind::map_tag:
      return "map tags";
  }
  return "";
}

HeightEstimate estimate_heights(const HeightProblem& problem, std::span<const HeightSource* const> sources,
                                const HeightOptions& options) {
  require_valid(problem, options);
  HeightEstimate out;
  out.height_m.assign(problem.points.size(), kNothing);
  out.height_sd_m.assign(problem.points.size(), kInfinite);
  out.edge_grade_sd.assign(problem.edges.size(), kUnknownGradeSd);
  if (problem.points.empty()) return out;
  Observations observed = observe(problem, sources, options);
  if (observed.list.empty()) {
    out.findings = std::move(observed.findings);
    for (ObservedSource& s : observed.sources) out.sources.push_back(std::move(s.fit));
    return out;
  }
  const Parts parts = connected_parts(problem);
  StateSystem system(problem, observed, parts);
  // Outliers would pass for rough ground, and rough ground for outliers: judged once before the search for the wander, with
  // its median, and once after.
  Judgement judgement = solve_robustly(system, observed, options.wander_median_per_m, trust_all(observed));
  const Wander wander = find_wander(system, judgement.inflation, options);
  judgement = solve_robustly(system, observed, wander.per_m, std::move(judgement));
  for (std::uint32_t i = 0; i < problem.points.size(); ++i) out.height_m[i] = system.height(i);
  StateSystem::Deviations deviations = deviations_with_ramps(problem, system, wander.per_m, judgement.inflation, options);
  out.height_sd_m = std::move(deviations.height_sd_m);
  out.edge_grade_sd = std::move(deviations.edge_grade_sd);
  out.gradient_wander_per_m = wander.per_m;
  add_doubts(problem, observed, system, judgement, wander, out);
  out.findings = std::move(observed.findings);
  for (ObservedSource& s : observed.sources) out.sources.push_back(std::move(s.fit));
  withhold_unknown(problem, observed, out);
  return out;
}

}  // namespace solotaxi::terrain
