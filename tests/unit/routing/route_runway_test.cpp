// Routes along a runway, round at its end, and off it after a landing.
#include <numbers>

#include "routing/question.hpp"
#include "unit/routing/drawn.hpp"
#include "unit/routing/route_check.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;

TEST_CASE("a field joined only through its runway is backtracked, with a turn of 180 degrees at the end") {
  // Rule 5 of real maps: some fields connect only through the runway.
  const Drawn f(R"(
             s
             |
             a
             |
    p--------q----------r
    )",
                {"taxiway A: a q", "stand 1: a s", "runway 09/27: p q r"}, {.metres = 50.0});
  const Route out = route_of(f.net, {"stand:1", "runway:09"});
  check_route(f.net, out);
  CHECK(way_of(out) == "push A 09/27");
  CHECK(uses_of(out) == "along 09/27, line-up 09/27");
  CHECK(says(out, "runway-turn-round"));
  REQUIRE(out.turns.size() == 2);
  CHECK(out.turns[0].angle_rad == Approx(std::numbers::pi / 2).epsilon(1e-4));
  CHECK(out.turns[1].turn_round);
  // R = L / sin δ_max [Horonjeff et al., Planning and Design of Airports], L 12.6 m, 75°; πR of way.
  const double radius = 12.6 / std::sin(75.0 * std::numbers::pi / 180.0);
  CHECK(out.turns[1].radius_m == Approx(radius));
  CHECK(out.length_m == Approx(100.0 + 100.0 + 450.0 + std::numbers::pi * radius).epsilon(1e-5));
  CHECK(out.runway_uses[0].length_m == Approx(450.0).epsilon(1e-5));

  // Landing on 09 with 500 m of roll: rolls to the end r, turns round, comes back to A.
  const Route in = route_of(f.net, {.from = "runway:09", .to = "stand:1", .landing_roll_m = 500.0});
  check_route(f.net, in);
  CHECK(way_of(in) == "09/27 A 1");
  CHECK(uses_of(in) == "along 09/27, exit 09/27");
  CHECK(in.turns.front().turn_round);
  // A can be reached directly where the roll is short enough.
  CHECK(uses_of(route_of(f.net, {.from = "runway:09", .to = "stand:1", .landing_roll_m = 400.0})) == "exit 09/27");
}

TEST_CASE("the landing roll counts from the displaced threshold") {
  const Drawn f(R"(
    a--------b-----------c
    |        |           |
    p--------q-----------r
             s
    )",
                {"taxiway A: p a b c r", "taxiway B: b q", "stand 1: s q", "runway 09/27: p q r; displaced=300,0"},
                {.metres = 50.0});
  Ask ask{.from = "runway:09", .to = f.node('b'), .direction = Direction::arrival};
  ask.landing_roll_m = 149.0;  // q lies 450 m from the end, 150 m past the threshold
  CHECK(way_of(route_of(f.net, ask)) == "B");
  ask.landing_roll_m = 151.0;
  CHECK(way_of(route_of(f.net, ask)) == "A");
}

TEST_CASE("a turn-round that ends the route brakes to its own speed, goes round, and brakes to rest") {
  const Drawn f("p--------q", {"runway 09/27: p q", "taxiway A: p q@0,-200"}, {.metres = 50.0});
  const aircraft::Aircraft twin;
  const motion::Conditions conditions;
  const network::Shape shape = network::trace_shape(f.net, {.wheelbase_m = twin.wheelbase_m,
                                                            .steering_max_deg = twin.steering_max_deg,
                                                            .fillet_radius_m = conditions.fillet_radius_m,
                                                            .tight_radius_m = conditions.tight_radius_m});
  const motion::CostTable table(f.net, shape, twin, aircraft::all_engines(twin), conditions);
  // Ground-movement model: R = L / sin δ_max at 5 kt, from 20 kt, braking 0.8 m/s², time lost Δv² / (2 a v).
  const double kt = 1852.0 / 3600.0, v = 20.0 * kt, slow = 5.0 * kt;
  const double radius = 12.6 / std::sin(75.0 * std::numbers::pi / 180.0);
  const double seconds = std::numbers::pi * radius / slow + (v - slow) * (v - slow) / (1.6 * v) + slow / 1.6;
  const auto cost = last_turn_round(table, f.map.arc(f.net, 'p', 'q'));
  CHECK(cost.time_s == Approx(seconds).epsilon(1e-6));
  // Standing flow while braking, and no less than that on the way round.
  CHECK(cost.fuel_kg >= seconds * table.standing_flow_kg_s());
}
