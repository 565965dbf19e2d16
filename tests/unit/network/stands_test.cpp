// Rule 9 of real maps: stands as lines and points, on and off the network, gates.
#include <catch2/catch.hpp>

#include "findings.hpp"
#include "solotaxi/network/build.hpp"
#include "support/ascii_map.hpp"

using namespace solotaxi;
using namespace solotaxi::network;
using namespace solotaxi::test;

namespace {
const char* const kField = R"(
      s   t
      |   |
      a---b---c---e
                  |
      P-----------+---Q
                  f
    )";
const std::string kRunway = "runway 09/27: P f Q", kTaxiway = "taxiway A: a b c e f";
}  // namespace

TEST_CASE("the free end of a stand line is the stand, whichever way it is drawn") {
  for (const char* line : {"stand 7: b t", "stand 7: t b"}) {
    const AsciiMap map(kField, {kTaxiway, line, kRunway});
    const auto net = build_network(map.field());
    REQUIRE(net.stands.size() == 1);
    CHECK(net.stands[0].ref == "7");
    CHECK(net.stands[0].node == map.node(net, 't'));
    CHECK(net.segment(map.arc(net, 'b', 't')).kind == LineKind::stand_line);
    CHECK(found(net, "stand-connector").empty());
  }
}

TEST_CASE("a stand line that misses its taxiway is joined: by going on within the snap distance, else by a connector") {
  const AsciiMap near(kField, {kTaxiway, "stand 7: t b@0,1.5", kRunway});
  const auto snapped = build_network(near.field());
  CHECK(found(snapped, "joined-near-miss").size() == 1);
  CHECK(snapped.stands[0].node == near.node(snapped, 't'));

  const AsciiMap far(kField, {kTaxiway, "stand 7: t b@0,7.5", kRunway});
  const auto net = build_network(far.field());
  const auto reports = found(net, "stand-connector");
  REQUIRE(reports.size() == 1);
  CHECK(reports[0].text.find("7.50 m") != std::string::npos);
  CHECK(net.stands[0].node == far.node(net, 't'));
  CHECK(connected(net, net.stands[0].node, far.node(net, 'P')));
  double connector_m = 0.0;
  for (const auto& s : net.segments)
    if (s.kind == LineKind::connector) {
      CHECK(s.assumed);
      connector_m += s.length_m;
    }
  CHECK(connector_m == Approx(7.5).epsilon(1e-6));
}

TEST_CASE("stand lines that share their lead-in and hang free together get one connector") {
  const AsciiMap map(kField, {kTaxiway, "stand 7: b@0,6 s", "stand 8: b@0,6 t", kRunway});
  const auto net = build_network(map.field());
  CHECK(found(net, "stand-connector").size() == 1);
  REQUIRE(net.stands.size() == 2);
  CHECK(net.stands[0].node == map.node(net, 's'));
  CHECK(net.stands[1].node == map.node(net, 't'));
}

TEST_CASE("a stand drawn as a point is used as it is on a line, and joined by a connector off it") {
  const AsciiMap on(kField, {kTaxiway, "stand 1: b", "stand 2: c@3,0.4", kRunway});
  const auto net_on = build_network(on.field());
  REQUIRE(net_on.stands.size() == 2);
  CHECK(net_on.stands[0].node == on.node(net_on, 'b'));
  CHECK(degree(net_on, net_on.stands[1].node) == 2);
  CHECK(found(net_on, "stand-connector").empty());

  const AsciiMap off(kField, {kTaxiway, "stand 3: s", kRunway});
  const auto net = build_network(off.field());
  REQUIRE(net.stands.size() == 1);
  CHECK(net.stands[0].node == off.node(net, 's'));
  const auto reports = found(net, "stand-connector");
  REQUIRE(reports.size() == 1);
  CHECK(reports[0].text.find("20.0 m") != std::string::npos);
}

TEST_CASE("a stand farther than its reach is left out with a finding") {
  const AsciiMap map(kField, {kTaxiway, "stand 3: s@0,41", kRunway});
  const auto net = build_network(map.field());  // 61 m from A
  CHECK(net.stands.empty());
  const auto reports = found(net, "stand-off-network");
  REQUIRE(reports.size() == 1);
  CHECK(reports[0].where.id == "node/2000");
  CHECK(build_network(map.field(), {.stand_reach_m = 62.0}).stands.size() == 1);
}

TEST_CASE("a connector never crosses a runway") {
  const AsciiMap map(R"(
      a-------b
      P-------Q
          s
    )",
                     {"taxiway A: a b", "stand 3: s", "runway 09/27: P Q"});
  const auto net = build_network(map.field());
  CHECK(net.stands.empty());
  CHECK(found(net, "stand-off-network").size() == 1);
}

TEST_CASE("a gate on a building uses the nearest taxiway node and is approximate") {
  const AsciiMap map(kField, {kTaxiway, "taxiway B: b t", "gate 12: t@30,20", kRunway});
  const auto net = build_network(map.field());
  REQUIRE(net.stands.size() == 1);
  CHECK(net.stands[0].approximate);
  CHECK(net.stands[0].node == map.node(net, 't'));
  CHECK(found(net, "gate-as-stand").size() == 1);
}

TEST_CASE("one ref may name many stands, and a stand on an island is reported as unreachable") {
  const AsciiMap map(
      R"(
      s   t       i---j
      |   |
      a---b---e
              |
      P-------f---Q
    )",
      {"taxiway A: a b e f", "stand 3: a s", "stand 3: b t", "taxiway I: i j", "stand 3: j", "runway 09/27: P f Q"});
  const auto net = build_network(map.field());
  CHECK(net.stands.size() == 3);
  const auto reports = found(net, "stand-unreachable");
  REQUIRE(reports.size() == 1);
  CHECK(reports[0].where.id == net.stands[2].id);
}
