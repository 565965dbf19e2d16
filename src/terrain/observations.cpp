#include "terrain/observations.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <unordered_map>

#include "solotaxi/base/error.hpp"
#include "terrain/add_finding.hpp"

namespace solotaxi::terrain {
namespace {

constexpr double kZero = 0.01;         // m; the ground-movement model, section 8
constexpr double kCoarseStep = 0.25;   // m; rounding coarser than this is worth a finding; assumed
constexpr double kOffsetSigmas = 1.0;  // sources that differ by more than this are brought together; assumed
constexpr std::size_t kCommonPoints = 5;

/// One source's answers before they become observations.
struct Answers {
  std::string name;
  double sigma_m = 0.0, share = 0.0, length_m = 0.0, pixel_m = 0.0;
  std::vector<HeightSample> at;  // by point
};

/// Squares of side `cell` for finding points near each other.
class Buckets {
 public:
  explicit Buckets(double cell) : cell_(cell) {}
  void add(LocalXY xy, std::uint32_t id) { cells_[key(column(xy.x_m), column(xy.y_m))].push_back(id); }
  /// Calls f(id) for all within at least `cell` of xy, and some beyond.
  template <class F>
  void near(LocalXY xy, F f) const {
    for (std::int64_t i = -1; i <= 1; ++i)
      for (std::int64_t j = -1; j <= 1; ++j)
        if (const auto found = cells_.find(key(column(xy.x_m) + i, column(xy.y_m) + j)); found != cells_.end())
          for (const std::uint32_t id : found->second) f(id);
  }

