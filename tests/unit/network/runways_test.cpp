// Rules 5 and 6 of real maps: ends, entries and names of runways, rings, backtracks.
#include <catch2/catch.hpp>

#include "findings.hpp"
#include "solotaxi/network/build.hpp"
#include "support/ascii_map.hpp"

using namespace solotaxi;
using namespace solotaxi::network;
using namespace solotaxi::test;

TEST_CASE("a runway runs from front to back and knows its entries with the taxiways' names") {
  const AsciiMap map(
      R"(
      a-------b-------c
      |       |
      |       x
      |       |
      P-------e-------Q
                d
    )",
      {"taxiway A: P a b c", "taxiway B: b x", "taxiway: x e", "taxiway K: e d", "runway 09/27: P e Q; displaced=120,60"});
  const auto net = build_network(map.field());
  REQUIRE(net.runways.size() == 1);
  const auto& r = net.runways[0];
  CHECK(r.name == "09/27");
  CHECK(r.designators == std::array<std::string, 2>{"09", "27"});
  CHECK(r.front == map.node(net, 'P'));
  CHECK(r.back == map.node(net, 'Q'));
  CHECK(r.length_m == Approx(160.0).epsilon(1e-6));
  CHECK(Radians{r.heading_rad}.in_degrees() == Approx(90.0).margin(1e-6));
  CHECK(r.displaced_m == std::array<double, 2>{120.0, 60.0});
  REQUIRE(r.entries.size() == 2);
  CHECK(r.entries[0].at_m == 0.0);
  CHECK(r.entries[0].names == std::vector<std::string>{"A"});
  CHECK(r.entries[1].at_m == Approx(80.0).epsilon(1e-6));
  CHECK(r.entries[1].names == std::vector<std::string>{"B", "K"});  // B is seen through the unnamed piece
  for (std::size_t i = 0; i < r.segments.size(); ++i) {
    CHECK(net.segment(r.segments[i]).runway == 0);
    CHECK(net.segment(r.segments[i]).kind == LineKind::runway);
    if (i > 0) CHECK(net.segment(r.segments[i]).from == net.segment(r.segments[i - 1]).to);
  }
}

TEST_CASE("parts that meet only on the runway are one component, and said to need it") {
  const AsciiMap map(R"(
      a       b
      |       |
      |       |
      P-------Q
    )",
                     {"taxiway A: a P", "taxiway B: b Q", "runway 09/27: P Q"});
  const auto net = build_network(map.field());
  CHECK(net.components == 1);
  const auto reports = found(net, "joined-by-runway-only");
  REQUIRE(reports.size() == 1);
  CHECK(reports[0].text.rfind("2 parts", 0) == 0);
}

TEST_CASE("a turn of 180 degrees is made at the ends of a runway and nowhere else") {
  const AsciiMap map(R"(
          a
          |
      P---e---Q
    )",
                     {"taxiway A: a e", "runway 09/27: P e Q"});
  const auto net = build_network(map.field());
  const auto eq = map.arc(net, 'e', 'Q'), qe = map.arc(net, 'Q', 'e');
  const auto* round = movement(net, eq, qe);
  REQUIRE(round != nullptr);
  CHECK(round->turn_round);
  CHECK(movement(net, qe, eq) == nullptr);
  CHECK(movement(net, map.arc(net, 'e', 'a'), map.arc(net, 'a', 'e')) == nullptr);
  CHECK(std::count_if(net.movements.begin(), net.movements.end(), [](const auto& m) { return m.turn_round; }) == 2);
}

TEST_CASE("taxiways that end at the edge of a ring runway are led on to its assumed centreline") {
  // The ring is 50 m wide; A meets its edge square on, B at 45 degrees, C ends inside, D crosses, E stays outside.
  const AsciiMap map(R"(
      a         b     c    d       x
                                   |
                                   |
                                   y


      P------------------------------Q



                           g
    )",
                     {"taxiway A: a a@0,-35", "taxiway B: b b@35,-35", "taxiway C: c c@0,-42", "taxiway D: d g",
                      "taxiway E: x y", "runway 09/27: P Q; ring=50"});
  const auto net = build_network(map.field());
  const auto& r = net.runways[0];
  REQUIRE(r.entries.size() == 3);
  CHECK(r.entries[0].names == std::vector<std::string>{"A"});
  CHECK(r.entries[0].at_m == Approx(0.0).margin(1e-3));
  // B goes on along its own heading, to where C faces the centreline: they meet there.
  CHECK(r.entries[1].names == std::vector<std::string>{"B", "C"});
  CHECK(r.entries[1].at_m == Approx(160.0).epsilon(1e-4));
  CHECK(r.entries[2].names == std::vector<std::string>{"D"});
  double connectors_m = 0.0;
  for (const auto& s : net.segments)
    if (s.kind == LineKind::connector) connectors_m += s.length_m;
  CHECK(connectors_m == Approx(25.0 + 25.0 * std::sqrt(2.0) + 18.0).epsilon(1e-4));
  CHECK(found(net, "joined-to-ring-runway").size() == 4);
  CHECK(found(net, "hidden-runway-crossing").empty());  // no crossing of a centreline that the map does not have is hidden
  for (const SegmentId s : r.segments) CHECK(net.segment(s).assumed);
}

TEST_CASE("a closed runway stays in the network, marked closed") {
  const AsciiMap map(R"(
          a
          |
      P---e---Q
    )",
                     {"taxiway A: a e", "runway 09/27: P e Q; closed"});
  const auto net = build_network(map.field());
  CHECK(net.runways[0].closed);
  for (const SegmentId s : net.runways[0].segments) CHECK(net.segment(s).closed);
}
