// Routes over drawn fields: what they lead over, what they cost, what is said of them.
#include "solotaxi/routing/route.hpp"

#include <numbers>

#include "solotaxi/base/error.hpp"
#include "solotaxi/network/build.hpp"
#include "support/ascii_map.hpp"
#include "unit/routing/heights.hpp"
#include "unit/routing/route_check.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;

namespace {

struct Drawn {
  AsciiMap map;
  network::Network net;
  Drawn(const std::string& drawing, const std::vector<std::string>& lines, AsciiOptions options = {})
      : map(drawing, lines, options), net(network::build_network(map.field())) {
    level(net);
  }
  [[nodiscard]] std::string node(char c) const { return "node:" + std::to_string(index(map.node(net, c))); }
};

/// Two parallel taxiways from an apron to a runway, and one that crosses it.
Drawn two_ways() {
  return Drawn(R"(
      s         t
      |         |
    a-b----c----d----e
    |      |         |
    h      i         j
    |      |         |
    p------q---------r
           |
           k
           |
           m---------n
    )",
               {"taxiway A: a b c d e", "taxiway B: a h p", "taxiway C: c i q", "taxiway D: e j r", "taxiway E: q k m n",
                "stand 1: b s", "stand 2: d t", "runway 09/27: p q r", "hold B1: h", "hold C1: i", "hold D1: j"},
               {.metres = 25.0});
}

}  // namespace

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

TEST_CASE("closures and what is to be avoided change the way") {
  const Drawn f = two_ways();
  Ask ask{"stand:1", "runway:09@C"};
  ask.close = {"B1"};
  CHECK_THROWS_AS(ask_route(f.net, ask), Error);  // a holding position is no line
  ask.close = {"B", "E"};
  CHECK(way_of(route_of(f.net, ask)) == "push A C");

  Ask around{f.node('a'), f.node('e')};
  const double straight = route_of(f.net, around).length_m;
  around.close = {f.node('c')};
  const auto none = ask_route(f.net, around);  // A is shut at c; the runway would be the only other way
  REQUIRE(std::holds_alternative<Route>(none));
  const Route& along = std::get<Route>(none);
  CHECK(uses_of(along) == "along 09/27");
  CHECK(says(along, "runway-along"));
  CHECK(along.length_m > straight);

  Ask avoiding{f.node('a'), f.node('e')};
  avoiding.avoid = {"a"};  // A itself, and there is no other way without the runway
  const Route used = route_of(f.net, avoiding);
  CHECK(way_of(used) == "A");
  CHECK(says(used, "avoided-used"));
}

TEST_CASE("a way that can be avoided is avoided, however long the other is") {
  const Drawn f(R"(
    a---b---c---d
        |   |
        e---g
    p-----------q
    )",
                {"taxiway A: a b c d", "taxiway B: b e g c", "runway 09/27: p q"}, {.metres = 30.0});
  CHECK(way_of(route_of(f.net, {f.node('a'), f.node('d')})) == "A");
  Ask ask{f.node('a'), f.node('d')};
  const auto& middle = f.net.segment(f.map.arc(f.net, 'b', 'c'));
  REQUIRE(middle.name == "A");
  // Only the piece between b and c: by a node on it there is none, so the whole of A is closed in the middle by its map id.
  ask.avoid = {middle.source_id};
  const Route route = route_of(f.net, ask);
  CHECK(says(route, "avoided-used"));  // a-b and c-d belong to A as well
  CHECK(way_of(route) == "A B A");     // but no more of it than must be
}

TEST_CASE("places between are passed in order on the heading they are reached on") {
  const Drawn f = two_ways();
  Ask ask{"stand:1", "runway:09"};
  ask.via = {{parse_place(f.node('c')), 0.0}};
  const auto turned = ask_route(f.net, ask);  // from c back to a would be a turn on the spot
  if (const auto* route = std::get_if<Route>(&turned)) {
    check_route(f.net, *route);
    CHECK(way_of(*route) != "push A B");
  }
  Ask on{"stand:1", "runway:27"};
  const Route plain = route_of(f.net, on);
  on.via = {{parse_place(f.node('c')), 0.0}};
  const Route passed = route_of(f.net, on);
  CHECK(passed.length_m == Approx(plain.length_m));
  CHECK(passed.time_s == Approx(plain.time_s));
  on.via = {{parse_place(f.node('c')), 5.0}};
  const Route stopped = route_of(f.net, on);
  check_route(f.net, stopped);
  CHECK(stopped.standing_s == 300.0);
  CHECK(stopped.time_s > plain.time_s + 300.0);
  CHECK(stopped.fuel_kg > plain.fuel_kg + 602.0 / 3600.0 * 300.0 * 0.99);
  CHECK(stopped.length_m == Approx(plain.length_m));
  on.via = {{parse_place(f.node('c')), -1.0}};
  CHECK_THROWS_AS(ask_route(f.net, on), Error);
}

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

