// Grades that the map itself states: they count before the estimate, which is told where it disagrees.
#include <fmt/format.h>

#include <cmath>

#include "network/draft.hpp"

namespace solotaxi::network::detail {
namespace {

/// Standard deviation of a stated grade, rise over run; assumed: grades are published to a tenth of a per cent.
constexpr double kStatedSd = 0.001;
/// An estimate this far off beyond twice its own deviation disagrees; assumed.
constexpr double kDisagrees = 0.005;

/// Mean grade and its standard deviation as estimated; NaN where unknown.
std::pair<double, double> estimated(const Segment& s) {
  double variance = 0.0;
  for (std::size_t k = 0; k < s.grade_sd.size(); ++k) {
    const double share = (s.profile[k + 1].at_m - s.profile[k].at_m) / s.length_m;
    variance +=
        share * s.grade_sd[k] * s.grade_sd[k];  // neighbours hang together, so the mean is no surer than one of them
  }
  return {(s.profile.back().height_m - s.profile.front().height_m) / s.length_m, std::sqrt(variance)};
}

}  // namespace

bool follow_stated_grades(Network& net) {
  bool any = false;
  const double level_m = net.elevation ? net.elevation->value() : 0.0;
  for (Segment& s : net.segments) {
    if (!s.stated_grade) continue;
    any = true;
    const double grade = *s.stated_grade;
    const auto [mean, sd] = estimated(s);
    if (std::isfinite(mean) && std::abs(mean - grade) > kDisagrees + 2.0 * sd)
      net.findings.push_back(finding_at(
          "grade-disagrees", Severity::caution, s.source_id, s.geodetic.front(),
          fmt::format(
              "The map states a grade of {:+.2f} % for {} m of {}{}; the heights give {:+.2f} % (standard deviation "
              "{:.2f} %). What is stated counts.",
              grade * 100.0, std::lround(s.length_m), airfield::to_string(s.kind), s.name.empty() ? "" : " " + s.name,
              mean * 100.0, sd * 100.0)));
    // About the middle of what is estimated; without it about the field's elevation, as only differences count.
    const double middle_m = std::isfinite(mean) ? (s.profile.front().height_m + s.profile.back().height_m) / 2.0 : level_m;
    for (Knot& knot : s.profile) knot.height_m = middle_m + grade * (knot.at_m - s.length_m / 2.0);
    s.grade_sd.assign(s.profile.size() - 1, kStatedSd);
  }
  return any;
}

}  // namespace solotaxi::network::detail
