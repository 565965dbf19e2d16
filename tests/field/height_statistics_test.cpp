// How wrong grades are, and how honest their deviations, on the geometry of whole fields with noise of known kind.
#include <fmt/core.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <optional>
#include <string>

#include "field/field_heights.hpp"
#include "support/shared.hpp"
#include "terrain/nearest.hpp"

using namespace solotaxi;
using namespace solotaxi::terrain;
using namespace solotaxi::test;

namespace {

constexpr unsigned kAllSeeds = 30;
#if defined(__SANITIZE_ADDRESS__)
constexpr unsigned kSeeds = 3;  // the sanitizers look for faults, not at statistics
#else
constexpr unsigned kSeeds = kAllSeeds;
#endif
constexpr double kKnots = 20.0;   // m; the estimate is the same at any spacing, and this is fast
constexpr double kLevel = 500.0;  // far from 0 even where a drawn ground runs down for kilometres

/// Noise of the declared kind: the share of it that is common fades as exp(−distance/length), the rest is white.
class DeclaredNoise {
 public:
  DeclaredNoise(const GridSource& like, NoiseModel model, bool gaussian = false)
      : model_(model), field_(like.columns(), like.rows(), 30.0, [=](double d) {
          const double t = d / model.correlation_length_m;
          return std::exp(gaussian ? -t * t : -t);
        }) {}
  void add(GridSource& raster, std::mt19937& random) const {
    std::normal_distribution<double> normal;
    const std::vector<double> shared = field_.draw(random, raster.rows());
    for (int y = 0, k = 0; y < raster.rows(); ++y)
      for (int x = 0; x < raster.columns(); ++x, ++k)
        raster.at(x, y) += model_.sigma_m * (std::sqrt(model_.correlated_share) * shared[static_cast<std::size_t>(k)] +
                                             std::sqrt(1.0 - model_.correlated_share) * normal(random));
  }

