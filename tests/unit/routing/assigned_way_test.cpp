#include "solotaxi/routing/assigned_way.hpp"

#include <cmath>
#include <numbers>

#include "unit/routing/assigned_check.hpp"
#include "unit/routing/drawn.hpp"
#include "unit/routing/route_check.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;

namespace {

/// A parallel taxiway with unnamed branches on both sides, a double link between B and C, and a narrow, a closed and a
/// one-way taxiway.
const Drawn& links() {
  static const Drawn field(
      R"(
          u                 x
          |                 |
    a-----b-----c-----d-----e-----f
          |     |     |     |
          |     g     h     |
          |     |     |     |
    i-----j-----k-----l-----m-----n
          |           |           |
          v           o           z

    p-----------------------------r
    )",
      {"taxiway B: a b c d e f", "taxiway C: i j k l m n", "taxiway: b u", "taxiway: b j", "taxiway: c g k",
       "taxiway: d h l", "taxiway D: e m; width=5", "taxiway E: e x; closed", "taxiway F: j v; oneway", "taxiway G: l o",
       "taxiway B;H: f@0,0 n", "taxiway H: n z", "runway 09/27: p r"},
      {.metres = 20.0});
  return field;
}

}  // namespace

TEST_CASE("clearances on a drawn field and what becomes of them") {
  const Drawn field = two_ways();
  check_table(
      field.net,
      {
          {"stand:1", "taxi to holding point D1 via A, D", "A D, 475 m to hold:D1"},
          {"stand:1", "taxi to holding point B1 runway 09 via A, B", "A B, 150 m to hold:B1"},
          {"stand:1", "holding point B1 via A", "A B, 150 m to hold:B1"},
          {"stand:1", "taxi to runway 27 via A, D", "A D, 525 m to runway:27"},
          {"stand:1", "Runway two seven, taxi via Alpha and Delta, line up", "A D, 525 m to runway:27"},
          {"stand:1", "taxi to holding point runway 09 via A B", "A B, 150 m to hold:B1"},
          {"stand:1", "taxi to runway 09 via A, C", "A C, 275 m to runway:09"},
          {"stand:1", "taxi to runway 09 via A, C, backtrack", "A C, 275 m to runway:09"},
          {"stand:1", "taxi to runway 09 intersection C via A, C", "A C, 275 m to runway:09@C"},
          {"stand:1", "taxi to stand 2 via A", "stand A stand, 350 m to stand:2"},
          {"stand:1", "taxi via A, C, E", "stand A C E, 625 m to node:12", {}, field.node('n')},
          {"stand:1", "taxi via A, C, E, cross runway 09", "stand A C E, 625 m to node:12", {}, field.node('n')},
          {"stand:1", "taxi via A, C, E, hold short of runway 27", "stand A C E, 625 m to node:12", {}, field.node('n')},
          {"stand:1", "taxi to stand 2 via A, hold short of C", "stand A stand, 350 m to stand:2"},
          {"stand:1", "taxi to holding point D1 via A, C, along runway 27, D", "A C rwy 09/27 D, 575 m to hold:D1"},
          {"stand:1", "taxi to holding point D1 via A, left at C, backtrack, D",
           "[left at C] there is no turn to the left at C from A; try: taxi to holding point D1 via A, D, backtrack"},
          {"stand:1", "taxi via A, right at C, E", "stand A C E, 625 m to node:12", {}, field.node('n')},
          {"runway:09", "taxi to stand 1 via D, A",
           "[D] runway 09 is not left onto D at least 1200 m past the threshold; try: taxi to stand 1 via D, A, backtrack"},
          {"runway:09", "taxi to stand 1 via C, A",
           "[C] runway 09 is not left onto C at least 1200 m past the threshold; try: taxi to stand 1 via C, A, backtrack"},
          {"stand:1", "runway 27 via A, D, hold short of runway 27", "A D, 475 m to hold:D1"},
          {"stand:1", "via A, D, hold short of runway 27", "A D, 475 m to hold:D1"},
          {"hold:B1", "runway 09 via B", "B, 50 m to runway:09"},
          // What cannot be followed.
          {"stand:1", "taxi to holding point D1 via A, D, hold short of holding point C1",
           "[hold short of holding point C1] the way does not come by C1; try: taxi to holding point D1 via A, D"},
          {"stand:1", "taxi to holding point D1 via A, C, D",
           "[D] C does not meet D; try: taxi to holding point D1 via A, D"},
          {"stand:1", "taxi to holding point D1 via B, D",
           "[B] stand 1 does not meet B; try: taxi to holding point D1 via A, D"},
          {"stand:1", "taxi to holding point D1 via A, E, D",
           "[E] A does not meet E; try: taxi to holding point D1 via A, D"},
          {"stand:1", "taxi to holding point C1 via A, D, C",
           "[C] D does not meet C; try: taxi to holding point C1 via A, C"},
          {"stand:1", "taxi to stand 2 via A, cross runway 09",
           "[cross runway 09] the way does not come by runway 09; try: taxi to stand 2 via A"},
          {"stand:1", "taxi to holding point D1 via A, left at C, D",
           "[left at C] there is no turn to the left at C from A; try: taxi to holding point D1 via A, D"},
          {"stand:1", "taxi to holding point D1",
           "[holding point D1] stand 1 does not lead to holding point D1; try: taxi to holding point D1 via A"},
          {"stand:1", "taxi to holding point D1 via A, D", "[D] D is closed, as asked; try: ", {"D"}},
          {"stand:1", "taxi via A", "error: the clearance does not say where it ends"},
          {"stand:1", "taxi to stand 2 via A", "error: the clearance ends at stand:2, not at stand:1", {}, "stand:1"},
          {"runway:09", "taxi to stand 1 via B, A",
           "[B] runway 09 is not left onto B at least 1200 m past the threshold; try: taxi to stand 1 via B, A, backtrack"},
      });
}

