// Where there is no route, the rule that stands in the way is named.
#include "unit/routing/drawn.hpp"
#include "unit/routing/route_check.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;

namespace {

NoRoute reason_of(const network::Network& net, const Ask& ask, const aircraft::Aircraft& aircraft = {}) {
  const auto found = ask_route(net, ask, {}, aircraft);
  if (std::holds_alternative<Route>(found)) FAIL("there is a route: " << way_of(std::get<Route>(found)));
  return std::get<NoRoute>(found);
}

bool names(const NoRoute& none, const std::string& what) {
  return std::find(none.blocking.begin(), none.blocking.end(), what) != none.blocking.end();
}
bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

const char* const kLadder = R"(
    a---b---c---d
    p-----------q
    )";

}  // namespace

TEST_CASE("two parts of the network are told with their sizes") {
  const Drawn f(R"(
    a---b   c---d
    p-----------q
    )",
                {"taxiway A: a b", "taxiway B: c d", "runway 09/27: p q"});
  const auto none = reason_of(f.net, {f.node('a'), f.node('d')});
  CHECK(holds(none.reason, "two parts"));
  CHECK(holds(none.reason, "0.16 km"));
}

TEST_CASE("the closure that shuts the way is named, and only that one") {
  const Drawn f(kLadder, {"taxiway A: a b", "taxiway B: b c", "taxiway C: c d", "runway 09/27: p q"});
  const auto none = reason_of(f.net, {.from = f.node('a'), .to = f.node('d'), .close = {"09/27", "B"}});
  CHECK(none.blocking == std::vector<std::string>{"B"});
  const auto both = reason_of(f.net, {.from = f.node('a'), .to = f.node('d'), .close = {"B", "C"}});
  CHECK(both.blocking == std::vector<std::string>{"B", "C"});
}

TEST_CASE("a line closed in the map, or too narrow, or one-way the other way, is named") {
  const Drawn closed(kLadder, {"taxiway A: a b", "taxiway B: b c; closed", "taxiway C: c d", "runway 09/27: p q"});
  const auto shut = reason_of(closed.net, {closed.node('a'), closed.node('d')});
  CHECK(holds(shut.reason, "closed in the map"));
  CHECK(names(shut, "B"));

  const Drawn narrow(kLadder, {"taxiway A: a b", "taxiway B: b c; wingspan=24", "taxiway C: c d", "runway 09/27: p q"});
  const auto tight = reason_of(narrow.net, {narrow.node('a'), narrow.node('d')});
  CHECK(holds(tight.reason, "too narrow or small"));
  CHECK(holds(tight.reason, "B (its wingspan limit of 24 m is under the span of 35.8 m)"));  // default twin's
  CHECK(names(tight, "B"));
  aircraft::Aircraft small;
  small.wingspan_m = 23.0;
  CHECK(way_of(route_of(narrow.net, {narrow.node('a'), narrow.node('d')}, {}, small)) == "A B C");

  const Drawn one_way(kLadder, {"taxiway A: a b", "taxiway B: c b; oneway", "taxiway C: c d", "runway 09/27: p q"});
  const auto against = reason_of(one_way.net, {one_way.node('a'), one_way.node('d')});
  CHECK(holds(against.reason, "one-way"));
  CHECK(names(against, "B"));
  CHECK(way_of(route_of(one_way.net, {one_way.node('d'), one_way.node('a')})) == "C B A");
}

TEST_CASE("a turn that no aircraft makes is named with its node") {
  const Drawn f(R"(
    a-----------b
      c

    p-----------q
    )",
                {"taxiway A: a b", "taxiway B: b c", "runway 09/27: p q"});
  const auto none = reason_of(f.net, {f.node('a'), f.node('c')});
  CHECK(holds(none.reason, "135 degrees"));
  CHECK(names(none, f.node('b')));
}

TEST_CASE("a closed runway is neither lined up on nor landed on, but may be crossed") {
  const Drawn f(R"(
    a---b
        |
    p---q---r
        |
        c
    x-------y
    )",
                {"taxiway A: a b q", "taxiway B: q c", "runway 09/27: p q r; closed", "runway 18/36: x y"});
  const auto none = reason_of(f.net, {f.node('a'), "runway:09"});
  CHECK(holds(none.reason, "runway 09/27 is closed"));
  const Route across = route_of(f.net, {f.node('a'), f.node('c')});
  CHECK(uses_of(across) == "crossing 09/27");
  CHECK(says(across, "closed-runway-crossed"));
}

TEST_CASE("places between that would need a turn on the spot are told") {
  const Drawn f(kLadder, {"taxiway A: a b", "taxiway B: b c", "taxiway C: c d", "runway 09/27: p q"});
  Ask ask{f.node('a'), f.node('b')};
  ask.via = {{parse_place(f.node('d')), 0.0}};
  const auto none = reason_of(f.net, ask);
  CHECK(holds(none.reason, "turning on the spot"));
}

TEST_CASE("where only the line-up fails, the closure or the demand behind it is named") {
  const Drawn f(R"(
    a-----------b-----c
    |           |
    p-----------m-----q
    )",
                {"taxiway A: p a b m", "taxiway B: b c", "runway 09/27: p m q"});
  const auto closed = reason_of(f.net, {.from = f.node('c'), .to = "runway:09", .close = {f.node('p')}});
  CHECK(holds(closed.reason, "closed"));
  CHECK(closed.blocking == std::vector<std::string>{f.node('p')});

  // Every engine of the default twin at 79 t holds about 2.9 % rolling and 2.0 % from rest (forces as in force.hpp).
  Drawn steep = f;
  raise(steep.net, [](LocalXY p) { return 50.0 - 0.025 * p.x_m; });
  motion::Conditions heavy;
  heavy.mass_kg = 79000;
  const Ask ask{.from = steep.node('c'), .to = "runway:09"};
  const Route rolled = route_of(steep.net, ask, heavy);
  CHECK(says(rolled, "start-zone"));  // not even every engine moves it off again here
  heavy.require = motion::Require::standing;
  const auto found = ask_route(steep.net, ask, heavy);
  REQUIRE(std::holds_alternative<NoRoute>(found));
  CHECK(holds(std::get<NoRoute>(found).reason, "started from rest"));
}
