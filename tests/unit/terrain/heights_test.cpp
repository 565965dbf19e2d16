#include "solotaxi/terrain/heights.hpp"

#include <fmt/core.h>
#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "solotaxi/base/error.hpp"
#include "unit/terrain/field_grid.hpp"

using namespace solotaxi;
using namespace solotaxi::terrain;
using namespace solotaxi::test;

namespace {

const Surface kLevel = [](LocalXY) { return 40.0; };
const Surface kPlane = [](LocalXY p) { return 63.0 + 0.011 * p.x_m - 0.007 * p.y_m; };

HeightEstimate estimate(const HeightProblem& problem, const HeightSource& source, const HeightOptions& options = {}) {
  const HeightSource* const sources[] = {&source};
  return estimate_heights(problem, sources, options);
}

Surface with_noise(const Surface& ground, double sigma, unsigned seed) {
  return [ground, sigma, random = std::make_shared<std::mt19937>(seed)](LocalXY p) {
    return ground(p) + std::normal_distribution(0.0, sigma)(*random);
  };
}

std::vector<double> raw_heights(const HeightProblem& problem, const GridSource& source) {
  std::vector<double> out;
  for (const HeightPoint& p : problem.points) out.push_back(source.bilinear(p.xy));
  return out;
}

double steepest(const HeightProblem& problem, const HeightEstimate& e) {
  double worst = 0.0;
  for (const HeightEdge& k : problem.edges)
    worst = std::max(worst, std::abs(e.height_m[k.b] - e.height_m[k.a]) / k.length_m);
  return worst;
}

}  // namespace

TEST_CASE("a plane comes back to a micrometre, whatever the spacing of the points", "[terrain]") {
  for (const double step : {3.0, 10.0, 50.0}) {
    const TaxiwayGrid grid = taxiway_grid(4, step);
    const HeightEstimate e = estimate(grid.problem, source_over_grid(kPlane));
    for (std::size_t i = 0; i < grid.problem.points.size(); ++i)
      REQUIRE(std::abs(e.height_m[i] - kPlane(grid.problem.points[i].xy)) < 1e-6);
    for (const Finding& f : e.findings) CHECK(f.severity == Severity::note);
  }
}

TEST_CASE("adding a constant to every height changes no grade", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid(3);
  const HeightEstimate a = estimate(grid.problem, source_over_grid(with_noise(kPlane, 1.0, 7)));
  const HeightEstimate b =
      estimate(grid.problem, source_over_grid(with_noise([](LocalXY p) { return kPlane(p) + 500.0; }, 1.0, 7)));
  for (const HeightEdge& k : grid.problem.edges)
    REQUIRE(std::abs((a.height_m[k.b] - a.height_m[k.a]) - (b.height_m[k.b] - b.height_m[k.a])) < 1e-8);
  for (std::size_t k = 0; k < grid.problem.edges.size(); ++k) REQUIRE(a.edge_grade_sd[k] == Approx(b.edge_grade_sd[k]));
}

TEST_CASE("raster noise on a level field does not become grade", "[terrain]") {
  // The ground-movement model, section 8: 2 m noise in 30 m pixels gives raw grades wrong by 3.6 %, the joint estimate 0.35
  // to 0.7 %.
  const TaxiwayGrid grid = taxiway_grid();
  for (const double sigma : {0.5, 1.0, 2.0}) {
    const GridSource source = source_over_grid(with_noise(kLevel, sigma, 11), 30.0, sigma);
    const double raw = grade_rms(grid, raw_heights(grid.problem, source), kLevel);
    const HeightEstimate e = estimate(grid.problem, source);
    const double joint = grade_rms(grid, e.height_m, kLevel);
    fmt::print("noise {:.1f} m: grade over 50 m wrong by {:.2f} % raw, {:.2f} % joint\n", sigma, 100 * raw, 100 * joint);
    CHECK(joint < raw / 3.0);
    CHECK(joint < 0.009);
  }
}

TEST_CASE("the noise may be declared too small by half without much harm", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid();
  const GridSource source = source_over_grid(with_noise(kLevel, 2.0, 5), 30.0, 1.0);
  CHECK(grade_rms(grid, estimate(grid.problem, source).height_m, kLevel) < 0.012);
}

