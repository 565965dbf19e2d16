// What is taken from the sources, and what is not.
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "solotaxi/base/error.hpp"
#include "unit/terrain/estimates.hpp"

using namespace solotaxi;
using namespace solotaxi::terrain;
using namespace solotaxi::test;

TEST_CASE("voids are bridged and counted", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid(3);
  GridSource source = source_over_grid(kPlane);
  for (int x = 20; x < 24; ++x)
    for (int y = 0; y < source.rows(); ++y) source.at(x, y) = std::numeric_limits<double>::quiet_NaN();
  const HeightEstimate e = estimate(grid.problem, source);
  for (std::size_t i = 0; i < grid.problem.points.size(); ++i)
    REQUIRE(std::abs(e.height_m[i] - kPlane(grid.problem.points[i].xy)) < 1e-5);
  CHECK(has_finding(e.findings, "height-voids"));
}

TEST_CASE("heights of zero inland are dropouts, at the sea they are heights", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid(3);
  GridSource inland = source_over_grid(kPlane);
  for (int y = 0; y < inland.rows(); ++y) inland.at(30, y) = 0.0;
  const HeightEstimate e = estimate(grid.problem, inland);
  CHECK(has_finding(e.findings, "height-dropouts"));
  for (std::size_t i = 0; i < grid.problem.points.size(); ++i)
    REQUIRE(std::abs(e.height_m[i] - kPlane(grid.problem.points[i].xy)) < 1e-5);

  const HeightEstimate sea = estimate(grid.problem, source_over_grid([](LocalXY p) { return p.x_m < 800.0 ? 0.0 : 1.5; }));
  CHECK_FALSE(has_finding(sea.findings, "height-dropouts"));
  CHECK(sea.height_m[grid.lines[0][5]] == Approx(0.0).margin(0.5));
}

TEST_CASE("whole metres make no steps of three per cent", "[terrain]") {
  // A true grade of 0.4 % seen in whole metres: raw steps of 1 m within one 30 m pixel are 3.3 %.
  const Surface slope = [](LocalXY p) { return 50.0 + 0.004 * p.x_m; };
  const TaxiwayGrid grid = taxiway_grid(3);
  GridSource source = source_over_grid([&](LocalXY p) { return std::round(slope(p)); }, 30.0, 1.0);
  source.step_m = 1.0;
  const HeightEstimate e = estimate(grid.problem, source);
  CHECK(has_finding(e.findings, "height-steps"));
  CHECK(grade_rms(grid, raw_heights(grid.problem, source), slope) > 0.005);
  CHECK(grade_rms(grid, e.height_m, slope) < 0.003);
  CHECK(steepest(grid.problem, e) < 0.012);
}

TEST_CASE("points far from the network are said not to be used, and all of them far is an error", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid(1);
  const LocalFrame frame(grid_origin());
  std::vector<Reading> points{{frame.to_geodetic({100.0, 5.0}), 40.0, 0.0}, {frame.to_geodetic({100.0, 500.0}), 40.0, 0.0}};
  const HeightEstimate e = estimate(grid.problem, PointSource(points));
  CHECK(has_finding(e.findings, "survey-off-network"));
  points.erase(points.begin());
  try {
    (void)estimate(grid.problem, PointSource(points));
    FAIL("no error");
  } catch (const Error& error) {
    CHECK_THAT(error.message(), Catch::Contains("no surveyed point lies within 30 m"));
  }
}

TEST_CASE("third coordinates of lines weigh more than tags", "[terrain]") {
  TaxiwayGrid lines = taxiway_grid(1);
  for (const std::size_t k : {std::size_t{20}, std::size_t{30}, std::size_t{40}})
    lines.problem.points[lines.lines[0][k]].map_height_m = 12.0;
  TaxiwayGrid tags = lines;
  for (HeightPoint& p : tags.problem.points) p.map_height_is_tag = true;
  const std::uint32_t middle = lines.lines[0][30];
  const double sd_lines = estimate_heights(lines.problem, {}).height_sd_m[middle];
  const double sd_tags = estimate_heights(tags.problem, {}).height_sd_m[middle];
  CHECK(sd_lines < 0.1);
  CHECK(sd_tags > 5.0 * sd_lines);
}

TEST_CASE("a raster beside the field is an error that names both", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid(1);
  const GridSource source({90000.0, 0.0}, 10, 10, 30.0, kLevel);
  try {
    (void)estimate(grid.problem, source);
    FAIL("no error");
  } catch (const Error& error) {
    CHECK(error.error_class() == ErrorClass::data);
    CHECK_THAT(error.message(), Catch::Contains("raster beside the field") && Catch::Contains("grid field") &&
                                    Catch::Contains("the test grid") && Catch::Contains("-12.0"));
  }
}

TEST_CASE("where the raster ends inside the field grades become unknown", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid(1);
  const GridSource source({-201.0, -203.0}, 35, 20, 30.0, kLevel);  // to x = 819 m
  const HeightEstimate e = estimate(grid.problem, source);
  CHECK(has_finding(e.findings, "raster-ends-inside"));
  CHECK(e.height_m[grid.lines[0][40]] == Approx(40.0));
  const std::uint32_t last = grid.lines[0].back();
  CHECK(std::isnan(e.height_m[last]));
  CHECK(std::isinf(e.height_sd_m[last]));
  CHECK(e.edge_grade_sd[159] == kUnknownGradeSd);
  CHECK(e.edge_grade_sd[40] < 0.5 * kUnknownGradeSd);
}

TEST_CASE("heights of nothing but zero are no heights", "[terrain]") {
  TaxiwayGrid grid = taxiway_grid(1);
  for (HeightPoint& p : grid.problem.points) p.map_height_m = 0.0;
  const HeightEstimate e = estimate_heights(grid.problem, {});
  CHECK(has_finding(e.findings, "height-dropouts"));
  for (const double z : e.height_m) REQUIRE(std::isnan(z));
}

TEST_CASE("heights no ground has are left out and named", "[terrain]") {
  TaxiwayGrid grid = taxiway_grid(1);
  for (HeightPoint& p : grid.problem.points) p.map_height_m = 12.0;
  grid.problem.points[grid.lines[0][50]].map_height_m = 99999.0;
  grid.problem.points[grid.lines[0][60]].map_height_m = std::numeric_limits<double>::quiet_NaN();
  const HeightEstimate e = estimate_heights(grid.problem, {});
  CHECK(has_finding(e.findings, "height-impossible"));
  for (const double z : e.height_m) REQUIRE(z == Approx(12.0).margin(1e-6));
}
