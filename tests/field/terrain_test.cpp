// Heights estimated from real rasters.
#include <fmt/core.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>

#include "solotaxi/io/raster.hpp"
#include "solotaxi/terrain/heights.hpp"
#include "support/shared.hpp"

using namespace solotaxi;
using namespace solotaxi::terrain;

namespace {

void add_point(HeightProblem& problem, const LocalFrame& frame, LatLon at) {
  HeightPoint point;
  point.at = at;
  point.xy = frame.to_local(at);
  problem.points.push_back(point);
}

/// Joins each point to the one before it.
void chain(HeightProblem& problem) {
  for (std::uint32_t i = 1; i < problem.points.size(); ++i)
    problem.edges.push_back({i - 1, i, geodesic_length(problem.points[i - 1].at, problem.points[i].at).value(), false});
}

HeightEstimate estimate(const HeightProblem& problem, const HeightSource& source) {
  const HeightSource* const sources[] = {&source};
  return estimate_heights(problem, sources);
}

}  // namespace

TEST_CASE("the two projections of one island raster give the same gentle grades", "[terrain][real]") {
  const auto mercator = test::shared_file("dem/EDXH_3857.tif");
  const auto degrees = test::shared_file("dem/EDXH_4326.tif");
  if (!mercator || !degrees) return;
  HeightProblem problem;
  problem.field_name = "EDXH";
  const LatLon start = LatLon::degrees(54.1868, 7.9110);
  const LocalFrame frame(start);
  problem.frame = frame;
  for (int k = 0; k <= 60; ++k) add_point(problem, frame, destination(start, Radians::degrees(150.0), Metres{10.0 * k}));
  chain(problem);
  const HeightEstimate a = estimate(problem, *io::open_raster(*mercator)),
                       b = estimate(problem, *io::open_raster(*degrees));
  for (std::size_t i = 0; i < problem.points.size(); ++i) {
    CHECK(std::abs(a.height_m[i] - b.height_m[i]) < 0.3);
    CHECK(a.height_m[i] > -2.0);  // an island field a few metres above the sea
    CHECK(a.height_m[i] < 12.0);
  }
  double apart = 0.0;
  for (std::size_t k = 0; k < problem.edges.size(); ++k) {
    const double ga = (a.height_m[k + 1] - a.height_m[k]) / problem.edges[k].length_m;
    const double gb = (b.height_m[k + 1] - b.height_m[k]) / problem.edges[k].length_m;
    apart = std::max(apart, std::abs(ga - gb));
    CHECK(a.edge_grade_sd[k] < kUnknownGradeSd);
  }
  fmt::print("island field: grades of the two projections differ by at most {:.2f} %\n", 100.0 * apart);
  CHECK(apart < 0.003);
  for (const Finding& f : a.findings) CHECK(f.code != "height-dropouts");  // the sea is no dropout here
}

TEST_CASE("a hillside far rougher than any airfield is still followed within the raster's declared noise",
          "[terrain][real]") {
  // Surveyed heights © swisstopo [S:SWISSTOPO]; slopes of about 10 %. The prior is that of airfields, so grades are smoothed here.
  const auto file = test::shared_file("dem/beggingen_3857.tif");
  const auto profile = test::shared_file("dem/beggingen_profile.csv");
  if (!file || !profile) return;
  HeightProblem problem;
  problem.field_name = "hillside";
  std::vector<double> survey;
  std::ifstream in(*profile);
  double lon = 0.0, lat = 0.0, z = 0.0;
  char comma = ',';
  const LocalFrame frame(LatLon::degrees(47.757, 8.555));
  problem.frame = frame;
  while (in >> lon >> comma >> lat >> comma >> z) {
    add_point(problem, frame, LatLon::degrees(lat, lon));
    survey.push_back(z);
  }
  chain(problem);
  const HeightEstimate e = estimate(problem, *io::open_raster(*file));
  double height_square = 0.0, grade_square = 0.0, sd = 0.0;
  std::size_t n = 0;
  for (std::size_t k = 0; k + 1 < survey.size(); ++k, ++n) {
    const double h = problem.edges[k].length_m;
    height_square += std::pow(e.height_m[k] - survey[k], 2);
    grade_square += std::pow((e.height_m[k + 1] - e.height_m[k] - survey[k + 1] + survey[k]) / h, 2);
    sd += e.edge_grade_sd[k];
  }
  const double count = static_cast<double>(n);
  fmt::print("hillside: heights wrong by {:.2f} m, grades by {:.2f} %, declared {:.2f} %\n",
             std::sqrt(height_square / count), 100.0 * std::sqrt(grade_square / count), 100.0 * sd / count);
  CHECK(std::sqrt(height_square / count) < 2.5);
  CHECK(std::sqrt(grade_square / count) < 0.035);
}