TEST_CASE("declared deviations fit the errors of a field drawn as declared", "[terrain]") {
  // Noise in 10 m pixels with correlated share 0.9 and length 100 m, separable exponential, drawn as a first-order process
  // in both directions; ground a gentle wave well inside the prior (gradient wander 1e-6 per metre).
  const TaxiwayGrid grid = taxiway_grid();
  const Surface ground = [](LocalXY p) { return 30.0 + 1.5 * std::sin(p.x_m / 200.0) + 1.0 * std::cos(p.y_m / 170.0); };
  double height_square = 0.0, grade_square = 0.0;
  std::size_t heights = 0, grades = 0;
  for (unsigned seed = 1; seed <= 6; ++seed) {
    std::mt19937 random(seed);
    std::normal_distribution<double> normal;
    GridSource source = source_over_grid(ground, 10.0, 1.0);
    const double rho = std::exp(-10.0 / 100.0), fresh = std::sqrt(1.0 - rho * rho);
    std::vector<double> row(static_cast<std::size_t>(source.columns()));
    for (int y = 0; y < source.rows(); ++y) {
      double along = 0.0;
      for (int x = 0; x < source.columns(); ++x) {
        along = x == 0 ? normal(random) : rho * along + fresh * normal(random);
        double& shared = row[static_cast<std::size_t>(x)];
        shared = y == 0 ? along : rho * shared + fresh * along;
        source.at(x, y) += std::sqrt(0.9) * shared + std::sqrt(0.1) * normal(random);
      }
    }
    const HeightEstimate e = estimate(grid.problem, source);
    for (std::size_t i = 0; i < grid.problem.points.size(); ++i) {
      const double t = (e.height_m[i] - ground(grid.problem.points[i].xy)) / e.height_sd_m[i];
      height_square += t * t, ++heights;
    }
    for (std::size_t k = 0; k < grid.problem.edges.size(); ++k) {
      const HeightEdge& edge = grid.problem.edges[k];
      const double truth = ground(grid.problem.points[edge.b].xy) - ground(grid.problem.points[edge.a].xy);
      const double t = (e.height_m[edge.b] - e.height_m[edge.a] - truth) / edge.length_m / e.edge_grade_sd[k];
      grade_square += t * t, ++grades;
    }
  }
  const double height_ratio = std::sqrt(height_square / static_cast<double>(heights));
  const double grade_ratio = std::sqrt(grade_square / static_cast<double>(grades));
  fmt::print("errors over declared deviations: heights {:.2f}, grades {:.2f}\n", height_ratio, grade_ratio);
  CHECK(height_ratio > 0.5);
  CHECK(height_ratio < 1.5);
  CHECK(grade_ratio > 0.4);
  CHECK(grade_ratio < 1.3);
}

TEST_CASE("twice as many points along a line do not make the heights more certain", "[terrain]") {
  const GridSource source = source_over_grid(with_noise(kLevel, 1.0, 3));
  const TaxiwayGrid coarse = taxiway_grid(3, 10.0), fine = taxiway_grid(3, 5.0);
  const HeightEstimate a = estimate(coarse.problem, source), b = estimate(fine.problem, source);
  const std::uint32_t i = coarse.lines[1][80], j = fine.lines[1][160];
  REQUIRE(distance_m(coarse.problem.points[i].xy, fine.problem.points[j].xy) < 1e-6);
  CHECK(b.height_sd_m[j] == Approx(a.height_sd_m[i]).epsilon(0.03));
  CHECK(b.height_m[j] == Approx(a.height_m[i]).margin(0.15));
}

TEST_CASE("a bridge over a cutting keeps its deck", "[terrain]") {
  // A cutting 60 m wide and 8 m deep across a level taxiway; the deck is drawn from bank to bank.
  const Surface ground = [](LocalXY p) { return p.x_m > 770.0 && p.x_m < 830.0 ? 32.0 : 40.0; };
  TaxiwayGrid grid = taxiway_grid(1);
  for (HeightPoint& p : grid.problem.points) p.on_structure = p.xy.x_m > 766.0 && p.xy.x_m < 834.0;
  for (HeightEdge& e : grid.problem.edges)
    e.on_structure = grid.problem.points[e.a].on_structure || grid.problem.points[e.b].on_structure;
  for (const double noise : {0.0, 0.3}) {
    const HeightEstimate e = estimate(grid.problem, source_over_grid(with_noise(ground, noise, 4), 30.0, 1.0));
    double worst = 0.0;
    for (const HeightEdge& k : grid.problem.edges)
      if (k.on_structure) worst = std::max(worst, std::abs(e.height_m[k.b] - e.height_m[k.a]) / k.length_m);
    CHECK(worst < 0.003);
    CHECK(has_finding(e.findings, "height-near-structure"));
  }
}

