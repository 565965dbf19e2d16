#include <catch2/catch.hpp>

#include "findings.hpp"
#include "solotaxi/network/build.hpp"
#include "support/ascii_map.hpp"

using namespace solotaxi;
using namespace solotaxi::network;
using namespace solotaxi::test;

namespace {
double degrees(const Network& net, ArcId from, ArcId to) {
  const auto* m = movement(net, from, to);
  REQUIRE(m != nullptr);
  return Radians{m->angle_rad}.in_degrees();
}
}  // namespace

TEST_CASE("the angle of a movement is signed, right positive, and over 135 degrees it is not made") {
  const AsciiMap map(R"(
      c   d   f

      a---b---g

      h   e   i



      P-------Q
    )",
                     {"taxiway A: a b", "taxiway C: b c", "taxiway D: b d", "taxiway E: b e", "taxiway F: b f",
                      "taxiway G: b g", "taxiway H: b h@0,10", "runway 09/27: P Q"});
  const auto net = build_network(map.field());
  const auto in = map.arc(net, 'a', 'b');
  CHECK(degrees(net, in, map.arc(net, 'b', 'g')) == Approx(0.0).margin(1e-3));
  CHECK(degrees(net, in, map.arc(net, 'b', 'd')) == Approx(-90.0).margin(1e-3));
  CHECK(degrees(net, in, map.arc(net, 'b', 'e')) == Approx(90.0).margin(1e-3));
  // Two across and one up is 26.565 degrees from the axis.
  CHECK(degrees(net, in, map.arc(net, 'b', 'f')) == Approx(-26.565).margin(1e-2));
  CHECK(movement(net, in, map.arc(net, 'b', 'c')) == nullptr);  // 153 degrees
  CHECK(movement(net, in, reversed(in)) == nullptr);
}

TEST_CASE("drawing noise under 0.3 m does not turn the angle at a node") {
  const AsciiMap map(R"(
      a-------b-------c
              d
      P-------Q
    )",
                     {"taxiway A: a b@-2,0.25 b c", "taxiway D: b d", "runway 09/27: P Q"});
  const auto net = build_network(map.field());
  CHECK(degrees(net, map.arc(net, 'a', 'b'), map.arc(net, 'b', 'c')) == Approx(0.0).margin(1e-3));
}

TEST_CASE("a one-way taxiway is neither entered nor left against its direction") {
  const AsciiMap map(R"(
      a---b---c
      P-------Q
    )",
                     {"taxiway A: a b", "taxiway B: c b; oneway=backward", "runway 09/27: P Q"});
  const auto net = build_network(map.field());
  const auto ab = map.arc(net, 'a', 'b'), bc = map.arc(net, 'b', 'c');
  CHECK(net.may_drive(bc));
  CHECK_FALSE(net.may_drive(reversed(bc)));
  CHECK(movement(net, ab, bc) != nullptr);
  CHECK(movement(net, reversed(bc), reversed(ab)) == nullptr);
  for (const ArcId a : net.arcs_from(map.node(net, 'c'))) CHECK(a != reversed(bc));
}

TEST_CASE("movements are sorted and indexed by the arc they leave") {
  const AsciiMap map(R"(
      a---b---c
          |
          |
      P---e---Q
    )",
                     {"taxiway A: a b c", "taxiway B: b e", "runway 09/27: P e Q"});
  const auto net = build_network(map.field());
  REQUIRE(net.first_movement.size() == net.arc_count() + 1);
  CHECK(net.first_movement.back() == net.movements.size());
  for (std::uint32_t a = 0; a < net.arc_count(); ++a)
    for (const auto& m : net.movements_from(ArcId{a})) {
      CHECK(m.from == ArcId{a});
      CHECK(net.head(m.from) == net.tail(m.to));
    }
  CHECK(std::is_sorted(net.movements.begin(), net.movements.end(),
                       [](const auto& x, const auto& y) { return std::pair(x.from, x.to) < std::pair(y.from, y.to); }));
  REQUIRE(net.first_out.size() == net.nodes.size() + 1);
  for (std::uint32_t n = 0; n < net.nodes.size(); ++n)
    for (const ArcId a : net.arcs_from(NodeId{n})) CHECK(net.tail(a) == NodeId{n});
}

TEST_CASE("limits of a centreline are kept by its segments") {
  const AsciiMap map(
      R"(
      a---b---c
      P-------Q
    )",
      {"taxilane L: a b c; width=15 wingspan=36 speed=10 surface=concrete layer=0 closed", "runway 09/27: P Q"});
  const auto net = build_network(map.field());
  const auto& s = net.segment(map.arc(net, 'a', 'c'));
  CHECK(s.kind == LineKind::taxilane);
  CHECK(s.width == 15_m);
  CHECK(s.wingspan_limit == 36_m);
  CHECK(s.speed_limit == 10_kt);
  CHECK(s.surface == "concrete");
  CHECK(s.closed);
}
