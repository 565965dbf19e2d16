// Rules 1, 2, 12 and 15 of real maps: crossings, T-junctions, spikes.
#include <catch2/catch.hpp>

#include "findings.hpp"
#include "solotaxi/network/build.hpp"
#include "support/ascii_map.hpp"

using namespace solotaxi;
using namespace solotaxi::network;
using namespace solotaxi::test;

namespace {
// A runway far away, so that each scenario is a complete field.
const std::string kRunway = "runway 09/27: P Q";
}  // namespace

TEST_CASE("taxiways that cross at one level without a common vertex are joined at grade and reported") {
  const AsciiMap map(R"(
          c
      a-------b
          d


      P-------Q
    )",
                     {"taxiway A: a b", "taxiway C: c d", kRunway});
  const auto net = build_network(map.field());
  CHECK(net.nodes.size() == 7);  // four ends, the crossing, two runway ends
  CHECK(connected(net, map.node(net, 'a'), map.node(net, 'd')));
  const auto reports = found(net, "joined-crossing");
  REQUIRE(reports.size() == 1);
  CHECK(reports[0].where.id == "way/1");
  CHECK(reports[0].where.has_position);
  CHECK(total_length(net) == Approx(80.0 + 20.0 + 80.0).epsilon(1e-6));
}

TEST_CASE("a taxiway that crosses a runway without a common vertex is a serious finding") {
  const AsciiMap map(R"(
          c
      P-------Q
          d
    )",
                     {"taxiway C: c d", kRunway});
  const auto net = build_network(map.field());
  const auto reports = found(net, "hidden-runway-crossing");
  REQUIRE(reports.size() == 1);
  CHECK(reports[0].severity == Severity::serious);
  CHECK(reports[0].where.id == "way/1");
  REQUIRE(net.runways[0].entries.size() == 1);
  CHECK(net.runways[0].entries[0].at_m == Approx(40.0).epsilon(1e-6));
  CHECK(net.runways[0].segments.size() == 2);
}

TEST_CASE("bridges, tunnels and lines of other layers are not joined to what they pass over") {
  const auto option = GENERATE("; layer=1", "; bridge", "; tunnel", "; bridge layer=2");
  const AsciiMap map(R"(
          c
      a-------b
          d


      P-------Q
    )",
                     {"taxiway A: a b", std::string("taxiway C: c d") + option, kRunway});
  const auto net = build_network(map.field());
  CHECK(found(net, "joined-crossing").empty());
  CHECK(found(net, "passes-over").size() == 1);
  CHECK_FALSE(connected(net, map.node(net, 'a'), map.node(net, 'd')));
}

TEST_CASE("a bridge is joined where it shares a vertex with what lies below") {
  const AsciiMap map(R"(
      a---e---b
          d


      P-------Q
    )",
                     {"taxiway A: a e b", "taxiway C: e d; bridge layer=1", kRunway});
  const auto net = build_network(map.field());
  CHECK(connected(net, map.node(net, 'a'), map.node(net, 'd')));
}

TEST_CASE("a line that ends in the middle of another splits it, with or without a common vertex") {
  const AsciiMap shared(R"(
      a---e---b
          d


      P-------Q
    )",
                        {"taxiway A: a e b", "taxiway C: e d", kRunway});
  const AsciiMap apart(R"(
      a---e---b
          d


      P-------Q
    )",
                       {"taxiway A: a b", "taxiway C: e d", kRunway});
  for (const auto* map : {&shared, &apart}) {
    const auto net = build_network(map->field());
    CHECK(degree(net, map->node(net, 'e')) == 3);
    CHECK(net.segments.size() == 4);
    CHECK(total_length(net) == Approx(80.0 + 10.0 + 80.0).epsilon(1e-6));
  }
  CHECK(found(build_network(shared.field()), "joined-touching").empty());
  CHECK(found(build_network(apart.field()), "joined-touching").size() == 1);
}

TEST_CASE("three lines that cross in one place meet in one node") {
  const AsciiMap map(R"(
      c   e   g

      a-------b

      h   f   d


      P-------Q
    )",
                     {"taxiway A: a b", "taxiway C: c d", "taxiway E: e f", "taxiway G: g h", kRunway});
  const auto net = build_network(map.field());
  CHECK(net.nodes.size() == 11);
  std::size_t busiest = 0;
  for (std::uint32_t n = 0; n < net.nodes.size(); ++n) busiest = std::max(busiest, degree(net, NodeId{n}));
  CHECK(busiest == 8);
}

TEST_CASE("two lines that pass through the same place with a vertex each are joined in one node") {
  const AsciiMap map(R"(
          c
      a---e---b
          d


      P-------Q
    )",
                     {"taxiway A: a e b", "taxiway C: c e@0.03,0.02 d", kRunway});
  const auto net = build_network(map.field());
  CHECK(net.nodes.size() == 7);
  CHECK(connected(net, map.node(net, 'a'), map.node(net, 'd')));
}

TEST_CASE("runways that cross are joined") {
  const AsciiMap map(R"(
          r
      P---+---Q--t
          s
    )",
                     {kRunway, "runway 18/36: r s", "taxiway T: Q t"});
  const auto net = build_network(map.field());
  CHECK(net.runways[0].segments.size() == 2);
  CHECK(net.runways[1].segments.size() == 2);
  CHECK(connected(net, map.node(net, 'P'), map.node(net, 'r')));
  CHECK(net.runways[1].entries.empty());
}

TEST_CASE("a way that turns back on itself is cut there, both halves stay") {
  const AsciiMap map(R"(
      a-------b
      c


      P-------Q
    )",
                     {"taxiway A: a b c", kRunway});
  const auto net = build_network(map.field());
  const auto b = map.node(net, 'b');
  CHECK(degree(net, b) == 2);
  CHECK(movement(net, map.arc(net, 'a', 'b'), map.arc(net, 'b', 'c')) == nullptr);
  const auto reports = found(net, "turns-back");
  REQUIRE(reports.size() == 1);
  CHECK(reports[0].where.id == "way/1");
}

TEST_CASE("a closed ring of taxiway is whole and has no segment from a node to itself") {
  const AsciiMap map(R"(
      a---b---x
      |   |
      d---c


      P-------Q
    )",
                     {"taxiway R: a b c d a", "taxiway X: b x", kRunway});
  const auto net = build_network(map.field());
  CHECK(total_length(net) == Approx(40.0 + 40.0 + 20.0 + 20.0 + 40.0 + 80.0).epsilon(1e-6));
  for (const auto& s : net.segments) CHECK(s.from != s.to);
  const AsciiMap lone(R"(
      a---b
      d---c


      P-------Q
    )",
                      {"taxiway R: a b c d a", kRunway});
  for (const auto& s : build_network(lone.field()).segments) CHECK(s.from != s.to);
}

TEST_CASE("pieces without length and ways drawn twice are left out with a finding") {
  const AsciiMap map(R"(
      a---b---c


      P-------Q
    )",
                     {"taxiway A: a b b c", "taxiway A: c b a", "taxiway Z: a a", kRunway});
  const auto net = build_network(map.field());
  CHECK(found(net, "zero-length-piece").size() == 2);
  CHECK(found(net, "zero-length-line").size() == 1);
  CHECK(found(net, "duplicate-line").size() == 1);
  CHECK(net.segments.size() == 3);  // two halves of A where Z and the second A meet it, and the runway
  CHECK(net.centrelines == 3);
}
