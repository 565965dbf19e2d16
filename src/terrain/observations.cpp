#include "terrain/observations.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "solotaxi/base/error.hpp"
#include "terrain/add_finding.hpp"
#include "terrain/buckets.hpp"
#include "terrain/nearest.hpp"
#include "terrain/plane.hpp"

namespace solotaxi::terrain {
namespace {

constexpr double kZero = 0.01;         // m; the ground-movement model, section 8
constexpr double kCoarseStep = 0.25;   // m; rounding coarser than this is worth a finding; assumed
constexpr double kFinePixel = 15.0;    // m; of finer rasters half a pixel is near enough; assumed
constexpr double kSteep = 0.04;        // over the 3 % of code A and B: half a pixel likewise; assumed
constexpr double kSurveyReach = 30.0;  // m from the centreline: the width of a wide taxiway with its shoulders; assumed
constexpr double kDeckReach = 10.0;    // m; points surveyed so near a deck's centreline lie on it; assumed
constexpr double kCurvature = 1e-6;    // per m; wander of the gradient across, for offsets
constexpr double kSamePlace = 0.5;     // m; pixel centres so near with the same height are one pixel; assumed
constexpr double kPixelCell = 25.0;    // m; about a pixel
constexpr double kCellShare = 0.1;     // of the correlation length: readings so near share their shared noise

/// A reading near the network.
struct Found {
  Reading reading;
  LocalXY xy;
  NearestPlace place;
};

std::string extent_of(const std::vector<HeightPoint>& points) {
  double south = 90.0, north = -90.0, west = 180.0, east = -180.0;
  for (const HeightPoint& p : points) {
    south = std::min(south, p.at.lat_deg()), north = std::max(north, p.at.lat_deg());
    west = std::min(west, p.at.lon_deg()), east = std::max(east, p.at.lon_deg());
  }
  return fmt::format("latitude {:.4f} to {:.4f}, longitude {:.4f} to {:.4f}", south, north, west, east);
}

void require_valid(const NoiseModel& noise, const std::string& name) {
  if (noise.sigma_m > 0.0 && std::isfinite(noise.sigma_m) && noise.correlated_share >= 0.0 &&
      noise.correlated_share < 1.0 && noise.correlation_length_m > 0.0 && std::isfinite(noise.correlation_length_m))
    return;
  throw Error(ErrorClass::usage, "the declared noise of the heights is out of range", {name, {}, {}},
              "sigma and correlation length above 0, correlated share from 0 to under 1");
}

class Asker {
 public:
  Asker(const HeightProblem& problem, Observations& out) : problem_(problem), out_(out), index_(problem) {
    for (const HeightPoint& p : problem.points) places_.push_back(p.at);
  }

  void ask(const HeightSource& source) {
    ObservedSource about;
    about.fit.name = source.name();
    about.fit.kind = source.kind();
    about.fit.datum = source.datum();
    about.noise = source.noise();
    require_valid(about.noise, about.fit.name);
    about.pixel_m = source.spacing_at(places_[places_.size() / 2]).value();
    const bool raster = source.kind() == SourceKind::raster;
    if (raster && !(about.pixel_m > 0.0 && std::isfinite(about.pixel_m)))
      throw data_error("the spacing of the raster's pixels is out of range", {about.fit.name, {}, {}});
    const double reach = !raster ? kSurveyReach : about.pixel_m < kFinePixel ? 0.5 * about.pixel_m : about.pixel_m;
    const Readings answer = source.readings(places_, Metres{reach});
    if (raster) require_coverage(source, about, answer);
    std::vector<Found> found = near_network(answer, reach);
    if (raster) {
      take_out_voids(found, about, answer);
      if (reach > 0.5 * about.pixel_m && steep(found))
        std::erase_if(found, [&](const Found& f) { return f.place.distance_m > 0.5 * about.pixel_m; });
    } else {
      require_near(found, about, answer);
    }
    take_out_zeros(found, about);
    take_out_structures(found, about);
    if (raster) take_out_repeated(found, about);
    // Only now has the source read what it needs to know its step.
    if (const double step = source.step().value(); step > 0.0) add_rounding(about, step);
    keep(std::move(found), std::move(about));
  }