TEST_CASE("clearances over unnamed links, branches and limits") {
  const Drawn& field = links();
  const std::string a = field.node('a'), f = field.node('f'), i = field.node('i'), n = field.node('n'), u = field.node('u'),
                    v = field.node('v'), o = field.node('o'), x = field.node('x'), z = field.node('z');
  check_table(
      field.net,
      {
          {a, "via B, C", "B - C, 680 m to node:11", {}, n},
          {a, "via B, C", "B - C, 320 m to node:6", {}, i},
          {a, "via B, right at B, left at C", "B - C, 680 m to node:11", {}, n},
          {a, "via B, left at B", "B -, 160 m to node:12", {}, u},
          {a, "via B, C, G", "B - C G, 480 m to node:15", {}, o},
          {a, "via B, H", "B B;H H, 720 m to node:16", {}, z},
          {a, "via H", "[H] node:0 does not meet H; try: taxi via B, H", {}, z},
          {u, "via B, C, F", "- B - C F, 400 m to node:14", {}, v},
          {u,
           "via C, F",
           "[F] C and F meet, but not where, or not in the direction, the way comes along; try: taxi via F",
           {},
           v},
          {a, "via B, hold short of C, C", "B - C, 680 m to node:11", {}, n},
          // What cannot be followed.
          {a,
           "via B, D, C",
           "[D] taxiway D does not let this aircraft in: its width of 5 m is under the 8.9 m of the wheels; try: taxi via "
           "B, C",
           {},
           n},
          {a, "via B, E", "[E] taxiway E (way/8) is closed in the map; try: ", {}, x},
          {v, "via F, C", "[F] F cannot be driven from node:14; try: ", {}, i},
          {a, "via B", "B B;H, 680 m to node:11", {}, n},
          {a, "via B, left at C, C", "B - C, 680 m to node:11", {}, n},
          {a, "via B, C, B", "[] B does not lead to node:15; try: taxi via B, C, B, G", {}, o},
          {a, "via C", "[C] node:0 does not meet C; try: taxi via B, C", {}, n},
          {a, "via B, G, H", "[H] G does not meet H; try: taxi via B, H", {}, z},
          {a, "via B, C", "[C] C is closed, as asked; try: taxi via B", {"C"}, n},
          {a, "via B, C, hold short of E", "[hold short of E] the way does not come by E; try: taxi via B, C", {}, n},
      });
}

