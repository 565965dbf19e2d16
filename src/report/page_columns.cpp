// The driven way and the ground under it as columns, thinned to what the eye sees.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "page_subject.hpp"
#include "solotaxi/units/quantity.hpp"

namespace solotaxi::report {
namespace {

constexpr double kEye = 0.003;            // of a column's range: a third of a millimetre of a track 10 cm high; assumed
constexpr std::size_t kMostSkipped = 60;  // samples between two that are kept; 120 m
constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

using Row = std::array<double, 6>;  // time, speed, needed, available, fuel, brakes

/// Numbers of no more than so far from the straight line between two others, or as absent as they.
bool on_line(double a, double b, double value, double share, double tolerance) {
  if (std::isnan(a) || std::isnan(b) || std::isnan(value)) return std::isnan(a) && std::isnan(b) && std::isnan(value);
  return std::abs(a + share * (b - a) - value) <= tolerance;
}

class Thinning {
 public:
  Thinning(const std::vector<double>& at_m, const std::vector<Row>& rows) : at_(at_m), rows_(rows) {
    for (std::size_t c = 0; c < tolerance_.size(); ++c) {
      double low = HUGE_VAL, high = -HUGE_VAL;
      for (const Row& row : rows_)
        if (std::isfinite(row[c])) low = std::min(low, row[c]), high = std::max(high, row[c]);
      tolerance_[c] = high > low ? kEye * (high - low) : 0.0;
    }
  }

  [[nodiscard]] std::vector<std::size_t> kept() const {
    std::vector<std::size_t> out{0};
    while (out.back() + 1 < rows_.size()) {
      std::size_t to = out.back() + 1;
      while (to + 1 < rows_.size() && to - out.back() < kMostSkipped && spans(out.back(), to + 1)) ++to;
      out.push_back(to);
    }
    return out;
  }

 private:
  [[nodiscard]] bool spans(std::size_t from, std::size_t to) const {
    const double way = at_[to] - at_[from];
    for (std::size_t i = from + 1; i < to; ++i) {
      if (at_[i] == at_[i - 1] || at_[i] == at_[i + 1]) return false;  // both ends of standing are kept
      const double share = (at_[i] - at_[from]) / way;
      for (std::size_t c = 0; c < tolerance_.size(); ++c)
        if (!on_line(rows_[from][c], rows_[to][c], rows_[i][c], share, tolerance_[c])) return false;
    }
    return true;
  }

  const std::vector<double>& at_;
  const std::vector<Row>& rows_;
  Row tolerance_{};
};

}  // namespace

DriveColumns drive_columns(const PageSubject& subject) {
  const Measures in(subject.units);
  const double thrust = in.thrust_unit().factor, fuel = in.fuel_unit().factor;
  std::vector<double> at_m;
  std::vector<Row> rows;
  for (const motion::Sample& s : subject.sim->samples) {
    at_m.push_back(subject.driven_from_m + s.at_m);
    rows.push_back({s.time_s, in_knots(MetresPerSecond{s.speed_mps}),
                    std::isfinite(s.thrust_needed_n) ? s.thrust_needed_n * thrust : kNone, s.thrust_available_n * thrust,
                    s.fuel_kg * fuel, s.brake_c});
  }
  // The first sample's thrusts are those of standing; the track of thrust begins with the first step.
  if (rows.size() > 1) rows[0][2] = rows[1][2], rows[0][3] = rows[1][3];
  DriveColumns out;
  for (const std::size_t i : Thinning(at_m, rows).kept()) {
    out.at_m.push_back(at_m[i]);
    std::array<std::vector<double>*, 6> columns{&out.time_s,    &out.speed_kt, &out.needed,
                                                &out.available, &out.fuel,     &out.brake_c};
    for (std::size_t c = 0; c < columns.size(); ++c) columns[c]->push_back(rows[i][c]);
  }
  return out;
}

namespace {

/// Two runs that touch and look the same are one.
bool joins(const routing::GradeRun& before, const routing::GradeRun& run) {
  constexpr double kSameGrade = 2e-4, kTouch_m = 0.01;
  if (std::abs(before.from_m + before.length_m - run.from_m) > kTouch_m) return false;
  if (std::isnan(before.grade) || std::isnan(run.grade)) return std::isnan(before.grade) && std::isnan(run.grade);
  return std::abs(before.grade - run.grade) < kSameGrade && std::abs(before.grade_sd - run.grade_sd) < kSameGrade;
}

}  // namespace

GroundColumns ground_columns(const PageSubject& subject) {
  const double factor = Measures(subject.units).length_unit().factor;
  GroundColumns out;
  const auto add = [&](double at_m, double height_m) {
    out.at_m.push_back(at_m);
    out.height.push_back(height_m * factor);
  };
  const auto end_run = [&] {
    if (out.grades.empty()) return;
    const routing::GradeRun& run = out.grades.back();
    add(run.from_m + run.length_m, run.height_m + run.grade * run.length_m);
  };
  for (const routing::Leg& leg : subject.route->legs)
    for (const routing::GradeRun& run : leg.grades) {
      if (!out.grades.empty() && joins(out.grades.back(), run)) {
        routing::GradeRun& before = out.grades.back();
        const double both_m = before.length_m + run.length_m;
        before.grade = (before.grade * before.length_m + run.grade * run.length_m) / both_m;
        before.length_m = both_m;
        continue;
      }
      end_run();
      out.grades.push_back(run);
      add(run.from_m, run.height_m);
    }
  end_run();
  return out;
}

}  // namespace solotaxi::report