  /// The heights of the map itself, tags or lines, as if they were a source.
  void ask_map(const NoiseModel& noise, bool tags, double offset_m) {
    ObservedSource about;
    about.fit.kind = tags ? SourceKind::map_tag : SourceKind::map_line;
    about.fit.name = tags ? "ele tags of the map" : "lines of the map";
    about.fit.datum.offset_given = offset_m != 0.0;
    about.noise = noise;
    require_valid(noise, about.fit.name);
    std::vector<Found> found;
    for (std::uint32_t i = 0; i < problem_.points.size(); ++i) {
      const HeightPoint& p = problem_.points[i];
      if (!p.map_height_m || p.map_height_is_tag != tags) continue;
      if (!(*p.map_height_m >= kLowestGround && *p.map_height_m <= kHighestGround)) {
        add_finding(out_.findings, "height-impossible", Severity::caution, &p,
                    fmt::format("No ground lies at {} m, as the map has it here; it is left out.", *p.map_height_m));
        continue;
      }
      found.push_back({{p.at, *p.map_height_m + offset_m, 0.0}, p.xy, {i, 0.0, p.on_structure}});
    }
    if (found.empty()) return;
    take_out_zeros(found, about);
    keep(std::move(found), std::move(about));
  }

 private:
  void require_coverage(const HeightSource& source, const ObservedSource& about, const Readings& answer) const {
    if (std::none_of(answer.inside.begin(), answer.inside.end(), [](char c) { return c != 0; })) {
      const std::string extent = source.extent();
      throw data_error(fmt::format("raster beside the field: {} lies in {}{}", field(), extent_of(problem_.points),
                                   extent.empty() ? "" : ", the raster covers " + extent),
                       {about.fit.name, {}, {}}, "give a raster of this place");
    }
    double uncovered_m = 0.0, total_m = 0.0;
    const HeightPoint* first_out = nullptr;
    for (const HeightEdge& e : problem_.edges) {
      total_m += e.length_m;
      for (const std::uint32_t end : {e.a, e.b})
        if (answer.inside[end] == 0) {
          uncovered_m += 0.5 * e.length_m;
          if (first_out == nullptr) first_out = &problem_.points[end];
        }
    }
    if (first_out != nullptr)
      add_finding(out_.findings, "raster-ends-inside", Severity::caution, first_out,
                  fmt::format("{} ends inside the field: {:.1f} % of the network's length lies outside it.", about.fit.name,
                              100.0 * uncovered_m / total_m));
  }

  [[nodiscard]] std::string field() const { return problem_.field_name.empty() ? "the field" : problem_.field_name; }

  [[nodiscard]] std::vector<Found> near_network(const Readings& answer, double reach) const {
    std::vector<Found> found;
    for (const Reading& r : answer.list) {
      const LocalXY xy = problem_.frame.to_local(r.at);
      if (const auto place = index_.find(xy, reach)) found.push_back({r, xy, *place});
    }
    return found;
  }

  void take_out_voids(std::vector<Found>& found, const ObservedSource& about, const Readings&) {
    const std::size_t all = found.size();
    const HeightPoint* first = nullptr;
    std::erase_if(found, [&](const Found& f) {
      if (std::isfinite(f.reading.height_m)) return false;
      if (first == nullptr) first = &problem_.points[f.place.point];
      return true;
    });
    if (first != nullptr)
      add_finding(out_.findings, "height-voids", found.empty() ? Severity::caution : Severity::note, first,
                  fmt::format("{} has no height in {} of {} pixels near the network (voids).", about.fit.name,
                              all - found.size(), all));
  }