 private:
  [[nodiscard]] std::int64_t column(double v) const { return static_cast<std::int64_t>(std::floor(v / cell_)); }
  static std::int64_t key(std::int64_t x, std::int64_t y) { return x * 0x100000000LL + y; }
  double cell_;
  std::unordered_map<std::int64_t, std::vector<std::uint32_t>> cells_;
};

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

std::string extent_of(const std::vector<HeightPoint>& points) {
  double south = 90.0, north = -90.0, west = 180.0, east = -180.0;
  for (const HeightPoint& p : points) {
    south = std::min(south, p.at.lat_deg()), north = std::max(north, p.at.lat_deg());
    west = std::min(west, p.at.lon_deg()), east = std::max(east, p.at.lon_deg());
  }
  return fmt::format("latitude {:.4f} to {:.4f}, longitude {:.4f} to {:.4f}", south, north, west, east);
}

LatLon middle_of(const std::vector<HeightPoint>& points) { return points[points.size() / 2].at; }

/// Asks one source everywhere; reports voids and the part of the network it does not reach.
Answers ask(const HeightProblem& problem, const HeightSource& source, Findings& findings) {
  Answers a{source.name(),
            source.sigma().value(),
            source.correlated_share(),
            source.correlation_length().value(),
            source.spacing_at(middle_of(problem.points)).value(),
            {}};
  if (!(a.sigma_m > 0.0 && std::isfinite(a.sigma_m) && a.share >= 0.0 && a.share < 1.0 && a.length_m > 0.0 &&
        a.pixel_m > 0.0))
    throw data_error("the declared noise or spacing of the heights is out of range", {a.name, {}, {}},
                     "sigma, spacing and correlation length above 0, correlated share from 0 to under 1");
  std::size_t covered = 0, voids = 0;
  const HeightPoint* first_void = nullptr;
  a.at.reserve(problem.points.size());
  for (const HeightPoint& p : problem.points) {
    const HeightSample s = source.sample_at(p.at);
    if (s.state != HeightSample::State::outside) ++covered;
    if (s.state == HeightSample::State::in_void && !p.on_structure) {
      if (voids++ == 0) first_void = &p;
    }
    a.at.push_back(s);
  }
  if (covered == 0) {
    const std::string extent = source.extent();
    throw data_error(fmt::format("raster beside the field: {} lies in {}{}",
                                 problem.field_name.empty() ? "the field" : problem.field_name, extent_of(problem.points),
                                 extent.empty() ? "" : ", the raster covers " + extent),
                     {a.name, {}, {}}, "give a raster of this place");
  }
  if (voids > 0)
    add_finding(
        findings, "height-voids", Severity::note, first_void,
        fmt::format("{} has no height at {} of {} points of the network (voids).", a.name, voids, problem.points.size()));
  double uncovered_m = 0.0, total_m = 0.0;
  const HeightPoint* first_out = nullptr;
  for (const HeightEdge& e : problem.edges) {
    total_m += e.length_m;
    for (const std::uint32_t end : {e.a, e.b})
      if (a.at[end].state == HeightSample::State::outside) {
        uncovered_m += 0.5 * e.length_m;
        if (first_out == nullptr) first_out = &problem.points[end];
      }
  }
  if (first_out != nullptr)
    add_finding(findings, "raster-ends-inside", Severity::caution, first_out,
                fmt::format("{} ends inside the field: {:.1f} % of the network's length lies outside it.", a.name,
                            100.0 * uncovered_m / total_m));
  // Only now has the source read what it needs to know its step.
  if (const double step = source.step().value(); step > 0.0) {
    a.sigma_m = std::sqrt(a.sigma_m * a.sigma_m + step * step / 12.0);  // variance of a rounding error
    if (step >= kCoarseStep)
      add_finding(
          findings, "height-steps", Severity::note, nullptr,
          fmt::format("{} gives heights in steps of {:.3g} m; its noise is taken as {:.2f} m.", a.name, step, a.sigma_m));
  }
  return a;
}

/// The heights of the map itself as if they were a source.
Answers ask_map(const HeightProblem& problem, const HeightOptions& options) {
  Answers a{"the map", options.map_height_sigma_m, 0.0, 0.0, 0.0, std::vector<HeightSample>(problem.points.size())};
  for (std::size_t i = 0; i < problem.points.size(); ++i)
    if (const auto& z = problem.points[i].map_height_m; z && std::isfinite(*z))
      a.at[i] = {HeightSample::State::height, *z, std::abs(*z) < kZero};
  return a;
}

/// Heights of 0 in a field that lies elsewhere are dropouts. It lies elsewhere when 19 of 20 other heights are further than
/// 3 sigma from 0 on the same side; a field at the sea keeps its zeros.
void drop_zeros(const HeightProblem& problem, Answers& a, Findings& findings) {
  std::vector<double> others;
  std::size_t zeros = 0;
  for (const HeightSample& s : a.at)
    if (s.state == HeightSample::State::height) s.beside_zero ? void(++zeros) : others.push_back(s.height_m);
  if (zeros == 0 || others.empty()) return;
  const double sign = median(others) < 0.0 ? -1.0 : 1.0, limit = 3.0 * a.sigma_m;
  const auto near_zero = std::count_if(others.begin(), others.end(), [&](double z) { return sign * z < limit; });
  if (20 * near_zero > static_cast<std::ptrdiff_t>(others.size())) return;
  const HeightPoint* first = nullptr;
  for (std::size_t i = 0; i < a.at.size(); ++i)
    if (a.at[i].state == HeightSample::State::height && a.at[i].beside_zero) {
      if (first == nullptr) first = &problem.points[i];
      a.at[i].state = HeightSample::State::in_void;
    }
  add_finding(findings, "height-dropouts", Severity::caution, first,
              fmt::format("{} has heights of 0 m at or beside {} points of a field near {:.0f} m; they are left out.",
                          a.name, zeros, median(others)));
}

/// Terrain says nothing about points on a deck or in a tunnel, nor within a pixel of them, where it mixes both levels.
void drop_structures(const HeightProblem& problem, Answers& a, Findings& findings) {
  Buckets structures(a.pixel_m);
  bool any = false;
  const auto mark = [&](std::uint32_t i) {
    structures.add(problem.points[i].xy, i);
    any = true;
  };
  for (std::uint32_t i = 0; i < problem.points.size(); ++i)
    if (problem.points[i].on_structure) mark(i);
  if (!any) return;
  std::size_t dropped = 0;
  const HeightPoint* first = nullptr;
  for (std::uint32_t i = 0; i < problem.points.size(); ++i) {
    if (a.at[i].state != HeightSample::State::height) continue;
    bool close = problem.points[i].on_structure;
    if (!close) {
      structures.near(problem.points[i].xy, [&](std::uint32_t j) {
        close = close || distance_m(problem.points[i].xy, problem.points[j].xy) < a.pixel_m;
      });
      if (close && dropped++ == 0) first = &problem.points[i];
    }
    if (close) a.at[i].state = HeightSample::State::in_void;
  }
  if (dropped > 0)
    add_finding(findings, "height-near-structure", Severity::note, first,
                fmt::format("{} is not used at {} points within a pixel of a bridge or tunnel.", a.name, dropped));
}

/// Sources on different vertical datums would make a step where one of them ends: the later one is moved by the median of
/// the differences, and that is reported.
void bring_together(const HeightProblem& problem, std::vector<Answers>& all, Findings& findings) {
  const auto heights = [](const Answers& a) {
    return std::count_if(a.at.begin(), a.at.end(),
                         [](const HeightSample& s) { return s.state == HeightSample::State::height; });
  };
  if (all.size() < 2) return;
  const auto widest =
      std::max_element(all.begin(), all.end(), [&](const Answers& a, const Answers& b) { return heights(a) < heights(b); });
  for (Answers& a : all) {
    if (&a == &*widest) continue;
    std::vector<double> differences;
    for (std::size_t i = 0; i < problem.points.size(); ++i)
      if (a.at[i].state == HeightSample::State::height && widest->at[i].state == HeightSample::State::height)
        differences.push_back(a.at[i].height_m - widest->at[i].height_m);
    if (differences.size() < kCommonPoints) continue;
    const double offset = median(std::move(differences));
    if (std::abs(offset) <= kOffsetSigmas * std::hypot(a.sigma_m, widest->sigma_m)) continue;
    for (HeightSample& s : a.at) s.height_m -= offset;
    add_finding(findings, "height-sources-differ", Severity::caution, nullptr,
                fmt::format("Heights of {} lie {:+.1f} m from those of {} (median); they are moved by that, grades keep.",
                            a.name, offset, widest->name));
  }
}

/// Points closer than a pixel see the same pixel: each has its share, so that n of them along a pixel's width weigh as one.
std::vector<double> same_pixel(const HeightProblem& problem, const Answers& a) {
  std::vector<double> count(problem.points.size(), 1.0);
  if (a.pixel_m <= 0.0) return count;
  Buckets buckets(a.pixel_m);
  const auto has = [&](std::uint32_t i) { return a.at[i].state == HeightSample::State::height; };
  for (std::uint32_t i = 0; i < problem.points.size(); ++i)
    if (has(i)) buckets.add(problem.points[i].xy, i);
  for (std::uint32_t i = 0; i < problem.points.size(); ++i) {
    if (!has(i)) continue;
    double sum = 0.0;
    buckets.near(problem.points[i].xy, [&](std::uint32_t j) {
      sum += std::max(0.0, 1.0 - distance_m(problem.points[i].xy, problem.points[j].xy) / a.pixel_m);
    });
    count[i] = std::max(1.0, sum);
  }
  return count;
}

}  // namespace

Observations observe(const HeightProblem& problem, std::span<const HeightSource* const> sources,
                     const HeightOptions& options) {
  Observations out;
  std::vector<Answers> all;
  for (const HeightSource* source : sources) {
    if (source == nullptr) continue;
    all.push_back(ask(problem, *source, out.findings));
    drop_zeros(problem, all.back(), out.findings);
    drop_structures(problem, all.back(), out.findings);
  }
  all.push_back(ask_map(problem, options));
  drop_zeros(problem, all.back(), out.findings);
  bring_together(problem, all, out.findings);
  for (const Answers& a : all) {
    const std::vector<double> sharing = same_pixel(problem, a);
    const std::size_t before = out.list.size();
    const double variance = a.sigma_m * a.sigma_m;
    const int field = a.share > 0.0 ? static_cast<int>(out.fields.size()) : -1;
    for (std::uint32_t i = 0; i < problem.points.size(); ++i)
      if (a.at[i].state == HeightSample::State::height)
        out.list.push_back({i, field, a.at[i].height_m, a.sigma_m, sharing[i]});
    if (out.list.size() == before) continue;
    if (field >= 0) out.fields.push_back({a.share * variance, a.length_m});
    out.smallest_sigma_m = out.smallest_sigma_m > 0.0 ? std::min(out.smallest_sigma_m, a.sigma_m) : a.sigma_m;
  }
  return out;
}

}  // namespace solotaxi::terrain