TEST_CASE("turns tell their side, whether they go toward the running engine, and how much thrust they take") {
  const Drawn f(R"(
    a----b
         |
    c----d
    |
    e----g
    p----q
    )",
                {"taxiway A: a b d c e g", "runway 09/27: p q"}, {.metres = 60.0});
  const Route all = route_of(f.net, {f.node('a'), f.node('g')});
  REQUIRE(all.turns.size() == 4);
  for (const Turn& t : all.turns) CHECK_FALSE(t.toward_running);
  const Route left = route_of(f.net, {.from = f.node('a'), .to = f.node('g'), .engines = "left"});
  REQUIRE(left.turns.size() == 4);
  const double half_pi = std::numbers::pi / 2;
  const double signs[] = {1, 1, -1, -1};
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK(left.turns[i].angle_rad == Approx(signs[i] * half_pi).epsilon(1e-4));
    REQUIRE(left.turns[i].toward_running);
    CHECK(*left.turns[i].toward_running == (signs[i] < 0));
    CHECK(left.turns[i].assumed);
    // Virtual work, ȳ 5.75 m, L 12.6 m, line radius 30 m: 1.2677 toward, 0.8256 away (independent calculation).
    CHECK(left.turns[i].radius_m == Approx(30.0));
    CHECK(left.turns[i].thrust_factor == Approx(signs[i] < 0 ? 1.2677 : 0.8256).epsilon(1e-3));
  }
}

TEST_CASE("a set that cannot climb goes round, and where there is no way round every engine is called for") {
  // One engine of the default twin holds 1.39 % rolling at 60 t (independent calculation of the ground-movement model).
  const std::string drawing = R"(
    a---b-------c---d
        |       |
        e-------g
    p---------------q
    )";
  const std::vector<std::string> lines = {"taxiway A: a b", "taxiway H: b c", "taxiway B: b e g c", "taxiway C: c d",
                                          "runway 09/27: p q"};
  Drawn f(drawing, lines, {.metres = 40.0});
  // A hump over the middle of H alone: 3 % up and down.
  const double north = f.map.xy('b').y_m, west = f.map.xy('b').x_m, east = f.map.xy('c').x_m;
  raise(f.net, [&](LocalXY p) {
    const bool on_hump = std::abs(p.y_m - north) < 1.0 && p.x_m > west && p.x_m < east;
    return on_hump ? 10.0 + 0.03 * std::min(p.x_m - west, east - p.x_m) : 10.0;
  });
  CHECK(way_of(route_of(f.net, {f.node('a'), f.node('d')})) == "A H C");
  const Route round = route_of(f.net, {.from = f.node('a'), .to = f.node('d'), .engines = "left"});
  check_route(f.net, round);
  CHECK(way_of(round) == "A B C");
  CHECK_FALSE(round.every_engine_needed);

  Ask shut{.from = f.node('a'), .to = f.node('d'), .engines = "left", .close = {"B"}};
  const Route needed = route_of(f.net, shut);
  check_route(f.net, needed);
  CHECK(needed.every_engine_needed);
  CHECK(says(needed, "every-engine-needed"));
  CHECK(needed.engines == "left");
  bool marked = false;
  for (const Leg& leg : needed.legs) {
    if (leg.place.verdict != motion::Verdict::all) continue;
    marked = true;
    CHECK(leg.name == "H");
    CHECK(leg.place.reasons.has(motion::Reason::grade));
    CHECK(leg.place.margin < 0.0);
  }
  CHECK(marked);
  // Totals are those of every engine.
  const Route every = route_of(f.net, {.from = f.node('a'), .to = f.node('d'), .close = {"B"}});
  CHECK(needed.fuel_kg == Approx(every.fuel_kg));
}