TEST_CASE("what the way crosses, stops at and leaves open is told") {
  const Drawn field = two_ways();
  const AssignedWay crossed = way_of(field.net, {"stand:1", "via A, C, E", "", {}, field.node('n')});
  REQUIRE(crossed.warnings.size() == 1);
  CHECK(crossed.warnings[0] ==
        "the way crosses runway 09/27 275 m along, and the clearance does not say to cross it: hold short "
        "of it, and ask");
  CHECK(way_of(field.net, {"stand:1", "via A, C, E, cross runway 27", "", {}, field.node('n')}).warnings.empty());

  const AssignedWay held = way_of(field.net, {"stand:1", "via A, C, E, hold short of runway 09", "", {}, field.node('n')});
  REQUIRE(held.stops.size() == 1);
  CHECK(held.stops[0].text == "hold short of runway 09/27 at C1, 225 m along");
  CHECK(held.stops[0].at_m == Approx(225.0).epsilon(1e-5));
  CHECK(geodesic_length(held.stops[0].at, field.map.at('i')).value() < 0.01);
  CHECK_FALSE(held.stops[0].assumed);
  CHECK(held.to.text == field.node('n'));

  // No holding position before C on A: so far before its centreline [A].
  const AssignedWay before = way_of(field.net, {"stand:1", "to stand 2 via A, hold short of C"});
  REQUIRE(before.stops.size() == 1);
  CHECK(before.stops[0].assumed);
  CHECK(before.stops[0].at_m == Approx(50.0 + 125.0 - 45.0).epsilon(1e-5));
  CHECK(geodesic_length(before.stops[0].at, field.map.at('c')).value() == Approx(45.0).epsilon(1e-4));

  const AssignedWay entered = way_of(field.net, {"stand:1", "runway 27 via A, D"});
  REQUIRE(entered.warnings.size() == 1);
  CHECK(entered.warnings[0] == "entering runway 27 needs a clearance of its own; without one hold short of it");
  CHECK(way_of(field.net, {"stand:1", "runway 27 via A, D, line up"}).warnings.empty());
}

TEST_CASE("of two junctions the nearer is taken, and the other is told with what it would cost") {
  const Drawn& field = links();
  const AssignedWay way = way_of(field.net, {field.node('u'), "via B, C", "", {}, field.node('n')});
  REQUIRE(way.choices.size() == 1);
  const AssignedChoice& choice = way.choices[0];
  CHECK(choice.item == std::optional<std::size_t>{1});
  CHECK(choice.longer_m == Approx(0.0).margin(0.01));
  CHECK(geodesic_length(choice.taken, choice.other).value() == Approx(120.0).epsilon(1e-4));
}

TEST_CASE("each arc knows the item it belongs to; pieces that join belong to none") {
  const Drawn& field = links();
  const AssignedWay way = way_of(field.net, {field.node('a'), "via B, C, G", "", {}, field.node('o')});
  std::string items;
  for (const auto& i : way.item) items += i ? std::to_string(*i) : "-";
  CHECK(items == "0-112");
  CHECK(way.arcs.size() == way.item.size());
}

TEST_CASE("a place in the middle of a segment is a beginning like any other") {
  const Drawn& field = links();
  const LatLon between = field.net.frame.to_geodetic((field.map.xy('a') + field.map.xy('b')) * 0.5);
  const std::string place = fmt::format("{:.9f},{:.9f}", between.lat_deg(), between.lon_deg());
  const AssignedWay way = way_of(field.net, {place, "via B, C", "", {}, field.node('n')});
  CHECK(way.length_m == Approx(680.0 - 60.0).epsilon(1e-4));
  for (const auto a : way.arcs) CHECK(index(a) < field.net.arc_count());
  CHECK(way.arcs.size() == way.item.size());
}

