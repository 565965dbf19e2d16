// Rule 10 of real maps: holding positions, mapped and assumed.
#include <catch2/catch.hpp>

#include "findings.hpp"
#include "solotaxi/network/build.hpp"
#include "support/ascii_map.hpp"

using namespace solotaxi;
using namespace solotaxi::network;
using namespace solotaxi::test;

namespace {

// Two entries, 150 m from the parallel taxiway to the runway.
const char* const kField = R"(
      a-----b-----c
            |     |
            |     |
            |     |
            |     |
            |     h
            |     |
            k     |
            |     |
            |     |
            |     |
            |     |
            |     |
            |     |
      P-----e-----f---Q
    )";
const std::vector<std::string> kLines = {"taxiway A: a b c", "taxiway B: b k e", "taxiway C: c f", "runway 09/27: P e f Q"};

std::vector<std::string> with(std::vector<std::string> lines, std::initializer_list<std::string> more) {
  lines.insert(lines.end(), more);
  return lines;
}

}  // namespace

TEST_CASE("without mapped holding positions each way out of a runway gets an assumed one 90 m from the centreline") {
  const AsciiMap map(kField, kLines);
  const auto net = build_network(map.field());
  REQUIRE(net.holding_points.size() == 2);
  for (const auto& h : net.holding_points) {
    CHECK(h.assumed);
    CHECK(h.id.rfind("assumed/", 0) == 0);
    CHECK(h.runway == 0);
    CHECK(net.node(h.node).xy.y_m - map.xy('e').y_m == Approx(90.0).margin(0.02));
    CHECK(degree(net, h.node) == 2);
  }
  const auto reports = found(net, "assumed-holding-points");
  REQUIRE(reports.size() == 1);  // one finding a runway
  CHECK(reports[0].text.find("2 way(s)") != std::string::npos);
  // The split adds a place and no length: 120 + 140 + 140 + 160 m.
  CHECK(total_length(net) == Approx(560.0).epsilon(1e-6));
  CHECK(build_network(map.field(), {.assumed_hold_m = 60.0}).holding_points.size() == 2);
}

TEST_CASE("a mapped holding position keeps its place and its way out gets no assumed one") {
  // On a vertex; in the middle of a piece at 70 m; at 100 m, which is beyond the assumed distance.
  const AsciiMap map(kField, with(kLines, {"hold B1: k", "hold C1: h"}));
  const auto net = build_network(map.field());
  REQUIRE(net.holding_points.size() == 2);
  CHECK(net.holding_points[0].id == "node/" + std::to_string(1000 + 'k'));
  CHECK(net.holding_points[0].ref == "B1");
  CHECK(net.holding_points[0].node == map.node(net, 'k'));
  CHECK(net.holding_points[1].node == map.node(net, 'h'));
  for (const auto& h : net.holding_points) {
    CHECK_FALSE(h.assumed);
    CHECK(h.runway == 0);
  }
  CHECK(found(net, "assumed-holding-points").empty());
}

TEST_CASE("one mapped holding position leaves the other way out to an assumed one") {
  const AsciiMap map(kField, with(kLines, {"hold B1: k"}));
  const auto net = build_network(map.field());
  REQUIRE(net.holding_points.size() == 2);
  CHECK_FALSE(net.holding_points[0].assumed);
  CHECK(net.holding_points[1].assumed);
  CHECK(net.node(net.holding_points[1].node).xy.x_m == Approx(map.xy('f').x_m).margin(1e-6));
}

TEST_CASE("a holding position beside its taxiway is put on it, one far from every taxiway is left out with a finding") {
  const AsciiMap map(kField, with(kLines, {"hold B1: k@9,3", "hold X: a@0,-60"}));
  const auto net = build_network(map.field());
  REQUIRE_FALSE(net.holding_points.empty());
  CHECK(net.holding_points[0].ref == "B1");
  CHECK(net.node(net.holding_points[0].node).xy.x_m == Approx(map.xy('k').x_m).margin(1e-6));
  CHECK(net.node(net.holding_points[0].node).xy.y_m == Approx(map.xy('k').y_m + 3.0).epsilon(1e-6));
  REQUIRE(found(net, "holding-position-moved").size() == 1);
  CHECK(found(net, "holding-position-moved")[0].text.find("9.00 m") != std::string::npos);
  CHECK(found(net, "holding-position-off-network").size() == 1);
}

TEST_CASE("an intermediate holding position protects no runway") {
  const AsciiMap map(kField, with(kLines, {"hold B1: k; type=intermediate"}));
  const auto net = build_network(map.field());
  REQUIRE(net.holding_points.size() == 3);
  CHECK(net.holding_points[0].runway == -1);
}

TEST_CASE("a holding position belongs to the runway whose way out meets it first") {
  const AsciiMap map(R"(
      R---r---S
          |
          h
          |
          |
          |
          k
          |
      P---e---Q
    )",
                     {"taxiway B: r h k e", "hold N: h", "hold S: k", "runway 09/27: P e Q", "runway 08/26: R r S"});
  const auto net = build_network(map.field());
  REQUIRE(net.holding_points.size() == 2);
  CHECK(net.holding_points[0].runway == 1);
  CHECK(net.holding_points[1].runway == 0);
}

TEST_CASE("a way out that never reaches the assumed distance has no holding point, with a finding") {
  const AsciiMap map(R"(
      a-----b
            |
            |
      P-----e-----Q
    )",
                     {"taxiway A: a b", "taxiway B: b e", "runway 09/27: P e Q"});
  const auto net = build_network(map.field());
  CHECK(net.holding_points.empty());
  CHECK(found(net, "no-holding-point").size() == 1);
}

TEST_CASE("no holding point is assumed on another runway") {
  const AsciiMap map(R"(
      R
      |
      |
      |
      |
      |
      |
      |
      |
      |
      |
      |
      e---P-------Q
      |
      S
    )",
                     {"taxiway B: e P", "runway 09/27: P Q", "runway 18/36: R e S"});
  const auto net = build_network(map.field());
  CHECK(net.holding_points.empty());
}

TEST_CASE("a junction within half a metre of the assumed distance holds for all ways that meet there") {
  const AsciiMap map(
      R"(
      a           c

           j





      P----e------Q
    )",
      {"taxiway A: a@0,60 j@0,29.8", "taxiway C: c@0,60 j@0,29.8", "taxiway B: j@0,29.8 e", "runway 09/27: P e Q"});
  const auto net = build_network(map.field());
  REQUIRE(net.holding_points.size() == 1);
  CHECK(net.node(net.holding_points[0].node).xy.y_m - map.xy('e').y_m == Approx(89.8).margin(0.01));
  CHECK(degree(net, net.holding_points[0].node) == 3);
}
