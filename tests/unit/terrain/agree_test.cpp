// Sources beside each other.
#include <catch2/catch.hpp>
#include <cmath>

#include "solotaxi/base/error.hpp"
#include "unit/terrain/estimates.hpp"

using namespace solotaxi;
using namespace solotaxi::terrain;
using namespace solotaxi::test;

TEST_CASE("heights above the ellipsoid and above the geoid are not mixed unless the step is given", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid(2);
  GridSource a = source_over_grid(kPlane), b = source_over_grid(kPlane);
  a.stated_datum = {VerticalDatum::Kind::geoid, "EGM2008 height", false};
  b.stated_datum = {VerticalDatum::Kind::ellipsoid, "WGS 84", false};
  const HeightSource* const sources[] = {&a, &b};
  try {
    (void)estimate_heights(grid.problem, sources);
    FAIL("no error");
  } catch (const Error& error) {
    CHECK(error.error_class() == ErrorClass::data);
    CHECK_THAT(error.message(), Catch::Contains("ellipsoid") && Catch::Contains("geoid"));
  }
  b.stated_datum.offset_given = true;
  const HeightEstimate e = estimate_heights(grid.problem, sources);
  CHECK(has_finding(e.findings, "height-datum"));
  CHECK(e.sources.size() == 2);
}

TEST_CASE("sources tens of metres apart are an error, and feet are named", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid(2);
  const GridSource metres = source_over_grid(kPlane);
  const GridSource high = source_over_grid([](LocalXY p) { return kPlane(p) + 47.0; });
  const GridSource feet = source_over_grid([](LocalXY p) { return kPlane(p) / 0.3048; });
  const auto refusal = [&](const GridSource& other) {
    const HeightSource* const sources[] = {&metres, &other};
    try {
      (void)estimate_heights(grid.problem, sources);
    } catch (const Error& error) {
      return error.message();
    }
    return std::string();
  };
  CHECK_THAT(refusal(high), Catch::Contains("+47.0 m"));
  CHECK_THAT(refusal(feet), Catch::Contains("feet taken for metres"));
  TaxiwayGrid known = taxiway_grid(2);
  known.problem.field_elevation_m = 70.0;
  CHECK(has_finding(estimate(known.problem, feet).findings, "height-looks-like-feet"));
  CHECK_FALSE(has_finding(estimate(known.problem, metres).findings, "height-looks-like-feet"));
  known.problem.field_elevation_m = 400.0;
  CHECK(has_finding(estimate(known.problem, metres).findings, "field-elevation-differs"));
}

TEST_CASE("two sources on different datums make no step", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid(2);
  const GridSource wide = source_over_grid(kPlane);
  const GridSource east({700.0, -203.0}, 50, 40, 30.0, [](LocalXY p) { return kPlane(p) + 8.0; });
  const HeightSource* const sources[] = {&wide, &east};
  const HeightEstimate e = estimate_heights(grid.problem, sources);
  CHECK(has_finding(e.findings, "height-sources-differ"));
  for (std::size_t i = 0; i < grid.problem.points.size(); ++i)
    REQUIRE(std::abs(e.height_m[i] - kPlane(grid.problem.points[i].xy)) < 1e-5);
}

TEST_CASE("feet are seen on a low field too", "[terrain]") {
  TaxiwayGrid grid = taxiway_grid(2);
  grid.problem.field_elevation_m = 17.0;  // of its highest point
  const auto ground = [](LocalXY p) { return 14.0 + 0.001 * p.x_m; };
  CHECK(has_finding(estimate(grid.problem, source_over_grid([&](LocalXY p) { return ground(p) / 0.3048; })).findings,
                    "height-looks-like-feet"));
  CHECK_FALSE(has_finding(estimate(grid.problem, source_over_grid(ground)).findings, "height-looks-like-feet"));
}

TEST_CASE("a step far smaller than the noise is taken off where many places tell it", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid();
  const GridSource west({-201.0, -203.0}, 40, 48, 30.0, with_noise(kPlane, 0.3, 1));
  const GridSource east({301.0, -203.0}, 60, 48, 30.0, with_noise([](LocalXY p) { return kPlane(p) + 1.5; }, 0.3, 2));
  const HeightSource* const sources[] = {&west, &east};
  const HeightEstimate e = estimate_heights(grid.problem, sources);
  CHECK(has_finding(e.findings, "height-sources-differ"));
  CHECK(std::abs(std::abs(e.sources[0].moved_by_m + e.sources[1].moved_by_m) - 1.5) < 0.2);
  CHECK(grade_rms(grid, e.height_m, kPlane) < 0.001);
}

TEST_CASE("a few heights that contradict a raster are left out and named", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid(2);
  const LocalFrame frame(grid_origin());
  const GridSource raster = source_over_grid(with_noise(kLevel, 0.5, 3), 30.0, 1.0);
  for (const double off : {7.0, 100.0}) {
    const PointSource survey(
        {{frame.to_geodetic({500.0, 3.0}), 40.0 + off, 0.0}, {frame.to_geodetic({700.0, 3.0}), 40.0 + off, 0.0}});
    const HeightSource* const sources[] = {&raster, &survey};
    const HeightEstimate e = estimate_heights(grid.problem, sources);
    bool said = false;
    for (const Finding& f : e.findings)
      said = said || (f.code == "height-sources-differ" && f.severity == Severity::serious);
    CHECK(said);
    CHECK(e.sources[1].left_out == 2);
    CHECK(steepest(grid.problem, e) < 0.01);
  }
}

TEST_CASE("a raster given twice counts once", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid(2);
  const GridSource raster = source_over_grid(with_noise(kLevel, 1.0, 3), 30.0, 1.0);
  const HeightSource* const twice[] = {&raster, &raster};
  const HeightEstimate a = estimate(grid.problem, raster), b = estimate_heights(grid.problem, twice);
  CHECK(has_finding(b.findings, "height-duplicates"));
  for (std::size_t k = 0; k < grid.problem.edges.size(); ++k) REQUIRE(a.edge_grade_sd[k] == Approx(b.edge_grade_sd[k]));
}

TEST_CASE("two rasters made of one measurement are named", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid();
  const GridSource raster = source_over_grid(with_noise(kLevel, 1.0, 3), 30.0, 1.0);
  const auto resampled = [&](LocalXY p) {
    const double z = raster.bilinear(p);
    return std::isnan(z) ? 40.0 : z;
  };
  const GridSource again({-197.0, -199.0}, 67, 47, 30.0, resampled, 1.0);
  const GridSource other({-197.0, -199.0}, 67, 47, 30.0, with_noise(kLevel, 1.0, 4), 1.0);
  const HeightSource *const alike[] = {&raster, &again}, *const apart[] = {&raster, &other};
  CHECK(has_finding(estimate_heights(grid.problem, alike).findings, "height-sources-alike"));
  CHECK_FALSE(has_finding(estimate_heights(grid.problem, apart).findings, "height-sources-alike"));
}