TEST_CASE("a backtrack is driven where it is given, with the turn at the runway's end, and refused where it is not") {
  // The only entry lies 600 m from either end: full length needs a backtrack.
  const Drawn field(R"(
             s
             |
             a
             |
    p--------q----------r
    )",
                    {"taxiway A: a q", "stand 1: a s", "runway 09/27: p q r"}, {.metres = 50.0});
  const CannotFollow refused = failure_of(field.net, {"stand:1", "runway 09"});
  CHECK(refused.reason == "the full length of runway 09 needs a backtrack, and none is given");
  CHECK(refused.nearest == "taxi to runway 09 via A, backtrack");
  // An entry named by the last taxiway is a take-off from there, and that is told.
  const AssignedWay from_there = way_of(field.net, {"stand:1", "runway 09 via A, line up"});
  REQUIRE(from_there.warnings.size() == 1);
  CHECK(from_there.warnings[0] == "runway 09 is entered 450 m from where take-off at full length begins; 550 m are left");
  const AssignedWay way = way_of(field.net, {"stand:1", "runway 09 via A, backtrack runway 09"});
  CHECK(names_along(field.net, way.arcs) == "A rwy 09/27");
  CHECK(way.turn_round_at_end);
  // R = L / sin δ_max [Horonjeff et al., Planning and Design of Airports], L 12.6 m, 75°; πR of way.
  const double round_m = std::numbers::pi * 12.6 / std::sin(75.0 * std::numbers::pi / 180.0);
  CHECK(way.length_m == Approx(100.0 + 100.0 + 450.0 + round_m).epsilon(1e-5));
  CHECK(way.length_m == Approx(route_of(field.net, {"stand:1", "runway:09"}).length_m).epsilon(1e-9));
}

TEST_CASE("a runway's holding point is the last on the way to line-up; without one the way is told to be shown too far") {
  const Drawn field = two_ways();
  const AssignedWay way = way_of(field.net, {"stand:1", "holding point runway 27 via A, D"});
  CHECK(way.to.name == "D1");
  CHECK(way.direction == Direction::departure);
  CHECK(way.pushed.size() == 1);
  CHECK(way.warnings.empty());
  auto bare = field.net;
  bare.holding_points.clear();
  const AssignedWay shown = way_of(bare, {"stand:1", "holding point runway 27 via A, D"});
  CHECK(shown.to.kind == Place::Kind::runway);
  REQUIRE(shown.warnings.size() == 1);
  CHECK(shown.warnings[0].find("no holding position lies before runway 27") == 0);
}

TEST_CASE("a holding point before another runway than the one named with it is told") {
  const Drawn field = two_ways({.metres = 25.0}, {"runway 18/36: m@500,0 m@500,300"});
  const AssignedWay way = way_of(field.net, {"stand:1", "holding point D1 runway 18 via A, D"});
  REQUIRE(way.warnings.size() == 1);
  CHECK(way.warnings[0] == "holding point D1 is before runway 09/27 in the map, not before runway 18");
}

TEST_CASE("words for a planned way mean that way") {
  const Drawn field = two_ways();
  for (const char* from : {"stand:1", "stand:2"})
    for (const char* to : {"runway:09", "runway:27", "runway:09@C", "hold:D1", "hold:C1"}) {
      INFO(from << " to " << to);
      const Route route = route_of(field.net, {.from = from, .to = to, .direction = Direction::departure});
      AssignedRequest request;
      request.from = parse_place(from);
      const ClearanceWords words = clearance_words(field.net, {}, {}, route, request);
      CHECK(words.exact);
      CHECK(words.why_not.empty());
      CHECK(way_of(field.net, {from, words.text}).arcs == route.arcs);
    }
}

