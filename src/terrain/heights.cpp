#include "solotaxi/terrain/heights.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "solotaxi/base/error.hpp"
#include "terrain/add_finding.hpp"
#include "terrain/observations.hpp"
#include "terrain/state_system.hpp"

namespace solotaxi::terrain {
namespace {

constexpr double kOutlier = 3.0;  // standard deviations; the ground-movement model, section 8
constexpr int kReweightings = 5;
constexpr double kSettled = 0.10;  // change of a weight below which another round is not worth it
constexpr double kInfinite = std::numeric_limits<double>::infinity();
constexpr double kNothing = std::numeric_limits<double>::quiet_NaN();

void require_valid(const HeightProblem& problem, const HeightOptions& options) {
  const auto positive = [](double v) { return v > 0.0 && std::isfinite(v); };
  if (!positive(options.map_height_sigma_m) || !positive(options.gradient_wander_per_m))
    throw usage_error("the noise of map heights and the wander of the ground's gradient must be positive numbers");
  for (std::size_t k = 0; k < problem.edges.size(); ++k) {
    const HeightEdge& e = problem.edges[k];
    if (e.a >= problem.points.size() || e.b >= problem.points.size() || !positive(e.length_m))
      throw data_error(fmt::format("edge {} of the height network has no usable length or ends", k));
  }
}

/// Number of the connected part of each point.
std::vector<std::uint32_t> connected_parts(const HeightProblem& problem, std::size_t& parts) {
  std::vector<std::uint32_t> root(problem.points.size());
  std::iota(root.begin(), root.end(), 0U);
  const auto find = [&](std::uint32_t i) {
    while (root[i] != i) i = root[i] = root[root[i]];
    return i;
  };
  for (const HeightEdge& e : problem.edges) root[find(e.a)] = find(e.b);
  std::vector<std::uint32_t> number(problem.points.size(), 0), part(problem.points.size());
  parts = 0;
  for (std::uint32_t i = 0; i < root.size(); ++i)
    if (find(i) == i) number[i] = static_cast<std::uint32_t>(parts++);
  for (std::uint32_t i = 0; i < root.size(); ++i) part[i] = number[find(i)];
  return part;
}

/// Solves, gives observations beyond three deviations less weight, and solves again until the weights settle. An
/// observation t deviations off gets (t/3)⁴ times its variance: continuous at t = 3, and ten deviations off it hardly
/// counts. Returns those factors, by observation.
std::vector<double> solve_robustly(StateSystem& system, const HeightProblem& problem, Observations& observed) {
  const std::vector<Observation>& list = observed.list;
  std::vector<double> inflation(list.size(), 1.0);
  const auto deviation = [&](const Observation& o) { return std::abs(o.height_m - system.height(o.point)) / o.sigma_m; };
  for (int round = 0;; ++round) {
    system.solve(inflation);
    if (round == kReweightings) break;
    bool settled = true;
    for (std::size_t k = 0; k < list.size(); ++k) {
      const double next = std::max(1.0, std::pow(deviation(list[k]) / kOutlier, 4));
      if (std::abs(next - inflation[k]) > kSettled * inflation[k]) settled = false;
      inflation[k] = next;
    }
    if (settled) break;
  }
  std::size_t outliers = 0;
  const Observation* worst = nullptr;
  for (const Observation& o : list) {
    if (deviation(o) <= kOutlier) continue;
    ++outliers;
    if (worst == nullptr || deviation(o) > deviation(*worst)) worst = &o;
  }
  if (worst == nullptr) return inflation;
  add_finding(
      observed.findings, "height-outliers", Severity::note, &problem.points[worst->point],
      fmt::format("{} of {} heights lie more than 3 standard deviations off and count less; the worst is {:+.1f} m off.",
                  outliers, list.size(), worst->height_m - system.height(worst->point)));
  return inflation;
}

/// Takes back what is too uncertain to be called known, and caps the deviations of grades.
void withhold_unknown(const HeightProblem& problem, const Observations& observed, HeightEstimate& out) {
  const double limit = std::max(kUnknownHeightSd, 2.0 * observed.smallest_sigma_m);
  std::vector<char> supported(problem.points.size(), 0);
  for (const Observation& o : observed.list) supported[o.point] = 1;
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
  double unknown_m = 0.0, total_m = 0.0;
  const HeightPoint* first = nullptr;
  for (std::size_t k = 0; k < problem.edges.size(); ++k) {
    const HeightEdge& e = problem.edges[k];
    total_m += e.length_m;
    if (!std::isnan(out.height_m[e.a]) && !std::isnan(out.height_m[e.b])) continue;
    out.edge_grade_sd[k] = kUnknownGradeSd;
    unknown_m += e.length_m;
    if (first == nullptr) first = &problem.points[std::isnan(out.height_m[e.a]) ? e.a : e.b];
  }
  if (first != nullptr)
    add_finding(out.findings, "height-unknown", Severity::caution, first,
                fmt::format("Heights are unknown along {:.1f} % of the network's length; grades there are unknown.",
                            100.0 * unknown_m / total_m));
}

}  // namespace

HeightSample HeightSource::sample_at(LatLon at) const {
  const std::optional<double> z = height_at(at);
  if (!z || !std::isfinite(*z)) return {};
  return {HeightSample::State::height, *z, std::abs(*z) < 0.01};
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
    add_finding(out.findings, "height-unknown", Severity::caution, nullptr,
                "There are no heights; every grade is unknown.");
    return out;
  }
  std::size_t parts = 0;
  const std::vector<std::uint32_t> part = connected_parts(problem, parts);
  // The heights take each pixel as one independent observation: with the shared noise in the estimate, hills of a few
  // hundred metres would pass for noise and ramps come out too gentle, which is not the safe side. The deviations do allow
  // for it.
  StateSystem heights(problem, observed, options, StateSystem::Noise::independent, part, parts);
  const std::vector<double> inflation = solve_robustly(heights, problem, observed);
  for (std::uint32_t i = 0; i < problem.points.size(); ++i) out.height_m[i] = heights.height(i);
  StateSystem with_shared_noise(problem, observed, options, StateSystem::Noise::shared, part, parts);
  with_shared_noise.solve(inflation);
  StateSystem::Deviations deviations = with_shared_noise.deviations();
  out.height_sd_m = std::move(deviations.height_sd_m);
  out.edge_grade_sd = std::move(deviations.edge_grade_sd);
  out.findings = std::move(observed.findings);
  withhold_unknown(problem, observed, out);
  return out;
}

}  // namespace solotaxi::terrain
