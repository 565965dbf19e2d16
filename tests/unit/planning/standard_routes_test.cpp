#include "solotaxi/planning/standard_routes.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "solotaxi/base/error.hpp"
#include "solotaxi/planning/screen.hpp"
#include "unit/routing/drawn.hpp"

using namespace solotaxi;
using namespace solotaxi::planning;
using routing::Direction;

namespace {

// Four stands on one taxilane between two ways, A and B, to the runway.
network::Network two_ways_down() {
  return test::Drawn(
             R"(
    s   t       u   v
    |   |       |   |
  a-b---c-------d---e-f
  |                   |
  |                   |
  g---------h---------i
  |                   |
  p---------q---------r
  )",
             {"taxilane T: a b c d e f", "taxiway A: a g p", "taxiway B: f i r", "taxiway C: g h i", "taxiway D: h q",
              "stand 1: b s", "stand 2: c t", "stand 3: d u", "stand 4: e v", "runway 09/27: p r"},
             {.metres = 60.0})
      .net;
}

Screen routes_on(const network::Network& net, double trunk_kg_m) {
  ScreenRequest request;
  request.plan.route.landing_roll_m = 100.0;
  request.standard_routes = true;
  request.trunk_kg_m = trunk_kg_m;
  request.mend = 0;
  return screen(net, {}, {}, request);
}

const StandardRoute& route(const Screen& s, Direction direction, int end) {
  for (const StandardRoute& r : s.routes)
    if (r.direction == direction && r.end == end) return r;
  throw std::logic_error("no such route");
}

}  // namespace

TEST_CASE("stands are grouped by their apron, else by the first line they lead to") {
  network::Network net = two_ways_down();
  auto groups = stand_groups(net);
  REQUIRE(groups.size() == 1);
  CHECK(groups[0].name == "taxilane T");
  CHECK_FALSE(groups[0].apron);
  CHECK(groups[0].stands == std::vector<int>{0, 1, 2, 3});
  net.stands[1].apron = net.stands[2].apron = "North";
  groups = stand_groups(net);
  REQUIRE(groups.size() == 2);
  CHECK(groups[1].name == "North");
  CHECK(groups[1].apron);
  CHECK(groups[1].stands == std::vector<int>{1, 2});
}

TEST_CASE("every stand is on its group's route for every runway end and direction, never for less than its own best plan") {
  const network::Network net = two_ways_down();
  for (const double worth : {0.0, 50.0, 1e4}) {
    const Screen s = routes_on(net, worth);
    REQUIRE(s.routes.size() == 4);
    for (const StandardRoute& r : s.routes) {
      REQUIRE(r.stands.size() == 4);
      CHECK(r.length_m > 0.0);
      CHECK(r.line.size() >= 2);
      std::set<int> met;
      for (const StandOnRoute& on : r.stands) {
        met.insert(on.stand);
        REQUIRE(on.fuel_kg);
        CHECK(on.extra_kg >= -1e-9);
        CHECK(on.length_m >= r.length_m - 1e-6);
      }
      CHECK(met.size() == 4);
      CHECK(r.with_one() <= 4);
    }
  }
}

TEST_CASE("where lines are worth much, stands that would part share one way, at more fuel and less line") {
  const network::Network net = two_ways_down();
  const Screen cheap = routes_on(net, 0.0), dear = routes_on(net, 1e5);
  CHECK(dear.route_lines_m < cheap.route_lines_m - 100.0);
  double extra_cheap_kg = 0.0, extra_dear_kg = 0.0;
  for (const StandardRoute& r : cheap.routes) extra_cheap_kg += r.extra_kg();
  for (const StandardRoute& r : dear.routes) extra_dear_kg += r.extra_kg();
  CHECK(extra_dear_kg > extra_cheap_kg);
  CHECK(cheap.own_lines_m == dear.own_lines_m);
}

TEST_CASE(
    "with one stand in a group the route is its way, and costs no more than its best plan where lines are worth nothing") {
  network::Network net = two_ways_down();
  net.stands.resize(1);
  const Screen s = routes_on(net, 0.0);
  const StandardRoute& out = route(s, Direction::departure, 0);
  REQUIRE(out.stands.size() == 1);
  CHECK(out.names.front() == "T");
  CHECK(out.stands.front().extra_kg == Approx(0.0).margin(0.5));
}

TEST_CASE("two groups use each other's lines where lines are worth much") {
  network::Network net = two_ways_down();
  net.stands[0].apron = net.stands[1].apron = "West";
  net.stands[2].apron = net.stands[3].apron = "East";
  const Screen dear = routes_on(net, 1e5);
  REQUIRE(dear.groups.size() == 2);
  REQUIRE(dear.routes.size() == 8);
  std::size_t nothing_new = 0;
  for (const StandardRoute& r : dear.routes) nothing_new += r.new_m == 0.0 ? 1U : 0U;
  CHECK(nothing_new >= 3);
}

TEST_CASE("the worth of a line out of range is refused, and without being asked for no route is drawn") {
  const network::Network net = two_ways_down();
  CHECK_THROWS_AS(routes_on(net, -1.0), Error);
  CHECK_THROWS_AS(routes_on(net, std::nan("")), Error);
  ScreenRequest request;
  request.plan.route.landing_roll_m = 100.0;
  CHECK(screen(net, {}, {}, request).routes.empty());
}
