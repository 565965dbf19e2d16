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
