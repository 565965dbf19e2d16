// Runways on an assigned way: left to a side, crossed, entered and driven along, as the clearance says or against it.
#include <catch2/catch.hpp>

#include "unit/routing/assigned_check.hpp"
#include "unit/routing/drawn.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;

TEST_CASE("a clearance that leaves the landing runway to a side takes the exit on that side") {
  const Drawn field = two_ways();
  const auto rolled = [&](const std::string& from, const std::string& text, const std::string& to = "") {
    AssignedRequest request = request_of({from, text, "", {}, to});
    request.landing_roll_m = 100.0;
    motion::Conditions conditions;
    conditions.unknown_grade_sigmas = 0.0;
    const auto answer = assigned_way(field.net, {}, conditions, read_clearance(text, make_vocabulary(field.net)), request);
    if (const auto* cannot = std::get_if<CannotFollow>(&answer)) return cannot->reason;
    return names_along(field.net, std::get<AssignedWay>(answer).arcs);
  };
  CHECK(rolled("runway:27", "exit right at C, A, stand 1") == "C A stand");
  CHECK(rolled("runway:09", "exit left on C, A, stand 1") == "C A stand");
  CHECK(rolled("runway:27", "left at E", field.node('n')) == "E");
  CHECK(rolled("runway:27", "left at C, A, stand 1") == "there is no turn to the left at C from runway 27");
  CHECK(rolled("runway:09", "right at C, A, stand 1") == "there is no turn to the right at C from runway 09");
}

TEST_CASE("the runway a way ends on is held short of where the way crosses it before") {
  const Drawn field(R"(
      a
      |
      h
      |
    p-q-------r
      |       |
      k       j
      |       |
      m-------n
    )",
                    {"taxiway A: a h q", "taxiway B: q k m n j r", "runway 09/27: p q r", "hold A1: h", "hold B1: j"},
                    {.metres = 25.0});
  const AssignedWay held = way_of(field.net, {field.node('a'), "runway 27 via A, hold short of runway 09, B"});
  REQUIRE(held.stops.size() == 1);
  CHECK(held.stops[0].hold == "A1");
  CHECK(held.to.name == "B1");
  REQUIRE(held.warnings.size() == 1);
  CHECK(held.warnings[0].find("crosses runway 09/27") != std::string::npos);
  const AssignedWay crossed = way_of(field.net, {field.node('a'), "via A, cross runway 09, B, hold short of runway 27"});
  CHECK(crossed.stops.empty());
  CHECK(crossed.warnings.empty());
  CHECK(crossed.to.name == "B1");
}

TEST_CASE("a runway that the clearance does not name is not entered or driven along without a warning") {
  const Drawn two(R"(
      a
      |
    p-q-----s-r
            |
            b
            |
        u---v---w
    )",
                  {"taxiway A: a q", "taxiway B: s b v", "runway 09/27: p q s r", "runway 08/26: u v w"}, {.metres = 25.0});
  const std::string text = "runway 26 intersection B via A, B, line up, backtrack";
  const AssignedWay along = way_of(two.net, {two.node('a'), text});
  REQUIRE(along.warnings.size() == 1);
  CHECK(along.warnings[0] ==
        "the way leads 150 m along runway 09/27 from 50 m along, and the clearance does not name that runway for it: hold "
        "short of it, and ask");
  CHECK(way_of(two.net, {two.node('a'), text + " runway 27"}).warnings.empty());

  const Drawn field = two_ways();
  const AssignedWay onto = way_of(field.net, {"stand:1", "via A, C", "", {}, field.node('q')});
  REQUIRE(onto.warnings.size() == 1);
  CHECK(onto.warnings[0] ==
        "the way enters runway 09/27 275 m along, and the clearance does not say so: hold short of it, and ask");
  CHECK(way_of(field.net, {"stand:1", "via A, B, line up", "", {}, "runway:09"}).warnings.empty());
  CHECK(way_of(field.net, {"stand:1", "via A, B", "", {}, "runway:09"}).warnings.size() == 1);
}

