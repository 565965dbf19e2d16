// Rules 3 and 4 of real maps: near-miss ends, ends short of a runway.
#include <catch2/catch.hpp>

#include "findings.hpp"
#include "solotaxi/network/build.hpp"
#include "support/ascii_map.hpp"

using namespace solotaxi;
using namespace solotaxi::network;
using namespace solotaxi::test;

namespace {
const std::string kRunway = "runway 09/27: P Q";
}

TEST_CASE("an end that misses a line by less than the snap distance is joined and its gap reported") {
  // 1.46 m as at one real apron.
  const AsciiMap map(R"(
      a---e---b

          d


      P-------Q
    )",
                     {"taxiway A: a b", "taxiway C: e@0,-1.46 d", kRunway});
  const auto net = build_network(map.field());
  CHECK(connected(net, map.node(net, 'a'), map.node(net, 'd')));
  const auto reports = found(net, "joined-near-miss");
  REQUIRE(reports.size() == 1);
  CHECK(reports[0].where.id == "way/2");
  CHECK(reports[0].text.find("1.46 m") != std::string::npos);
  // The line goes on to the other: nothing of it is moved.
  CHECK(net.segment(map.arc(net, 'd', 'e')).length_m == Approx(20.0).epsilon(1e-6));

  const auto strict = build_network(map.field(), {.snap_m = 1.0});
  CHECK_FALSE(connected(strict, map.node(strict, 'a'), map.node(strict, 'd')));
}

TEST_CASE("two ends that miss a line at one place from either side meet it, and each other, in one node") {
  const AsciiMap map(R"(
          u
      a---e---b

          d


      P-------Q
    )",
                     {"taxiway A: a b", "taxiway C: e@0,-1.2 d", "taxiway D: e@0,1.4 u", kRunway});
  const auto net = build_network(map.field());
  CHECK(found(net, "joined-near-miss").size() == 2);
  CHECK(connected(net, map.node(net, 'u'), map.node(net, 'd')));
  CHECK(connected(net, map.node(net, 'a'), map.node(net, 'd')));
  for (const Segment& s : net.segments) {
    CHECK(s.length_m > 1.0);
    CHECK(s.from != s.to);
    CHECK(s.profile.size() >= 2);
  }
  CHECK(net.segments.size() == 5);  // A in two, C, D, the runway
}

TEST_CASE("two ends that face each other within the snap distance become one node") {
  const AsciiMap map(R"(
      a---e---b



      P-------Q
    )",
                     {"taxiway A: a e@-0.7,0.3", "taxiway B: e@0.7,-0.3 b", kRunway});
  const auto net = build_network(map.field());
  CHECK(net.segments.size() == 3);
  CHECK(connected(net, map.node(net, 'a'), map.node(net, 'b')));
  REQUIRE(found(net, "joined-near-miss").size() == 1);
  bool straight_on = false;  // the joint makes no turn of its own
  for (const auto& m : net.movements)
    if (!m.turn_round) straight_on = std::abs(Radians{m.angle_rad}.in_degrees()) < 5.0;
  CHECK(straight_on);
}

TEST_CASE("gaps of 4 to 11 m stay gaps, and the parts are reported") {
  const AsciiMap map(R"(
      a---e---b



      P-------Q
    )",
                     {"taxiway A: a e", "taxiway B: e@4.1,0 b; id=way/234634067", kRunway});
  const auto net = build_network(map.field());
  CHECK(net.components == 3);
  const auto parts = found(net, "separate-part");
  REQUIRE(parts.size() == 2);
  CHECK(parts[1].text.find("way/234634067") != std::string::npos);
  CHECK(parts[1].text.find("36 m") != std::string::npos);
}

TEST_CASE("parallel taxiways closer than the snap distance are not joined but where one ends") {
  const AsciiMap map(R"(
      a---e---b


      P-------Q
    )",
                     {"taxiway A: a b", "taxiway B: a@0,-1.8 e@0,-1.8 b@0,-1.8", kRunway});
  const auto net = build_network(map.field());
  CHECK(found(net, "joined-near-miss").size() == 2);
  CHECK(net.nodes.size() == 4);
  CHECK(net.segments.size() == 3);
}

TEST_CASE("an end past its crossing by less than the snap distance is trimmed with a finding") {
  const AsciiMap map(R"(
      a---e---b

          d


      P-------Q
    )",
                     {"taxiway A: a b", "taxiway C: d e@0,1.3", kRunway});
  const auto net = build_network(map.field());
  CHECK(found(net, "overshoot").size() == 1);
  CHECK(degree(net, map.node(net, 'e')) == 3);
  CHECK(net.segments.size() == 4);
}

TEST_CASE("a short fillet's ends are not joined to the lines it joins already") {
  const AsciiMap map(R"(
      a---e---b

          d


      P-------Q
    )",
                     {"taxiway A: a e@-1.5,0 e b", "taxiway C: e d", "taxiway F: e@-1.5,0 e@0,-1.5 d@0,8", kRunway},
                     {.metres = 10.0});
  const auto net = build_network(map.field());
  CHECK(found(net, "joined-near-miss").empty());
}

TEST_CASE("a taxiway that stops 5.8 m short of the runway it serves is led on to it") {
  const AsciiMap map(R"(
          a
          |
      P---e---Q
    )",
                     {"taxiway A: a e@0,5.8", kRunway});
  const auto net = build_network(map.field());
  const auto reports = found(net, "joined-to-runway");
  REQUIRE(reports.size() == 1);
  CHECK(reports[0].where.id == "way/1");
  CHECK(reports[0].text.find("5.80 m") != std::string::npos);
  REQUIRE(net.runways[0].entries.size() == 1);
  CHECK(net.runways[0].entries[0].node == map.node(net, 'e'));
  CHECK(net.runways[0].entries[0].names == std::vector<std::string>{"A"});
}

TEST_CASE("a taxiway in line with the runway is led on to its end") {
  const AsciiMap map("P-------Q---a", {"taxiway A: a Q@6,0", kRunway});
  const auto net = build_network(map.field());
  CHECK(found(net, "joined-to-runway").size() == 1);
  CHECK(connected(net, map.node(net, 'Q'), map.node(net, 'a')));
}

TEST_CASE("a taxiway that stops farther short, or runs along, is not led on") {
  const AsciiMap far(R"(
          a

      P---e---Q
    )",
                     {"taxiway A: a e@0,12", kRunway});
  const auto net = build_network(far.field());
  CHECK(found(net, "joined-to-runway").empty());
  CHECK(found(net, "ends-short-of-runway").size() == 1);
  const AsciiMap along("P---e---Q", {"taxiway A: e@-20,6 e@20,6", kRunway});
  CHECK(found(build_network(along.field()), "joined-to-runway").empty());
}

TEST_CASE("a dead end beside a runway that its own lines reach nearby is no entry") {
  const AsciiMap map(R"(
          a---b
          |   |
      P---e---f---Q
    )",
                     {"taxiway A: b a e", "taxiway A: b f@0,6", kRunway});
  const auto net = build_network(map.field());
  CHECK(found(net, "joined-to-runway").empty());
  REQUIRE(found(net, "ends-short-of-runway").size() == 1);
  CHECK(net.runways[0].entries.size() == 1);
}
