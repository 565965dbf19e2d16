#include "solotaxi/network/build.hpp"

#include <catch2/catch.hpp>

#include "solotaxi/base/error.hpp"
#include "support/ascii_map.hpp"

using namespace solotaxi;
using namespace solotaxi::network;
using test::AsciiMap;

TEST_CASE("lines with common vertices become segments, arcs and movements") {
  const AsciiMap map(
      R"(
      a---b---c
          |
      s---d
      p---+---q
          e
    )",
      {"taxiway A: a b c", "taxiway B: b d; oneway width=15", "stand 4: d s", "runway 09/27: p e q", "taxiway C: d e"});
  const auto net = build_network(map.field());
  CHECK(net.nodes.size() == 8);
  CHECK(net.segments.size() == 7);
  const auto ab = map.arc(net, 'a', 'b'), bd = map.arc(net, 'b', 'd'), db = map.arc(net, 'd', 'b');
  CHECK(net.segment(ab).name == "A");
  CHECK(net.segment(ab).length_m == Approx(40.0).epsilon(1e-6));
  CHECK(net.segment(bd).width == 15_m);
  CHECK(net.may_drive(bd));
  CHECK_FALSE(net.may_drive(db));
  REQUIRE(net.movements_from(ab).size() == 2);  // straight on and right down B
  CHECK(net.movements_from(db).empty());
  bool turned = false;
  for (const auto& m : net.movements_from(ab))
    if (m.to == bd) {
      turned = true;
      CHECK(Radians{m.angle_rad}.in_degrees() == Approx(90.0).margin(1e-4));
    }
  CHECK(turned);
  REQUIRE(net.stands.size() == 1);
  CHECK(net.stands[0].node == map.node(net, 's'));
  REQUIRE(net.runways.size() == 1);
  CHECK(net.runways[0].front == map.node(net, 'p'));
  CHECK(net.runways[0].segments.size() == 2);
  REQUIRE(net.runways[0].entries.size() == 1);
  CHECK(net.runways[0].entries[0].names == std::vector<std::string>{"C"});
  CHECK(net.components == 1);
}

TEST_CASE("a map without taxiways or without a runway is refused") {
  const AsciiMap no_runway("a-b", {"taxiway A: a b"});
  CHECK_THROWS_AS(build_network(no_runway.field()), Error);
  const AsciiMap no_taxiway("a-b", {"runway 09/27: a b"});
  CHECK_THROWS_AS(build_network(no_taxiway.field()), Error);
}