 private:
  NoiseModel model_;
  NoiseField field_;
};

HeightEstimate estimate(const FieldHeights& field, const GridSource& raster) {
  const HeightSource* const sources[] = {&raster};
  return estimate_heights(field.problem, sources);
}

struct Case {
  double sigma_m;
  bool correlated;
  double limit;  // of the root mean square of grade errors over 50 m
};
constexpr Case kCases[] = {{0.5, false, 0.0030}, {1.0, false, 0.0035}, {2.0, false, 0.0045},
                           {4.0, false, 0.0055}, {1.0, true, 0.0050},  {2.0, true, 0.0065}};

void check_level_field(const std::filesystem::path& map, const std::string& name) {
  const FieldHeights field = field_heights(network_of(map, kKnots));
  for (const Case& c : kCases) {
    GradeErrors joint, raw;
    double wander = 0.0, sd = 0.0;
    std::size_t edges = 0;
    const GridSource level = raster_over(field, kLevel, c.sigma_m);
    const DeclaredNoise noise(level, {c.sigma_m, c.correlated ? 0.9 : 0.0, 100.0});
    for (unsigned seed = 1; seed <= kSeeds; ++seed) {
      GridSource raster = level;
      std::mt19937 random(seed);
      noise.add(raster, random);
      const HeightEstimate e = estimate(field, raster);
      add_window_errors(
          field, [&](std::uint32_t i) { return e.height_m[i] - kLevel; }, joint);
      add_window_errors(
          field, [&](std::uint32_t i) { return raster.bilinear(field.problem.points[i].xy) - kLevel; }, raw);
      wander += std::log(e.gradient_wander_per_m) / kSeeds;
      for (const double s : e.edge_grade_sd) sd += s, ++edges;
    }
    fmt::print(
        "{} {:.0f} m, level, {} noise of {:.1f} m: grade over 50 m wrong by {:.2f} % joint, {:.2f} % bilinear, {:.2f} % "
        "declared, q {:.1e}\n",
        name, field.length_m, c.correlated ? "correlated" : "white", c.sigma_m, 100.0 * joint.rms(), 100.0 * raw.rms(),
        100.0 * sd / static_cast<double>(edges), std::exp(wander));
    CHECK(joint.rms() <= c.limit);
    CHECK(500 * joint.unknown <= joint.windows);  // ends of lines beside bridges, far from any pixel used
    if (c.sigma_m >= 2.0) CHECK(joint.rms() <= raw.rms() / 4.0);
  }
}

/// Share of errors within one and within 1.96 standard deviations.
struct Coverage {
  std::size_t within_1 = 0, within_2 = 0, all = 0;
  void add(double error, double sd) {
    ++all;
    if (std::abs(error) <= sd) ++within_1;
    if (std::abs(error) <= 1.96 * sd) ++within_2;
  }
  [[nodiscard]] double one() const { return static_cast<double>(within_1) / static_cast<double>(all); }
  [[nodiscard]] double two() const { return static_cast<double>(within_2) / static_cast<double>(all); }
};

enum class Kind { as_declared, gaussian, whole_metres, dropouts, building };

/// Truth drawn from the prior of median wander, seen through noise of 1 m of the declared kind, and then spoilt.
void check_coverage(const std::filesystem::path& map, const std::string& name, Kind kind, const char* words) {
  const FieldHeights field = field_heights(network_of(map, kKnots));
  const GroundPrior prior(field.problem, 1e-6);
  const NearestIndex nearest(field.problem);
  GridSource level = raster_over(field, kLevel, 1.0);
  if (kind == Kind::whole_metres) level.step_m = 1.0;
  const DeclaredNoise noise(level, {1.0, 0.9, 100.0}, kind == Kind::gaussian);
  Coverage grades, heights;
  // Within 5 points either way asks for all the seeds: three of them lie further out by chance.
  const unsigned seeds = kind == Kind::as_declared ? kAllSeeds : kSeeds;
  for (unsigned seed = 1; seed <= seeds; ++seed) {
    std::mt19937 random(1000 + seed);
    const DrawnGround ground = prior.draw(random, kLevel);
    GridSource raster = level;
    std::uniform_real_distribution<double> uniform;
    for (int y = 0; y < raster.rows(); ++y)
      for (int x = 0; x < raster.columns(); ++x) {
        const LocalXY at = raster.centre(x, y);
        const auto place = nearest.find(at, 40.0);
        if (!place) continue;
        const LocalXY d = at - field.problem.points[place->point].xy;
        raster.at(x, y) =
            ground.height_m[place->point] + ground.east[place->point] * d.x_m + ground.north[place->point] * d.y_m;
      }
    noise.add(raster, random);
    // A building of 15 m whose edge lies along the network for 150 m.
    const LocalXY corner = field.problem.points[random() % field.problem.points.size()].xy;
    for (int y = 0; y < raster.rows(); ++y)
      for (int x = 0; x < raster.columns(); ++x) {
        const LocalXY at = raster.centre(x, y) - corner;
        if (kind == Kind::building && at.x_m > 0.0 && at.x_m < 150.0 && at.y_m > 0.0 && at.y_m < 60.0)
          raster.at(x, y) += 15.0;
        if (kind == Kind::whole_metres) raster.at(x, y) = std::round(raster.at(x, y));
        if (kind == Kind::dropouts && uniform(random) < 0.1) raster.at(x, y) = 0.0;
      }
    const HeightEstimate e = estimate(field, raster);
    for (std::size_t i = 0; i < field.problem.points.size(); ++i)
      if (std::isfinite(e.height_m[i])) heights.add(e.height_m[i] - ground.height_m[i], e.height_sd_m[i]);
    for (std::size_t k = 0; k < field.problem.edges.size(); ++k) {
      const HeightEdge& edge = field.problem.edges[k];
      if (edge.length_m < 5.0 || !std::isfinite(e.height_m[edge.a] + e.height_m[edge.b])) continue;
      const double error =
          (e.height_m[edge.b] - e.height_m[edge.a] - ground.height_m[edge.b] + ground.height_m[edge.a]) / edge.length_m;
      grades.add(error, e.edge_grade_sd[k]);
    }
  }
  fmt::print("{}, {}: within 68 and 95 % intervals lie {:.1f} and {:.1f} % of grades, {:.1f} and {:.1f} % of heights\n",
             name, words, 100.0 * grades.one(), 100.0 * grades.two(), 100.0 * heights.one(), 100.0 * heights.two());
  if (kind == Kind::as_declared) {
    CHECK(std::abs(grades.one() - 0.68) <= 0.05);
    CHECK(std::abs(grades.two() - 0.95) <= 0.05);
  } else {
    CHECK(grades.one() >= 0.63);
    CHECK(grades.two() >= 0.90);
  }
}

std::filesystem::path demo_map() { return std::filesystem::path(SOLOTAXI_ROOT) / "data/demo/field.geojson"; }

}  // namespace

TEST_CASE("noise on a level field makes little grade: the demo field", "[terrain]") {
  check_level_field(demo_map(), "demo");
}

TEST_CASE("noise on a level field makes little grade: a real field", "[terrain][real]") {
  if (const auto map = shared_file("airports/LMML/aeroway.osm")) check_level_field(*map, "LMML");
}

TEST_CASE("intervals of grades hold what they promise", "[terrain]") {
  check_coverage(demo_map(), "demo", Kind::as_declared, "noise as declared");
  check_coverage(demo_map(), "demo", Kind::gaussian, "correlation of another shape");
  check_coverage(demo_map(), "demo", Kind::whole_metres, "whole metres");
  check_coverage(demo_map(), "demo", Kind::dropouts, "a tenth dropped out");
  check_coverage(demo_map(), "demo", Kind::building, "beside a building");
}

TEST_CASE("intervals of grades hold what they promise: a real field", "[terrain][real]") {
  const auto map = shared_file("airports/LMML/aeroway.osm");
  if (!map) return;
  check_coverage(*map, "LMML", Kind::as_declared, "noise as declared");
  check_coverage(*map, "LMML", Kind::gaussian, "correlation of another shape");
  check_coverage(*map, "LMML", Kind::whole_metres, "whole metres");
  check_coverage(*map, "LMML", Kind::dropouts, "a tenth dropped out");
  check_coverage(*map, "LMML", Kind::building, "beside a building");
}