  void require_near(const std::vector<Found>& found, const ObservedSource& about, const Readings& answer) {
    if (found.empty())
      throw data_error(fmt::format("no surveyed point lies within {:.0f} m of the network: {} lies in {}", kSurveyReach,
                                   field(), extent_of(problem_.points)),
                       {about.fit.name, {}, {}}, "check the order of latitude and longitude, and the field");
    if (const std::size_t off = answer.list.size() - found.size(); off > 0)
      add_finding(out_.findings, "survey-off-network", Severity::caution, nullptr,
                  fmt::format("{} of {} points of {} lie farther than {:.0f} m from the network and are not used.", off,
                              answer.list.size(), about.fit.name, kSurveyReach));
  }

  [[nodiscard]] bool steep(const std::vector<Found>& found) const {
    if (found.size() < 3) return false;
    std::vector<LocalXY> at;
    std::vector<double> height;
    for (const Found& f : found) at.push_back(f.xy), height.push_back(f.reading.height_m);
    const Plane plane = fit_plane(at, height);
    return std::hypot(plane.gx, plane.gy) > kSteep;
  }

  /// Heights of 0 in a field that lies elsewhere are dropouts. It lies elsewhere when 19 of 20 other heights are further
  /// than 3 sigma from 0 on the same side; a field at the sea keeps its zeros, but nothing but zeros is no height at all
  /// (lines written with a third coordinate nobody filled in).
  void take_out_zeros(std::vector<Found>& found, const ObservedSource& about) {
    std::vector<double> others;
    for (const Found& f : found)
      if (std::abs(f.reading.height_m) >= kZero) others.push_back(f.reading.height_m);
    if (others.size() == found.size()) return;
    if (others.empty()) {
      add_finding(out_.findings, "height-dropouts", Severity::caution, &problem_.points[found.front().place.point],
                  fmt::format("{} has heights of 0 m only, at {} places: it knows none, and they are left out.",
                              about.fit.name, found.size()));
      found.clear();
      return;
    }
    const double middle = median(others), sign = middle < 0.0 ? -1.0 : 1.0, limit = 3.0 * about.noise.sigma_m;
    const auto near_zero = std::count_if(others.begin(), others.end(), [&](double z) { return sign * z < limit; });
    if (20 * near_zero > static_cast<std::ptrdiff_t>(others.size())) return;
    const std::size_t zeros = found.size() - others.size();
    const HeightPoint* first = nullptr;
    std::erase_if(found, [&](const Found& f) {
      if (std::abs(f.reading.height_m) >= kZero) return false;
      if (first == nullptr) first = &problem_.points[f.place.point];
      return true;
    });
    add_finding(out_.findings, "height-dropouts", Severity::caution, first,
                fmt::format("{} has heights of 0 m at {} places of a field near {:.0f} m; they are left out.",
                            about.fit.name, zeros, middle));
  }

  /// Terrain says nothing about decks and tunnels, nor within a pixel of them, where it mixes both levels.
  void take_out_structures(std::vector<Found>& found, const ObservedSource& about) {
    const HeightPoint* first = nullptr;
    const bool raster = about.fit.kind == SourceKind::raster;
    const std::size_t all = found.size();
    std::erase_if(found, [&](const Found& f) {
      const bool close = raster ? f.place.on_structure || index_.structure_within(f.xy, about.pixel_m)
                                : f.place.on_structure && f.place.distance_m > kDeckReach;
      if (close && first == nullptr) first = &problem_.points[f.place.point];
      return close;
    });
    if (first != nullptr)
      add_finding(out_.findings, "height-near-structure", Severity::note, first,
                  fmt::format("{} is not used at {} places by a bridge or tunnel.", about.fit.name, all - found.size()));
  }