TEST_CASE("a deck between banks of different height runs evenly from one to the other", "[terrain]") {
  const Surface ground = [](LocalXY p) { return p.x_m > 770.0 && p.x_m < 830.0 ? 20.0 : 40.0 + 0.01 * (p.x_m - 800.0); };
  TaxiwayGrid grid = taxiway_grid(1);
  for (HeightPoint& p : grid.problem.points) p.on_structure = p.xy.x_m > 766.0 && p.xy.x_m < 834.0;
  for (HeightEdge& e : grid.problem.edges)
    e.on_structure = grid.problem.points[e.a].on_structure || grid.problem.points[e.b].on_structure;
  const HeightEstimate e = estimate(grid.problem, source_over_grid(ground, 30.0, 1.0));
  for (const HeightEdge& k : grid.problem.edges)
    if (k.on_structure) CHECK((e.height_m[k.b] - e.height_m[k.a]) / k.length_m == Approx(0.01).margin(0.003));
}

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

TEST_CASE("a cutting under a line that is no bridge is reported", "[terrain]") {
  const Surface ground = [](LocalXY p) { return p.x_m > 770.0 && p.x_m < 830.0 ? 32.0 : 40.0; };
  const TaxiwayGrid grid = taxiway_grid(1);
  for (const double sigma : {0.5, 1.0}) {
    const HeightEstimate e = estimate(grid.problem, source_over_grid(with_noise(ground, 0.3, 4), 30.0, sigma));
    bool said = false;
    for (const Finding& f : e.findings) said = said || f.text.find("bridge missing in the map?") != std::string::npos;
    CHECK(said);
    CHECK(has_finding(e.findings, "bridge-missing"));
    CHECK(steepest(grid.problem, e) < 0.02);
  }
}

