// Whether the sources measure from the same datum in the same unit.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>

#include "solotaxi/base/error.hpp"
#include "terrain/add_finding.hpp"
#include "terrain/buckets.hpp"
#include "terrain/observations.hpp"
#include "terrain/plane.hpp"

namespace solotaxi::terrain {
namespace {

constexpr double kOffsetSigmas = 1.0;   // sources that differ by more than this are brought together; assumed
constexpr double kOffsetErrors = 2.0;   // or by so many standard errors of their difference
constexpr double kFewSigmas = 2.5;      // a few heights farther off are no noise; assumed
constexpr double kGrossOffset = 10.0;   // m; more is a mistake of datum or unit, not of measurement; assumed
constexpr double kFieldOffset = 40.0;   // m; a field's pavements may lie so far below its highest point; assumed
constexpr double kFeetOffset = 15.0;    // m; likewise, where feet explain the difference
constexpr std::size_t kCommon = 5;      // places two sources must share to tell a step between them from a blunder
constexpr double kNear = 30.0;          // m; readings so near are at one place
constexpr double kFeet = 1.0 / 0.3048;  // feet in a metre

/// Ground heights taken for metres that are feet of the other's.
bool looks_like_feet(double height, double other) {
  return std::abs(other) > 10.0 && std::abs(height / other / kFeet - 1.0) < 0.05;
}

/// Likewise of a field's elevation, that of its highest point: converted they lie near it and as they are far above.
bool looks_like_feet_of_field(double height, double elevation) {
  const double apart = std::abs(height - elevation), converted = std::abs(height / kFeet - elevation);
  return height * elevation > 0.0 && apart > kFeetOffset && converted < apart / 3.0 && converted < kFieldOffset;
}

void state_datums(const Observations& observed, Findings& findings) {
  using Kind = VerticalDatum::Kind;
  const ObservedSource *ellipsoid = nullptr, *geoid = nullptr;
  std::string words;
  for (const ObservedSource& s : observed.sources) {
    const VerticalDatum& d = s.fit.datum;
    words += fmt::format("{}{} {}", words.empty() ? "" : ", ", s.fit.name,
                         d.kind == Kind::unstated    ? "does not state its vertical datum"
                         : d.kind == Kind::ellipsoid ? "has heights above the ellipsoid"
                                                     : "has heights above the geoid");
    if (!d.name.empty()) words += " (" + d.name + ")";
    if (d.offset_given) words += ", moved by the offset given";
    if (d.offset_given) continue;
    if (d.kind == Kind::ellipsoid) ellipsoid = &s;
    if (d.kind == Kind::geoid) geoid = &s;
  }
  if (ellipsoid != nullptr && geoid != nullptr)
    throw data_error(fmt::format("{} has heights above the ellipsoid, {} above the geoid; they cannot be mixed",
                                 ellipsoid->fit.name, geoid->fit.name),
                     {ellipsoid->fit.name, {}, {}}, "give the offset between them for one of the two (--height-offset)");
  if (!words.empty()) add_finding(findings, "height-datum", Severity::note, nullptr, "Vertical datums: " + words + ".");
}

void compare_with_field(const HeightProblem& problem, Observations& observed) {
  if (!problem.field_elevation_m) return;
  const double elevation = *problem.field_elevation_m;
  for (const ObservedSource& s : observed.sources) {
    if (s.fit.readings == 0) continue;
    if (looks_like_feet_of_field(s.median_m, elevation))
      add_finding(
          observed.findings, "height-looks-like-feet", Severity::serious, nullptr,
          fmt::format("Heights of {} lie near {:.0f} where the field's elevation is {:.0f} m: feet taken for metres? "
                      "Grades would be 3.28 times too steep.",
                      s.fit.name, s.median_m, elevation));
    else if (std::abs(s.median_m - elevation) > kFieldOffset)
      add_finding(observed.findings, "field-elevation-differs", Severity::caution, nullptr,
                  fmt::format("Heights of {} lie near {:.0f} m, the map gives the field's elevation as {:.0f} m: another "
                              "vertical datum, another unit, or a wrong place?",
                              s.fit.name, s.median_m, elevation));
  }
}

/// Of source `b` − source `a` where both have readings near each other.
struct Difference {
  double median_m = 0.0, standard_error_m = 0.0;
  std::size_t places = 0;
};
std::optional<Difference> difference(const Observations& observed, std::uint32_t a, std::uint32_t b) {
  Buckets places(kNear);
  std::vector<LocalXY> at;
  std::vector<double> heights;
  for (std::uint32_t k = 0; k < observed.list.size(); ++k) {
    if (observed.list[k].source != a) continue;
    places.add(observed.list[k].at, k);
    at.push_back(observed.list[k].at), heights.push_back(observed.list[k].height_m);
  }
  if (at.empty()) return std::nullopt;
  const Plane plane = fit_plane(at, heights);  // taken off, so that a slope makes no difference between places
  const auto level = [&](const Observation& o) { return o.height_m - plane.height(o.at); };
  const NoiseModel &noise_a = observed.sources[a].noise, &noise_b = observed.sources[b].noise;
  const double patch = 2.0 * std::max(noise_a.correlation_length_m, noise_b.correlation_length_m);
  std::set<std::pair<long, long>> patches;  // of which each has shared noise of its own
  std::vector<double> differences;
  for (const Observation& o : observed.list) {
    if (o.source != b) continue;
    double sum = 0.0, weight = 0.0;
    places.near(o.at, kNear, [&](std::uint32_t k) {
      const double apart = distance_m(observed.list[k].at, o.at);
      if (apart > kNear) return;
      const double w = 1.0 / (1.0 + apart);
      sum += w * level(observed.list[k]), weight += w;
    });
    if (weight <= 0.0) continue;
    differences.push_back(level(o) - sum / weight);
    patches.emplace(std::lround(o.at.x_m / patch), std::lround(o.at.y_m / patch));
  }
  if (differences.empty()) return std::nullopt;
  const auto n = static_cast<double>(differences.size()), m = static_cast<double>(patches.size());
  const auto variance = [&](const NoiseModel& noise) {
    return noise.sigma_m * noise.sigma_m * (noise.correlated_share / m + (1.0 - noise.correlated_share) / n);
  };
  return Difference{median(std::move(differences)), std::sqrt(variance(noise_a) + variance(noise_b)),
                    static_cast<std::size_t>(n)};
}

[[noreturn]] void refuse(const ObservedSource& here, const ObservedSource& other, double offset) {
  const double there = here.median_m - offset;  // the other's height at the places of this one
  const bool feet = looks_like_feet(here.median_m, there), metres = looks_like_feet(there, here.median_m);
  const std::string& in_feet = feet ? here.fit.name : other.fit.name;
  throw data_error(fmt::format("heights of {} lie {:+.1f} m from those of {}{}", here.fit.name, offset, other.fit.name,
                               feet || metres ? fmt::format("; those of {} look like feet taken for metres", in_feet) : ""),
                   {here.fit.name, {}, {}},
                   feet || metres ? "state the unit in the file, or convert it"
                                  : "different vertical datums? give the offset between them (--height-offset)");
}

/// Takes out the heights of a source of which there are too few to tell what is wrong.
void leave_out(Observations& observed, std::uint32_t source, const ObservedSource& other, const Difference& offset) {
  SourceFit& fit = observed.sources[source].fit;
  std::erase_if(observed.list, [&](const Observation& o) { return o.source == source; });
  fit.left_out = fit.readings;
  add_finding(
      observed.findings, "height-sources-differ", Severity::serious, nullptr,
      fmt::format("Heights of {} lie {:+.1f} m from those of {} at the {} place{} both know: too few to tell another "
                  "vertical datum from a blunder. They are left out; mend them, or give the offset "
                  "(--height-offset).",
                  fit.name, offset.median_m, other.fit.name, offset.places, offset.places == 1 ? "" : "s"));
}

}  // namespace

void bring_together(const HeightProblem& problem, Observations& observed) {
  state_datums(observed, observed.findings);
  compare_with_field(problem, observed);
  std::uint32_t widest = 0;
  for (std::uint32_t s = 1; s < observed.sources.size(); ++s)
    if (observed.sources[s].fit.readings > observed.sources[widest].fit.readings) widest = s;
  for (std::uint32_t s = 0; s < observed.sources.size(); ++s) {
    if (s == widest) continue;
    ObservedSource &here = observed.sources[s], &other = observed.sources[widest];
    const auto offset = difference(observed, widest, s);
    if (!offset) continue;
    const double apart = std::abs(offset->median_m), sigma = std::hypot(here.noise.sigma_m, other.noise.sigma_m);
    if (offset->places < kCommon) {
      if (apart > kFewSigmas * sigma) leave_out(observed, s, other, *offset);
      continue;
    }
    if (apart <= std::min(kOffsetSigmas * sigma, kOffsetErrors * offset->standard_error_m)) continue;
    if (apart > kGrossOffset) refuse(here, other, offset->median_m);
    here.fit.moved_by_m = -offset->median_m;
    for (Observation& o : observed.list)
      if (o.source == s) o.height_m -= offset->median_m;
    add_finding(observed.findings, "height-sources-differ",
                apart > kOffsetSigmas * sigma ? Severity::caution : Severity::note, nullptr,
                fmt::format("Heights of {} lie {:+.1f} m from those of {} (median); they are moved by that, grades keep.",
                            here.fit.name, offset->median_m, other.fit.name));
  }
}

}  // namespace solotaxi::terrain