TEST_CASE("a set that can roll but not start there keeps off slopes where it starts and where it may stop") {
  // 0.49 % from rest, 1.39 % rolling on one engine at 60 t (independent calculation of the ground-movement model).
  const std::string drawing = R"(
    a---b---h---c---d
        |       |
        e-------g
    p---------------q
    )";
  const std::vector<std::string> lines = {"taxiway A: a b", "taxiway H: b h c", "taxiway B: b e g c", "taxiway C: c d",
                                          "runway 09/27: p q"};
  const auto on_slope = [](Drawn& f) {
    const double north = f.map.xy('b').y_m, west = f.map.xy('b').x_m, east = f.map.xy('c').x_m;
    // 1 % up all the way from b past h, then down again before c.
    raise(f.net, [=](LocalXY p) {
      const bool on = std::abs(p.y_m - north) < 1.0 && p.x_m > west && p.x_m < east;
      return on ? 10.0 + std::min(0.01 * (p.x_m - west), 0.07 * (east - p.x_m)) : 10.0;
    });
  };
  Drawn plain(drawing, lines, {.metres = 40.0});
  on_slope(plain);
  const Ask ask{.from = plain.node('a'), .to = plain.node('d'), .engines = "left"};
  CHECK(way_of(route_of(plain.net, ask)) == "A H C");  // rolls over it
  auto with_hold = lines;
  with_hold.push_back("hold H1: h; type=intermediate");
  Drawn held(drawing, with_hold, {.metres = 40.0});
  on_slope(held);
  REQUIRE(held.net.holding_points.size() == 1);
  REQUIRE(held.net.holding_points[0].node == held.map.node(held.net, 'h'));
  const Ask ask_held{.from = held.node('a'), .to = held.node('d'), .engines = "left"};
  const Route kept_off = route_of(held.net, ask_held);
  CAPTURE(kept_off.every_engine_needed);
  for (const auto& f : kept_off.findings) UNSCOPED_INFO(f.code << ": " << f.text);
  CHECK(way_of(kept_off) == "A B C");  // might have to stop at h
  CHECK(way_of(route_of(held.net, {held.node('a'), held.node('d')})) == "A H C");
  // Starting on the slope itself asks for every engine.
  const Route start = route_of(held.net, {.from = held.node('h'), .to = held.node('d'), .engines = "left"});
  check_route(held.net, start);
  CHECK((start.every_engine_needed || start.arcs.front() != held.map.arc(held.net, 'h', 'c')));
}

TEST_CASE("a crossing that is set off along the runway must be one the set can start from rest on") {
  // At 60 t one engine starts on the level, but not through a corner toward it: 1.6 × 8.83 kN × 1.2677 is over 17.0 kN
  // (independent calculation of the ground-movement model).
  const Drawn set_off(R"(
            a


    p-------q-r-------s


              b
    )",
                      {"taxiway A: a q", "taxiway B: r b", "runway 09/27: p q r s"}, {.metres = 25.0});
  CHECK(uses_of(route_of(set_off.net, {set_off.node('a'), set_off.node('b')})) == "crossing 09/27");
  for (const char* engine : {"left", "right"}) {
    const Route one = route_of(set_off.net, {.from = set_off.node('a'), .to = set_off.node('b'), .engines = engine});
    check_route(set_off.net, one);
    CHECK((one.every_engine_needed || uses_of(one) != "crossing 09/27"));
  }
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

TEST_CASE("a stand line through another stand is used only where there is no other way") {
  const std::string drawing = R"(
    a-----b-----c
    |           |
    x-----s-----y
    p-----------q
    )";
  const std::vector<std::string> lines = {"taxiway A: a b c", "taxiway W: a x", "taxiway E: c y",
                                          "stand 1: x s",     "stand 2: s y",   "runway 09/27: p q"};
  const Drawn f(drawing, lines, {.metres = 30.0});
  CHECK(way_of(route_of(f.net, {f.node('x'), f.node('y')})) == "W A E");
  const Route through = route_of(f.net, {.from = f.node('x'), .to = f.node('y'), .close = {"A"}});
  CHECK(way_of(through) == "1 2");
  CHECK(says(through, "over-stand"));
}