TEST_CASE("surveyed points are followed where a raster is too noisy to see", "[terrain]") {
  // A ramp of 2 % over 120 m, down again after 60 m, surveyed every 30 m.
  const Surface ramp = [](LocalXY p) {
    return 40.0 + 0.02 * std::clamp(std::min(p.x_m - 600.0, 900.0 - p.x_m), 0.0, 120.0);
  };
  const TaxiwayGrid grid = taxiway_grid(1);
  const LocalFrame frame(grid_origin());
  std::vector<Reading> points;
  for (double x = 540.0; x <= 960.0; x += 30.0) points.push_back({frame.to_geodetic({x, 3.0}), ramp({x, 0.0}), 0.0});
  const GridSource raster = source_over_grid(with_noise(ramp, 2.0, 3));
  const PointSource survey(points);
  const HeightSource* const sources[] = {&raster, &survey};
  const HeightEstimate e = estimate_heights(grid.problem, sources);
  const auto& line = grid.lines[0];
  for (std::size_t k = 63; k < 69; ++k) {
    const double grade = (e.height_m[line[k + 1]] - e.height_m[line[k]]) / 10.0;
    CHECK(grade == Approx(0.02).margin(0.003));
    CHECK(e.edge_grade_sd[k] < 0.005);
  }
  CHECK(e.height_m[line[75]] == Approx(42.4).margin(0.15));
  CHECK_FALSE(has_finding(e.findings, "height-outlier-group"));
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

TEST_CASE("noise that contradicts what is declared is said", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid();
  CHECK(has_finding(estimate(grid.problem, source_over_grid(with_noise(kLevel, 3.0, 5), 30.0, 0.5)).findings,
                    "height-noise-understated"));
  CHECK(has_finding(estimate(grid.problem, source_over_grid(with_noise(kLevel, 0.2, 5), 30.0, 2.0)).findings,
                    "height-noise-overstated"));
  const HeightEstimate honest = estimate(grid.problem, source_over_grid(with_noise(kLevel, 1.0, 5), 30.0, 1.0));
  CHECK_FALSE(has_finding(honest.findings, "height-noise-understated"));
  CHECK_FALSE(has_finding(honest.findings, "height-noise-overstated"));
}

TEST_CASE("ground rougher than airfields runs into the bound, and that is said", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid();
  const Surface rough = [](LocalXY p) { return 40.0 + 3.0 * std::sin(p.x_m / 25.0) * std::cos(p.y_m / 30.0); };
  const HeightEstimate e = estimate(grid.problem, source_over_grid(with_noise(rough, 0.2, 5), 10.0, 0.5));
  CHECK(e.gradient_wander_per_m == Approx(4e-6).epsilon(0.1));
  CHECK(has_finding(e.findings, "height-noise-like-terrain"));
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

TEST_CASE("without sources and map heights nothing is known", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid(1);
  const HeightEstimate e = estimate_heights(grid.problem, {});
  for (const double z : e.height_m) REQUIRE(std::isnan(z));
  for (const double sd : e.edge_grade_sd) REQUIRE(sd == kUnknownGradeSd);
  CHECK(estimate_heights(HeightProblem{}, {}).height_m.empty());
}

TEST_CASE("heights of the map alone carry the line between them", "[terrain]") {
  TaxiwayGrid grid = taxiway_grid(1);
  for (const std::size_t k : {std::size_t{0}, std::size_t{20}, std::size_t{40}, std::size_t{60}}) {
    HeightPoint& p = grid.problem.points[grid.lines[0][k]];
    p.map_height_m = 10.0 + 0.01 * p.xy.x_m;
  }
  const HeightEstimate e = estimate_heights(grid.problem, {});
  CHECK(e.height_m[grid.lines[0][30]] == Approx(13.0).margin(1e-6));
  CHECK(e.height_sd_m[grid.lines[0][20]] < 0.5);
  CHECK(std::isnan(e.height_m[grid.lines[0].back()]));  // 1 km beyond the last of them
}

TEST_CASE("each island is estimated on its own, an unseen one stays unknown", "[terrain]") {
  TaxiwayGrid grid = taxiway_grid(2);
  const auto seen = add_line(grid.problem, {500.0, 300.0}, {700.0, 350.0});
  const auto unseen = add_line(grid.problem, {5000.0, 300.0}, {5200.0, 300.0});
  const HeightEstimate e = estimate(grid.problem, source_over_grid(kPlane));
  for (const std::uint32_t i : seen) CHECK(e.height_m[i] == Approx(kPlane(grid.problem.points[i].xy)).margin(1e-6));
  for (const std::uint32_t i : unseen) CHECK(std::isnan(e.height_m[i]));
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

TEST_CASE("unusable edges and options are refused", "[terrain]") {
  TaxiwayGrid grid = taxiway_grid(1);
  HeightOptions options;
  options.wander_least_per_m = 0.0;
  CHECK_THROWS_AS(estimate_heights(grid.problem, {}, options), Error);
  grid.problem.edges[3].length_m = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(estimate_heights(grid.problem, {}), Error);
  grid.problem.edges[3] = {0, 100000, 10.0, false};
  CHECK_THROWS_AS(estimate_heights(grid.problem, {}), Error);
}

TEST_CASE("any plane comes back on any random tree of taxiways", "[terrain]") {
  CHECK(rc::check("planes are exact", [] {
    const double gx = *rc::gen::inRange(-28, 28) * 1e-3, gy = *rc::gen::inRange(-28, 28) * 1e-3,
                 z0 = *rc::gen::inRange(20, 900);
    const Surface plane = [=](LocalXY p) { return z0 + gx * (p.x_m - 800.0) + gy * (p.y_m - 400.0) + 60.0; };
    HeightProblem problem;
    problem.frame = LocalFrame(grid_origin());
    LocalXY at{*rc::gen::inRange(0, 1600) * 1.0, *rc::gen::inRange(0, 800) * 1.0};
    const int lines = *rc::gen::inRange(1, 6);
    for (int k = 0; k < lines; ++k) {
      const LocalXY to{*rc::gen::inRange(0, 1600) * 1.0, *rc::gen::inRange(0, 800) * 1.0};
      if (distance_m(at, to) < 5.0) continue;
      add_line(problem, at, to, 12.0);
      at = to;
    }
    if (problem.points.empty()) return;
    const HeightEstimate e = estimate(problem, source_over_grid(plane));
    for (std::size_t i = 0; i < problem.points.size(); ++i)
      RC_ASSERT(std::abs(e.height_m[i] - plane(problem.points[i].xy)) < 1e-5);
  }));
}
