// What is closed, to be avoided, or to be passed on the way.
#include "solotaxi/base/error.hpp"
#include "unit/routing/drawn.hpp"
#include "unit/routing/route_check.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;

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

TEST_CASE("a line too narrow or small for the aircraft is told with its limit and the aircraft's own figure") {
  const auto told = [](const std::string& limits) {
    const Drawn f(
        R"(
      a---b-------c---d
          |       |
          e-------g
      p---------------q
      )",
        {"taxiway A: a b", "taxiway H: b c; " + limits, "taxiway B: b e g c", "taxiway C: c d", "runway 09/27: p q"});
    const Route route = route_of(f.net, {f.node('a'), f.node('d')});
    CHECK(way_of(route) == "A B C");
    std::string text;
    for (const Finding& finding : route.findings)
      if (finding.code == "shut-to-aircraft") text += finding.text + "\n";
    return text;
  };
  // The default twin: wheels 8.9 m apart outside, span 35.8 m.
  CHECK(told("width=8") == "taxiway H is shut to this aircraft: its width of 8 m is under the 8.9 m of the wheels\n");
  CHECK(told("wingspan=24.5") ==
        "taxiway H is shut to this aircraft: its wingspan limit of 24.5 m is under the span of 35.8 m\n");
  CHECK(told("width=8 wingspan=24.5") ==
        "taxiway H is shut to this aircraft: its width of 8 m is under the 8.9 m of the wheels, "
        "its wingspan limit of 24.5 m is under the span of 35.8 m\n");
}
