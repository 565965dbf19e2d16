// Buildings and hills.
#include <fmt/core.h>

#include <algorithm>
#include <catch2/catch.hpp>

#include "unit/terrain/estimates.hpp"

using namespace solotaxi;
using namespace solotaxi::terrain;
using namespace solotaxi::test;

TEST_CASE("a building in the raster is not climbed", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid(3);
  GridSource source = source_over_grid(kLevel, 30.0, 1.0);
  source.at(30, 7) += 25.0;
  source.at(31, 7) += 25.0;
  const HeightEstimate e = estimate(grid.problem, source);
  CHECK(has_finding(e.findings, "height-outlier-group"));
  CHECK(steepest(grid.problem, e) < 0.01);
}

TEST_CASE("a long hill is ground, however little the rest of the field bends", "[terrain]") {
  // Up 2 % for 200 m, level, and down again: 4 m, eight times the declared noise, with no edge a building would have.
  const Surface hill = [](LocalXY p) {
    const double x = p.x_m;
    return 40.0 + 0.02 * std::clamp(std::min(x - 600.0, 1200.0 - x), 0.0, 200.0);
  };
  const TaxiwayGrid grid = taxiway_grid();
  const HeightEstimate e = estimate(grid.problem, source_over_grid(with_noise(hill, 0.5, 9), 30.0, 0.5));
  CHECK_FALSE(has_finding(e.findings, "height-outlier-group"));
  const auto& line = grid.lines[2];
  const double up = (e.height_m[line[78]] - e.height_m[line[62]]) / 160.0;
  fmt::print("a ramp of 2 % over 200 m, seen by a raster of 0.5 m noise: {:.2f} %\n", 100.0 * up);
  CHECK(up > 0.014);
  CHECK(up < 0.022);
}