TEST_CASE("words that cannot pin a way down say so, and say a turn where it helps") {
  // Two unnamed links between A and B of different length, and a route over the longer one.
  const Drawn field(
      R"(
    a---b-----c---d
        |     |
        |     g
        |     |
    i---j-----k---l

    p-------------r
    )",
      {"taxiway A: a b c d", "taxiway B: i j k l", "taxiway: b j", "taxiway: c g@20,0 k", "runway 09/27: p r"},
      {.metres = 40.0});
  AssignedRequest request;
  request.from = parse_place(field.node('a'));
  const auto words = [&](const std::vector<Via>& via) {
    const Route route = route_of(field.net, {.from = field.node('a'), .to = field.node('l'), .via = via});
    return clearance_words(field.net, {}, {}, route, request);
  };
  const ClearanceWords shorter = words({});
  CHECK(shorter.exact);
  CHECK(shorter.text == "taxi via A, B");
  const ClearanceWords longer = words({{parse_place(field.node('c')), 0.0}});
  CHECK_FALSE(longer.exact);
  CHECK(longer.why_not.find("the words mean a way that parts from this one 160 m along and is") == 0);
  // To the dead end on the left the shortest way under the names is to the right: a turn pins it down.
  const Drawn fork(R"(
          u
          |
    a-----b-----c
          |
          v

    p-----------r
    )",
                   {"taxiway A: a b c", "taxiway: u b v", "runway 09/27: p r"}, {.metres = 40.0});
  const AssignedWay up = way_of(fork.net, {fork.node('a'), "via A, left at A", "", {}, fork.node('u')});
  CHECK(up.length_m == Approx(240.0 + 80.0).epsilon(1e-5));
  CHECK(failure_of(fork.net, {fork.node('a'), "via A, right at A", "", {}, fork.node('u')}).reason ==
        "a turn to the right at A does not lead to " + fork.node('u'));
}

TEST_CASE("what the words leave out of the way is told") {
  const Drawn field = two_ways({.metres = 25.0}, {"hold K9: b@50,0; type=intermediate"});
  const AssignedWay by_hold = way_of(field.net, {field.node('n'), "holding point K9 via E, C, cross runway 09"});
  REQUIRE(by_hold.warnings.size() == 1);
  CHECK(by_hold.warnings[0] == "the last 75 m to holding point K9 are along A, which the clearance does not name");

  const AssignedWay not_needed = way_of(field.net, {"stand:1", "holding point D1 via A, D, backtrack"});
  REQUIRE(not_needed.warnings.size() == 1);
  CHECK(not_needed.warnings[0] == "the way needs no backtrack, though the clearance gives one");

  const Drawn far(R"(
    a---b

        c---d

    p-------r
    )",
                  {"taxiway A: a b", "taxiway: b c", "taxiway B: c d", "runway 09/27: p r"}, {.metres = 100.0});
  const AssignedWay unnamed = way_of(far.net, {far.node('a'), "via A, B", "", {}, far.node('d')});
  REQUIRE(unnamed.warnings.size() == 1);
  CHECK(unnamed.warnings[0] == "200 m from 400 m along lead over taxiways without a name, which the clearance cannot tell");

  // A and B joined by a stand line alone.
  const Drawn stands(
      R"(
    a---b
        |
        s
        |
        c---d

    p-------r
    )",
      {"taxiway A: a b", "stand 1: b s", "stand 2: c s@0,1", "taxiway B: c d", "taxiway: s s@0,1", "runway 09/27: p r"},
      {.metres = 50.0});
  const AssignedWay over = way_of(stands.net, {stands.node('a'), "via A, B", "", {}, stands.node('d')});
  CHECK(std::any_of(over.warnings.begin(), over.warnings.end(), [](const std::string& w) {
    return w.find("lead over stand lines, for there is no other way under the clearance") != std::string::npos;
  }));
}
