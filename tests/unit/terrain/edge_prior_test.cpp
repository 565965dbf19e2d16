// Bridges and decks.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "unit/terrain/estimates.hpp"

using namespace solotaxi;
using namespace solotaxi::terrain;
using namespace solotaxi::test;

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
