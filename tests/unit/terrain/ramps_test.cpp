// Ramps that a noisy raster hardly shows.
#include "terrain/ramps.hpp"

#include <fmt/core.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "unit/terrain/estimates.hpp"
#include "unit/terrain/noise_field.hpp"

using namespace solotaxi;
using namespace solotaxi::terrain;
using namespace solotaxi::test;

namespace {

constexpr double kGrade = 0.02, kTop = 100.0, kFoot = 600.0;  // up from x = 600 m, level for 100 m, down again

struct Seen {
  double share = 0.0;    ///< of the true grade that comes out
  double covered = 0.0;  ///< share of 10 m pieces whose 95 % interval holds the true grade
};

/// A ramp on one taxiway of an otherwise level field, seen by rasters of 30 m pixels with noise of the declared kind.
Seen see_ramp(double length_m, const NoiseModel& noise, const HeightOptions& options = {}) {
  const TaxiwayGrid grid = taxiway_grid();
  const double down = kFoot + length_m + kTop;
  const GridSource bare = source_over_grid([&](LocalXY p) {
    const double rise = std::min(p.x_m - kFoot, down + length_m - p.x_m);
    return p.y_m < 100.0 ? 40.0 + kGrade * std::clamp(rise, 0.0, length_m) : 40.0;
  });
  const NoiseField field(bare.columns(), bare.rows(), 30.0,
                         [&](double d) { return std::exp(-d / noise.correlation_length_m); });
  double sum = 0.0;
  std::size_t covered = 0, pieces = 0;
  for (unsigned seed = 1; seed <= 8; ++seed) {
    GridSource raster = bare;
    raster.noise_model = noise;
    std::mt19937 random(seed);
    std::normal_distribution<double> normal;
    const std::vector<double> shared = field.draw(random, raster.rows());
    for (int y = 0, k = 0; y < raster.rows(); ++y)
      for (int x = 0; x < raster.columns(); ++x, ++k)
        raster.at(x, y) += noise.sigma_m * (std::sqrt(noise.correlated_share) * shared[static_cast<std::size_t>(k)] +
                                            std::sqrt(1.0 - noise.correlated_share) * normal(random));
    const HeightEstimate e = estimate(grid.problem, raster, options);
    const auto& line = grid.lines[0];
    for (std::size_t k = 0; k + 1 < line.size(); ++k) {
      const double x = grid.problem.points[line[k]].xy.x_m;
      const bool rises = x > kFoot + 5.0 && x<kFoot + length_m - 15.0, falls = x> down + 5.0 && x < down + length_m - 15.0;
      if (!rises && !falls) continue;
      const double grade = (e.height_m[line[k + 1]] - e.height_m[line[k]]) / 10.0 * (rises ? 1.0 : -1.0);
      sum += grade;
      if (std::abs(grade - kGrade) <= 1.96 * e.edge_grade_sd[k]) ++covered;
      ++pieces;
    }
  }
  const auto n = static_cast<double>(pieces);
  return {sum / n / kGrade, static_cast<double>(covered) / n};
}

}  // namespace

TEST_CASE("deviations allow for ramps a raster hardly shows", "[terrain]") {
  // Shares of 10 m pieces of a 2 % ramp that a 95 % interval must hold. What white noise leaves visible is held; noise over
  // 100 m hides ramps as long as itself, and an interval that held them all would call every level taxiway unknown.
  struct Case {
    double sigma_m, correlated_share, length_m, least;
  };
  for (const Case& c :
       {Case{0.5, 0.0, 120.0, 0.90}, Case{0.5, 0.0, 200.0, 0.95}, Case{1.0, 0.0, 120.0, 0.90}, Case{1.0, 0.0, 200.0, 0.95},
        Case{2.0, 0.0, 120.0, 0.75}, Case{2.0, 0.0, 200.0, 0.92}, Case{0.5, 0.9, 120.0, 0.55}, Case{0.5, 0.9, 160.0, 0.78},
        Case{0.5, 0.9, 200.0, 0.83}, Case{1.0, 0.9, 120.0, 0.30}, Case{1.0, 0.9, 160.0, 0.43}, Case{1.0, 0.9, 200.0, 0.55},
        Case{1.0, 0.9, 300.0, 0.85}, Case{2.0, 0.9, 120.0, 0.15}, Case{2.0, 0.9, 200.0, 0.25}}) {
    const NoiseModel noise{c.sigma_m, c.correlated_share, 100.0};
    const Seen seen = see_ramp(c.length_m, noise);
    HeightOptions without;
    without.ramp_share = 0.0;
    const Seen before = see_ramp(c.length_m, noise, without);
    fmt::print(
        "a ramp of 2 % over {:.0f} m, {} noise of {:.1f} m: comes out as {:.2f} %, held by {:.0f} % of 95 % intervals "
        "({:.0f} % without an allowance for ramps)\n",
        c.length_m, c.correlated_share > 0.0 ? "correlated" : "white", c.sigma_m, 100.0 * kGrade * seen.share,
        100.0 * seen.covered, 100.0 * before.covered);
    CHECK(seen.covered >= c.least);
    CHECK(seen.covered >= before.covered);
    CHECK(seen.share == Approx(before.share));
  }
}

TEST_CASE("the length of ramps that come out with about half their grade is as said", "[terrain]") {
  for (const NoiseModel& noise : {NoiseModel{0.5, 0.9, 100.0}, NoiseModel{1.0, 0.9, 100.0}, NoiseModel{2.0, 0.9, 100.0},
                                  NoiseModel{1.0, 0.0, 100.0}, NoiseModel{2.0, 0.0, 100.0}}) {
    ObservedSource raster;
    raster.noise = noise;
    raster.pixel_m = 30.0;
    const double length = std::round(half_seen_ramp_m(raster, 1e-6) / 10.0) * 10.0;
    const Seen seen = see_ramp(length, noise);
    fmt::print("{:.1f} m of noise, {:.0f} % of it shared: of a ramp of {:.0f} m comes out {:.0f} %\n", noise.sigma_m,
               100.0 * noise.correlated_share, length, 100.0 * seen.share);
    CHECK(seen.share > 0.3);
    CHECK(seen.share < 0.75);
  }
}

TEST_CASE("a raster that hides short ramps is said to, a fine one is not", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid(2);
  CHECK(has_finding(estimate(grid.problem, source_over_grid(kLevel)).findings, "short-ramps-unseen"));
  GridSource fine = source_over_grid(kLevel, 5.0, 0.1);
  fine.noise_model.correlated_share = 0.0;
  CHECK_FALSE(has_finding(estimate(grid.problem, fine).findings, "short-ramps-unseen"));
}