TEST_CASE("turns over a close net of unnamed pieces are found without trying every way over it") {
  const Drawn net(
      R"(
    x-------a-b-c-d
            | | | |
            e-f-g-h
            | | | |
            i-j-k-l
            | | | |
            m-n-o-p
                  |
                  |
    r-------------y
    )",
      {"runway 09/27: r y", "taxiway A: x a", "taxiway B: p y", "taxiway: a b c d", "taxiway: e f g h", "taxiway: i j k l",
       "taxiway: m n o p", "taxiway: a e i m", "taxiway: b f j n", "taxiway: c g k o", "taxiway: d h l p"},
      {.metres = 3.0});
  CHECK(names_along(net.net, way_of(net.net, {net.node('x'), "via A, right at B, line up", "", {}, "runway:27"}).arcs) ==
        "A - B");
}

TEST_CASE("an arrival vacates the runway it comes from") {
  const Drawn field = two_ways();
  const auto ask = [&](const std::string& from, const std::string& text) {
    AssignedRequest request = request_of({from, text, "", {}, ""});
    request.landing_roll_m = 100.0;
    motion::Conditions conditions;
    conditions.unknown_grade_sigmas = 0.0;
    return assigned_way(field.net, {}, conditions, read_clearance(text, make_vocabulary(field.net)), request);
  };
  const auto way = ask("runway:27", "vacate runway 27 via C, taxi to stand 1 via A");
  REQUIRE(std::holds_alternative<AssignedWay>(way));
  CHECK(names_along(field.net, std::get<AssignedWay>(way).arcs) == "C A stand");
  CHECK_THROWS_WITH(ask(field.node('a'), "vacate runway 27 via C, taxi to stand 1 via A"),
                    Catch::Contains("vacate runway 27") && Catch::Contains("is asked from"));
  const Clearance read = read_clearance("Vacate the runway 27, taxi stand 1", make_vocabulary(field.net));
  CHECK(read.from_runway == "27");
  CHECK(read.end.kind == ClearanceEnd::Kind::stand);
  CHECK(to_text(read) == "vacate runway 27, taxi to stand 1");
}

TEST_CASE("where a runway is crossed or held short of is warned of when it is elsewhere") {
  const Drawn field(R"(
      a     b
      |     |
      h     i
      |     |
    p-q-----s-r
      |     |
      k     l
      |     |
      m-----n
    )",
                    {"taxiway A: a b", "taxiway B: a h q k m", "taxiway C: b i s l n", "taxiway D: m n",
                     "runway 09/27: p q s r", "hold B1: h", "hold C1: i"},
                    {.metres = 60.0});
  const auto warnings = [&](const std::string& text) {
    return way_of(field.net, {field.node('a'), text, "", {}, field.node('n')}).warnings;
  };
  CHECK(warnings("via B, D, cross runway 09 at B").empty());
  CHECK(warnings("via B, D, hold short of runway 09 at B1, cross runway 09 at B").empty());
  // Crossed twice, each is held against its own words.
  const auto twice = [&](const std::string& text) {
    return way_of(field.net, {field.node('a'), text, "", {}, field.node('b')}).warnings;
  };
  CHECK(twice("via B, D, C, cross runway 09 at B, cross runway 09 at C").empty());
  CHECK(twice("via B, D, C, cross runway 09 at C, cross runway 09 at B").size() == 2);
  for (const char* text : {"via B, D, cross runway 09 at C", "via B, D, cross runway 09, hold short of runway 09 at C1"}) {
    const auto told = warnings(text);
    REQUIRE(told.size() == 1);
    CHECK(told[0].find("elsewhere") != std::string::npos);
  }
}

TEST_CASE("a turn may be taken with an article") {
  const Drawn field = two_ways();
  CHECK(to_text(read_clearance("take a left at C, runway 09", make_vocabulary(field.net))) == "taxi to runway 09 via left at C");
}
