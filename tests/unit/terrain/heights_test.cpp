#include "solotaxi/terrain/heights.hpp"

#include <fmt/core.h>
#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "solotaxi/base/error.hpp"
#include "unit/terrain/estimates.hpp"

using namespace solotaxi;
using namespace solotaxi::terrain;
using namespace solotaxi::test;

TEST_CASE("a plane comes back to a micrometre, whatever the spacing of the points", "[terrain]") {
  for (const double step : {3.0, 10.0, 50.0}) {
    const TaxiwayGrid grid = taxiway_grid(4, step);
    const HeightEstimate e = estimate(grid.problem, source_over_grid(kPlane));
    for (std::size_t i = 0; i < grid.problem.points.size(); ++i)
      REQUIRE(std::abs(e.height_m[i] - kPlane(grid.problem.points[i].xy)) < 1e-6);
    for (const Finding& f : e.findings) CHECK((f.severity == Severity::note || f.code == "short-ramps-unseen"));
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

TEST_CASE("unusable edges are refused", "[terrain]") {
  TaxiwayGrid grid = taxiway_grid(1);
  grid.problem.edges[3].length_m = 0.0;
  CHECK_THROWS_AS(estimate_heights(grid.problem, {}), Error);
  grid.problem.edges[3].length_m = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(estimate_heights(grid.problem, {}), Error);
  grid.problem.edges[3] = {0, 100000, 10.0, false};
  CHECK_THROWS_AS(estimate_heights(grid.problem, {}), Error);
}

TEST_CASE("options out of range are refused by name", "[terrain]") {
  const TaxiwayGrid grid = taxiway_grid(1);
  const auto refusal = [&](auto change) {
    HeightOptions options;
    change(options);
    try {
      (void)estimate_heights(grid.problem, {}, options);
    } catch (const Error& error) {
      return error.error_class() == ErrorClass::usage ? error.message() : std::string("another class");
    }
    return std::string();
  };
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK_THAT(refusal([](HeightOptions& o) { o.wander_least_per_m = 0.0; }),
             Catch::Contains("least wander") && Catch::Contains("1e-09 to 0.1 per m"));
  CHECK_THAT(refusal([](HeightOptions& o) { o.wander_most_per_m = 1.0; }), Catch::Contains("most wander"));
  CHECK_THAT(refusal([&](HeightOptions& o) { o.wander_median_per_m = nan; }), Catch::Contains("median wander"));
  CHECK_THAT(refusal([](HeightOptions& o) { o.wander_log_sd = 0.0; }), Catch::Contains("logarithm of the wander"));
  CHECK_THAT(refusal([](HeightOptions& o) { o.ramp_share = 0.6; }), Catch::Contains("share of ramps"));
  CHECK_THAT(refusal([](HeightOptions& o) { o.wander_least_per_m = 5e-6; }), Catch::Contains("over the most"));
  CHECK_THAT(refusal([&](HeightOptions& o) { o.map_offset_m = nan; }), Catch::Contains("offset"));
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
      if (distance_m(at, to) < 90.0) continue;  // on fewer pixels a plane is not known
      add_line(problem, at, to, 12.0);
      at = to;
    }
    if (problem.points.empty()) return;
    const HeightEstimate e = estimate(problem, source_over_grid(plane));
    for (std::size_t i = 0; i < problem.points.size(); ++i)
      RC_ASSERT(std::abs(e.height_m[i] - plane(problem.points[i].xy)) < 1e-5);
  }));
}

TEST_CASE("heights along one taxiway alone say nothing of a slope across it", "[terrain]") {
  // A bridge drawn with heights on a field without a raster: the line strays from a straight one by a millimetre.
  const TaxiwayGrid grid = taxiway_grid(3);
  const LocalFrame frame(grid_origin());
  std::vector<Reading> points;
  for (int k = 0; k <= 40; ++k) {
    const LocalXY p{400.0 + 0.001 * (k % 3), 20.0 + 8.0 * k};
    const double ramp = 0.02 * std::max(0.0, 80.0 - std::abs(p.y_m - 180.0));
    points.push_back({frame.to_geodetic(p), 15.0 + ramp, 0.1});
  }
  const HeightEstimate e = estimate(grid.problem, PointSource(points));
  for (std::size_t k = 0; k < grid.problem.edges.size(); ++k) {
    const HeightEdge& edge = grid.problem.edges[k];
    const double grade = (e.height_m[edge.b] - e.height_m[edge.a]) / edge.length_m;
    if (std::isfinite(grade)) REQUIRE(std::abs(grade) < 0.05);
  }
  for (const Finding& f : e.findings) CHECK(f.code != "grade-implausible");
}

TEST_CASE("the smallest networks are estimated, or called unknown", "[terrain]") {
  const LocalFrame frame(grid_origin());
  const auto at = [&](LocalXY p) {
    HeightPoint point;
    point.xy = p, point.at = frame.to_geodetic(p);
    return point;
  };
  HeightProblem problem;
  problem.frame = frame;
  problem.points = {at({300.0, 300.0}), at({300.5, 300.0})};
  problem.edges = {{0, 1, 0.5, false}};
  const GridSource raster = source_over_grid(kPlane);
  const HeightEstimate pair = estimate(problem, raster);
  for (std::size_t i = 0; i < 2; ++i)
    CHECK(std::abs(pair.height_m[i] - kPlane(problem.points[i].xy)) < 3.0 * pair.height_sd_m[i]);
  CHECK(pair.edge_grade_sd[0] > 0.005);  // a few pixels about one place tell no grade
  // A single point, a loop without inner points, and one with a reading only far away.
  problem.points.push_back(at({900.0, 500.0}));
  problem.edges.push_back({2, 2, 40.0, false});
  problem.points.push_back(at({1200.0, 700.0}));
  problem.points.push_back(at({90000.0, 700.0}));
  const HeightEstimate odd = estimate(problem, raster);
  CHECK(odd.edge_grade_sd[1] == kUnknownGradeSd);
  CHECK(std::abs(odd.height_m[3] - kPlane(problem.points[3].xy)) < 3.0 * odd.height_sd_m[3]);
  CHECK(std::isnan(odd.height_m[4]));
  // One reading in all.
  const PointSource one({{frame.to_geodetic({300.0, 300.0}), 50.0, 0.0}});
  problem.points.resize(2);
  problem.edges.resize(1);
  const HeightEstimate lone = estimate(problem, one);
  CHECK(lone.height_m[0] == Approx(50.0).margin(0.1));
  CHECK(lone.edge_grade_sd[0] == Approx(kUnknownGradeSd).epsilon(0.01));
}

TEST_CASE("a network that is all bridge takes its heights from nowhere", "[terrain]") {
  TaxiwayGrid grid = taxiway_grid(1);
  for (HeightPoint& p : grid.problem.points) p.on_structure = true;
  for (HeightEdge& e : grid.problem.edges) e.on_structure = true;
  const HeightEstimate e = estimate(grid.problem, source_over_grid(kPlane));
  for (const double z : e.height_m) REQUIRE(std::isnan(z));
  for (const double sd : e.edge_grade_sd) REQUIRE(sd == kUnknownGradeSd);
}
