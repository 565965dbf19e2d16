// Routes over drawn fields: what they lead over, and what they cost.
#include "solotaxi/routing/route.hpp"

#include "solotaxi/base/error.hpp"
#include "unit/routing/drawn.hpp"
#include "unit/routing/route_check.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;

TEST_CASE("routes over a drawn field lead where a person would go") {
  const Drawn f = two_ways();
  struct Row {
    Ask ask;
    const char *way, *uses;
  };
  const std::vector<Row> rows = {
      {{"stand:1", "runway:09"}, "push A B", "line-up 09/27"},
      {{"stand:1", "runway:27"}, "push A D", "line-up 09/27"},
      {{"stand:2", "runway:27"}, "push A D", "line-up 09/27"},
      {{"stand:1", "runway:09@C"}, "push A C", "line-up 09/27"},
      {{"stand:1", f.node('n')}, "1 A C E", "crossing 09/27"},
      {{f.node('n'), "stand:2"}, "E C A 2", "crossing 09/27"},
      {{"runway:09@C", "stand:1"}, "C A 1", "exit 09/27"},
      {{.from = "runway:09", .to = "stand:2", .landing_roll_m = 100.0}, "C A 2", "exit 09/27"},
      {{.from = "runway:09", .to = "stand:2", .landing_roll_m = 300.0}, "D A 2", "exit 09/27"},
      {{"hold:B1", "hold:D1"}, "B A D", ""},
  };
  for (const Row& row : rows) {
    INFO(row.ask.from << " to " << row.ask.to);
    const Route route = route_of(f.net, row.ask);
    check_route(f.net, route);
    CHECK(way_of(route) == row.way);
    CHECK(uses_of(route) == row.uses);
  }
}

TEST_CASE("stand to runway is a departure, runway to stand an arrival, anything else plain taxi") {
  const Drawn f = two_ways();
  CHECK(route_of(f.net, {"stand:1", "runway:09"}).direction == Direction::departure);
  CHECK(route_of(f.net, {.from = "runway:09", .to = "stand:1", .landing_roll_m = 100.0}).direction == Direction::arrival);
  CHECK(route_of(f.net, {"stand:1", "stand:2"}).direction == Direction::taxi);
  CHECK(route_of(f.net, {f.node('a'), "runway:09"}).direction == Direction::taxi);
  const Route forced = route_of(f.net, {.from = f.node('a'), .to = "runway:27", .direction = Direction::departure});
  CHECK(forced.push_back_s == 120.0);  // default, common practice, no source
  CHECK(says(forced, "push-back-assumed"));
  CHECK_THROWS_AS(ask_route(f.net, {.from = "stand:1", .to = "stand:2", .direction = Direction::arrival}), Error);
  CHECK_THROWS_AS(ask_route(f.net, {.from = "stand:1", .to = "stand:2", .direction = Direction::departure}), Error);
  CHECK_THROWS_AS(ask_route(f.net, {.from = "runway:09", .to = "runway:27", .direction = Direction::arrival}), Error);
  CHECK_THROWS_AS(ask_route(f.net, {"stand:1", "stand:1"}), Error);
}

TEST_CASE("a push back counts its length, 120 s and the standing flow, and leaves the heading free") {
  const Drawn f = two_ways();
  const Route route = route_of(f.net, {"stand:1", "runway:09"});
  REQUIRE(route.legs.front().push_back);
  CHECK(route.legs.front().length_m == Approx(50.0).epsilon(1e-5));
  CHECK(route.push_back_s == 120.0);
  // Two engines standing still burn 602 kg/h (default twin, independent calculation of the ground-movement model).
  CHECK(route.push_back_fuel_kg == Approx(602.0 * 120.0 / 3600.0).epsilon(0.002));
  CHECK(route.length_m == Approx(50.0 + 50.0 + 100.0).epsilon(1e-5));
  // One engine and APU: 411 kg/h (same source).
  const Route left = route_of(f.net, {.from = "stand:1", .to = "runway:09", .engines = "left"});
  CHECK(left.push_back_fuel_kg == Approx(411.0 * 120.0 / 3600.0).epsilon(0.002));
  CHECK(left.fuel_kg < route.fuel_kg);
}

TEST_CASE("a position in the middle of a segment costs what a node there would cost") {
  const Drawn f = two_ways();
  const auto at = f.net.frame.to_geodetic(f.map.xy('c') + LocalXY{60.0, 3.0});
  char text[64];
  std::snprintf(text, sizeof text, "%.9f,%.9f", at.lat_deg(), at.lon_deg());
  for (const Objective o : {Objective::distance, Objective::time, Objective::fuel}) {
    const Route route = route_of(f.net, {.from = text, .to = "runway:09", .objective = o});
    CHECK(way_of(route) == "A B");
    // 60 m back to c, 125 m to b, 50 m to a, 100 m down B.
    CHECK(route.length_m == Approx(60.0 + 125.0 + 50.0 + 100.0).epsilon(1e-5));
    CHECK(says(route, "position-moved"));
    for (const auto a : route.arcs) CHECK(index(a) < f.net.arc_count());
    check_route(f.net, route);
  }
  // Both ends on one segment.
  const auto to = f.net.frame.to_geodetic(f.map.xy('c') + LocalXY{20.0, 0.0});
  char other[64];
  std::snprintf(other, sizeof other, "%.9f,%.9f", to.lat_deg(), to.lon_deg());
  CHECK(route_of(f.net, {text, other}).length_m == Approx(40.0).epsilon(1e-5));
}

TEST_CASE("objectives differ where they should") {
  // A short way of stand-line speed against a longer one at taxiway speed.
  const Drawn f(R"(
    a---b-------c---d
        |       |
        e-------g
    p---------------q
    )",
                {"taxiway A: a b", "taxiway H: b c; speed=3", "taxiway B: b e g c", "taxiway C: c d", "runway 09/27: p q"},
                {.metres = 40.0});
  CHECK(way_of(route_of(f.net, {.from = f.node('a'), .to = f.node('d'), .objective = Objective::distance})) == "A H C");
  const Route time = route_of(f.net, {.from = f.node('a'), .to = f.node('d'), .objective = Objective::time});
  const Route fuel = route_of(f.net, {.from = f.node('a'), .to = f.node('d'), .objective = Objective::fuel});
  const Route distance = route_of(f.net, {f.node('a'), f.node('d')});
  CHECK(way_of(time) == "A B C");
  CHECK(time.time_s < distance.time_s);
  CHECK(fuel.fuel_kg <= distance.fuel_kg + 1e-9);
  CHECK(fuel.fuel_kg <= time.fuel_kg + 1e-5);
}
