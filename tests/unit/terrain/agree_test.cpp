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
