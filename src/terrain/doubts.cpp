#include "terrain/doubts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "terrain/add_finding.hpp"
#include "terrain/buckets.hpp"
#include "terrain/ramps.hpp"

namespace solotaxi::terrain {
namespace {

constexpr double kCutting = 3.0;        // m; ground so far under a line that runs on over it is a cutting; assumed
constexpr double kImplausible = 0.045;  // half as much again as the 3 % of code A and B [ICAO Annex 14]; assumed
constexpr double kUnderstated = 1.5, kOverstated = 0.25;  // residuals over declared sigma; assumed
constexpr std::size_t kEnough = 20;                       // readings to judge a source by
constexpr double kAlike = 0.7;                            // correlation of residuals; assumed
constexpr double kShortRamp = 60.0;  // m; a ramp of 2 % bends over so much at each end [1 % per 30 m, ICAO Annex 14]

void add_groups(const HeightProblem& problem, Observations& observed, const Judgement& judgement) {
  for (const OutlierGroup& g : judgement.groups) {
    const Observation& first = observed.list[g.members.front()];
    const std::string& name = observed.sources[first.source].fit.name;
    const bool cutting = g.mean_residual_m < -kCutting;
    add_finding(observed.findings, cutting ? "bridge-missing" : "height-outlier-group", Severity::caution,
                &problem.points[first.point],
                cutting
                    ? fmt::format("The ground of {} lies {:.1f} m under the line at {} places here; they are left out and "
                                  "the line runs on over them: bridge missing in the map?",
                                  name, -g.mean_residual_m, g.members.size())
                    : fmt::format("{} neighbouring heights of {} lie {:+.1f} m off the ground around them and are left out "
                                  "(a building, trees, a blunder?).",
                                  g.members.size(), name, g.mean_residual_m));
  }
}

void add_hills(const HeightProblem& problem, Observations& observed, const Judgement& judgement) {
  for (const OutlierGroup& g : judgement.hills) {
    const Observation& first = observed.list[g.members.front()];
    add_finding(
        observed.findings, "height-hill", Severity::note, &problem.points[first.point],
        fmt::format("The ground of {} rises or falls here more than elsewhere on the field ({} heights); it is taken as it "
                    "is, and its grades are less certain.",
                    observed.sources[first.source].fit.name, g.members.size()));
  }
}

void add_outliers(const HeightProblem& problem, Observations& observed, const StateSystem& system,
                  const Judgement& judgement) {
  if (judgement.doubted == 0) return;
  const Observation* worst = nullptr;
  double farthest = 0.0;
  for (std::size_t k = 0; k < observed.list.size(); ++k) {
    const Observation& o = observed.list[k];
    const double t = std::abs(o.height_m - system.ground_at(o)) / o.sigma_m;
    if (std::isinf(judgement.inflation[k]) || t <= farthest) continue;
    worst = &o, farthest = t;
  }
  add_finding(
      observed.findings, "height-outliers", Severity::note, &problem.points[worst->point],
      fmt::format("{} of {} heights lie more than 3 standard deviations off and count less; the worst is {:+.1f} m off.",
                  judgement.doubted, observed.list.size(), worst->height_m - system.ground_at(*worst)));
}

/// One finding for each run of connected places that are too steep for any pavement.
void add_steep_places(const HeightProblem& problem, Observations& observed, const HeightEstimate& estimate) {
  std::vector<char> steep(problem.edges.size(), 0);
  std::vector<std::vector<std::uint32_t>> at(problem.points.size());
  const auto grade = [&](std::uint32_t k) {
    const HeightEdge& e = problem.edges[k];
    return (estimate.height_m[e.b] - estimate.height_m[e.a]) / e.length_m;
  };
  for (std::uint32_t k = 0; k < problem.edges.size(); ++k) {
    if (!(std::abs(grade(k)) - estimate.edge_grade_sd[k] > kImplausible)) continue;
    steep[k] = 1;
    at[problem.edges[k].a].push_back(k), at[problem.edges[k].b].push_back(k);
  }
  for (std::uint32_t seed = 0; seed < problem.edges.size(); ++seed) {
    if (steep[seed] == 0) continue;
    std::vector<std::uint32_t> run{seed};
    steep[seed] = 0;
    std::uint32_t worst = seed;
    double length = 0.0;
    for (std::size_t next = 0; next < run.size(); ++next) {
      const HeightEdge& e = problem.edges[run[next]];
      length += e.length_m;
      if (std::abs(grade(run[next])) > std::abs(grade(worst))) worst = run[next];
      for (const std::uint32_t end : {e.a, e.b})
        for (const std::uint32_t k : at[end])
          if (steep[k] != 0) steep[k] = 0, run.push_back(k);
    }
    add_finding(
        observed.findings, "grade-implausible", Severity::caution, &problem.points[problem.edges[worst].a],
        fmt::format("Over {:.0f} m the grade reaches {:.1f} ± {:.1f} %, far outside the standards for taxiways: bridge "
                    "missing in the map, or heights wrong here?",
                    length, 100.0 * std::abs(grade(worst)), 100.0 * estimate.edge_grade_sd[worst]));
  }
}

void judge_sources(Observations& observed, const StateSystem& system, const Judgement& judgement) {
  std::vector<double> squares(observed.sources.size(), 0.0), ratios(observed.sources.size(), 0.0);
  for (std::size_t k = 0; k < observed.list.size(); ++k) {
    const Observation& o = observed.list[k];
    if (std::isinf(judgement.inflation[k])) {
      ++observed.sources[o.source].fit.left_out;
      continue;
    }
    const double residual = o.height_m - system.ground_at(o);
    squares[o.source] += residual * residual;
    ratios[o.source] += residual * residual / (o.sigma_m * o.sigma_m);
  }
  for (std::size_t i = 0; i < observed.sources.size(); ++i) {
    SourceFit& fit = observed.sources[i].fit;
    const std::size_t used = fit.readings - fit.left_out;
    if (used == 0) continue;
    fit.residual_rms_m = std::sqrt(squares[i] / static_cast<double>(used));
    const double ratio = std::sqrt(ratios[i] / static_cast<double>(used));
    if (fit.readings < kEnough) continue;
    if (judgement.rough[i] != 0)
      add_finding(
          observed.findings, "height-noise-understated", Severity::serious, nullptr,
          fmt::format("Very many heights of {} do not fit the ground ({:.2f} m off in the root mean square, {:.2f} m "
                      "declared): its noise is larger than declared, or the ground is no airfield's. Do not trust its "
                      "grades.",
                      fit.name, fit.residual_rms_m, fit.declared_sigma_m));
    else if (ratio > kUnderstated)
      add_finding(
          observed.findings, "height-noise-understated", Severity::caution, nullptr,
          fmt::format("Heights of {} lie {:.2f} m off the estimated ground, {:.1f} times the noise declared ({:.2f} m): "
                      "declare more, or do not trust its grades.",
                      fit.name, fit.residual_rms_m, ratio, fit.declared_sigma_m));
    else if (ratio < kOverstated)
      add_finding(
          observed.findings, "height-noise-overstated", Severity::note, nullptr,
          fmt::format(
              "Heights of {} lie only {:.2f} m off the estimated ground though {:.2f} m of noise is declared: if it "
              "is that good, declare less, for short ramps come out too gentle.",
              fit.name, fit.residual_rms_m, fit.declared_sigma_m));
  }
}

/// Two rasters made of the same measurements, which count as if they were independent.
void add_alike(Observations& observed, const StateSystem& system, const Judgement& judgement) {
  for (std::uint32_t a = 0; a < observed.sources.size(); ++a)
    for (std::uint32_t b = a + 1; b < observed.sources.size(); ++b) {
      const ObservedSource &first = observed.sources[a], &second = observed.sources[b];
      if (first.pixel_m <= 0.0 || second.pixel_m <= 0.0) continue;
      const double near = 0.5 * std::max(first.pixel_m, second.pixel_m);
      Buckets places(near);
      for (std::uint32_t k = 0; k < observed.list.size(); ++k)
        if (observed.list[k].source == a && !std::isinf(judgement.inflation[k])) places.add(observed.list[k].at, k);
      double squares_a = 0.0, squares_b = 0.0, products = 0.0;
      std::size_t pairs = 0;
      for (std::uint32_t k = 0; k < observed.list.size(); ++k) {
        const Observation& o = observed.list[k];
        if (o.source != b || std::isinf(judgement.inflation[k])) continue;
        double nearest = near;
        const Observation* other = nullptr;
        places.near(o.at, near, [&](std::uint32_t j) {
          const double apart = distance_m(observed.list[j].at, o.at);
          if (apart <= nearest) nearest = apart, other = &observed.list[j];
        });
        if (other == nullptr) continue;
        const double ra = other->height_m - system.ground_at(*other), rb = o.height_m - system.ground_at(o);
        squares_a += ra * ra, squares_b += rb * rb, products += ra * rb;
        ++pairs;
      }
      if (pairs < kEnough || !(products > kAlike * std::sqrt(squares_a * squares_b)) || products <= 0.0) continue;
      add_finding(observed.findings, "height-sources-alike", Severity::caution, nullptr,
                  fmt::format("{} and {} err alike (correlation {:.2f} at {} places): they look like one measurement but "
                              "count as two, and deviations come out too small. Give one of them.",
                              first.fit.name, second.fit.name, products / std::sqrt(squares_a * squares_b), pairs));
    }
}

void add_unseen_ramps(Observations& observed, double wander) {
  for (const ObservedSource& s : observed.sources) {
    if (s.fit.kind != SourceKind::raster || s.fit.readings == 0) continue;
    const double length = half_seen_ramp_m(s, wander);
    if (length > kShortRamp)
      add_finding(
          observed.findings, "short-ramps-unseen", Severity::caution, nullptr,
          fmt::format("Where {} alone tells the heights, its noise ({:.2f} m) hides short ramps: one of {:.0f} m comes out "
                      "with about half its grade, shorter ones flatter still, and the deviations allow for that only "
                      "in part. Give surveyed points, or heights in the map, where there are ramps.",
                      s.fit.name, s.noise.sigma_m, length));
  }
}

}  // namespace

void add_doubts(const HeightProblem& problem, Observations& observed, const StateSystem& system, const Judgement& judgement,
                const Wander& wander, const HeightEstimate& estimate) {
  judge_sources(observed, system, judgement);
  add_groups(problem, observed, judgement);
  add_hills(problem, observed, judgement);
  add_outliers(problem, observed, system, judgement);
  add_steep_places(problem, observed, estimate);
  add_alike(observed, system, judgement);
  add_unseen_ramps(observed, wander.per_m);
  if (wander.at_most)
    add_finding(
        observed.findings, "height-noise-like-terrain", Severity::caution, nullptr,
        fmt::format("The heights are rougher than airfields are (gradients wander by {:.1e} per metre, the bound): noise "
                    "that looks like terrain, or noise declared too small. The declared noise is kept.",
                    wander.per_m));
}

}  // namespace solotaxi::terrain