  /// Pixels an earlier raster gave already: the overlap of two tiles, or a file given twice.
  void take_out_repeated(std::vector<Found>& found, const ObservedSource& about) {
    const std::size_t all = found.size();
    std::erase_if(found, [&](const Found& f) {
      bool known = false;
      pixels_.near(f.xy, kSamePlace, [&](std::uint32_t k) {
        known = known || (distance_m(seen_[k].xy, f.xy) <= kSamePlace && seen_[k].reading.height_m == f.reading.height_m);
      });
      return known;
    });
    for (const Found& f : found) {
      pixels_.add(f.xy, static_cast<std::uint32_t>(seen_.size()));
      seen_.push_back(f);
    }
    if (found.size() < all)
      add_finding(out_.findings, "height-duplicates", found.empty() ? Severity::caution : Severity::note, nullptr,
                  fmt::format("{} of {} heights of {} near the network are pixels of an earlier raster and count once.",
                              all - found.size(), all, about.fit.name));
  }

  void add_rounding(ObservedSource& about, double step) {
    const double declared = about.noise.sigma_m, variance = declared * declared;
    const double rounded = variance + step * step / 12.0;  // variance of a rounding error
    about.noise.correlated_share *= variance / rounded;
    about.noise.sigma_m = std::sqrt(rounded);
    if (step >= kCoarseStep)
      add_finding(out_.findings, "height-steps", Severity::note, nullptr,
                  fmt::format("{} gives heights in steps of {:.3g} m; its noise is taken as {:.2f} m.", about.fit.name,
                              step, about.noise.sigma_m));
  }

  void keep(std::vector<Found> found, ObservedSource about) {
    about.fit.readings = found.size();
    about.fit.declared_sigma_m = about.noise.sigma_m;
    const auto number = static_cast<std::uint32_t>(out_.sources.size());
    const double cell = kCellShare * about.noise.correlation_length_m;
    std::map<std::pair<long, long>, int> cells;
    std::vector<double> heights;
    for (const Found& f : found) {
      Observation o;
      o.point = f.place.point;
      o.source = number;
      o.at = f.xy;
      o.offset = f.xy - problem_.points[o.point].xy;
      o.height_m = f.reading.height_m;
      const double sigma = f.reading.sigma_m > 0.0 ? f.reading.sigma_m : about.noise.sigma_m;
      const double across = std::hypot(o.offset.x_m, o.offset.y_m);
      o.sigma_m = std::sqrt(sigma * sigma + kCurvature * across * across * across / 3.0);
      if (about.noise.correlated_share > 0.0) {
        o.shared_m = sigma * std::sqrt(about.noise.correlated_share);
        const auto next = static_cast<int>(out_.noise.size());
        const bool apart = about.pixel_m >= cell;
        const auto [at, fresh] =
            apart ? std::pair{cells.end(), true}
                  : cells.try_emplace({std::lround(f.xy.x_m / cell), std::lround(f.xy.y_m / cell)}, next);
        o.noise = apart ? next : at->second;
        if (fresh) out_.noise.push_back({number, f.xy});
      }
      heights.push_back(o.height_m);
      out_.list.push_back(o);
    }
    if (!found.empty()) {
      about.median_m = median(std::move(heights));
      const double sigma = about.noise.sigma_m;
      out_.smallest_sigma_m = out_.smallest_sigma_m > 0.0 ? std::min(out_.smallest_sigma_m, sigma) : sigma;
    }
    out_.sources.push_back(std::move(about));
  }

  const HeightProblem& problem_;
  Observations& out_;
  NearestIndex index_;
  std::vector<LatLon> places_;
  Buckets pixels_{kPixelCell};  // of the rasters so far
  std::vector<Found> seen_;
};

}  // namespace

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

Observations observe(const HeightProblem& problem, std::span<const HeightSource* const> sources,
                     const HeightOptions& options) {
  Observations out;
  Asker asker(problem, out);
  for (const HeightSource* source : sources)
    if (source != nullptr) asker.ask(*source);
  asker.ask_map(options.line_noise, false, options.map_offset_m);
  asker.ask_map(options.tag_noise, true, options.map_offset_m);
  bring_together(problem, out);
  return out;
}

}  // namespace solotaxi::terrain
