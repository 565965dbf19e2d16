// What is said about heights that do not fit.
#include <catch2/catch.hpp>
#include <cmath>

#include "unit/terrain/estimates.hpp"

using namespace solotaxi;
using namespace solotaxi::terrain;
using namespace solotaxi::test;

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
