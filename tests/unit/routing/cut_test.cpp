#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <stdexcept>

#include "solotaxi/network/build.hpp"
#include "solotaxi/routing/place.hpp"
#include "support/ascii_map.hpp"

using namespace solotaxi;
using namespace solotaxi::network;
using routing::network_with_node_at;
using test::AsciiMap;

namespace {

const char* const kDrawing = R"(
    a---b---c
        |   |
        |   d
        |
    p---q---r
    )";
Network drawn(const std::string& b_options = "") {
  const AsciiMap map(kDrawing, {"taxiway A: a b c d", "taxiway B: b q" + b_options, "runway 09/27: p q r", "height a: 0",
                                "height b: 1", "height c: 2", "height d: 2", "height q: 3", "height p: 3", "height r: 3"});
  return build_network(map.field());
}

/// The invariants of a network's tables.
void check_tables(const Network& net) {
  REQUIRE(net.first_movement.size() == net.arc_count() + 1);
  REQUIRE(net.first_movement.back() == net.movements.size());
  REQUIRE(net.first_out.size() == net.nodes.size() + 1);
  REQUIRE(net.component.size() == net.nodes.size());
  for (std::uint32_t a = 0; a < net.arc_count(); ++a)
    for (const Movement& m : net.movements_from(ArcId{a})) {
      CHECK(m.from == ArcId{a});
      CHECK(net.head(m.from) == net.tail(m.to));
      CHECK(net.may_drive(m.from));
      CHECK(net.may_drive(m.to));
    }
  for (std::uint32_t n = 0; n < net.nodes.size(); ++n)
    for (const ArcId a : net.arcs_from(NodeId{n})) CHECK(net.tail(a) == NodeId{n});
  for (const Segment& s : net.segments) {
    REQUIRE(s.line.size() == s.geodetic.size());
    REQUIRE(s.line.size() == s.chainage_m.size());
    CHECK(s.chainage_m.front() == 0.0);
    CHECK(s.chainage_m.back() == Approx(s.length_m));
    CHECK(s.profile.front().at_m == 0.0);
    CHECK(s.profile.back().at_m == Approx(s.length_m));
    CHECK(s.grade_sd.size() + 1 == s.profile.size());
    CHECK(distance_m(s.line.front(), net.node(s.from).xy) < 1e-6);
    CHECK(distance_m(s.line.back(), net.node(s.to).xy) < 1e-6);
  }
  for (const Runway& r : net.runways) {
    NodeId at = r.front;
    double length = 0.0;
    for (const SegmentId s : r.segments) {
      REQUIRE((net.segment(s).from == at || net.segment(s).to == at));
      at = net.segment(s).from == at ? net.segment(s).to : net.segment(s).from;
      length += net.segment(s).length_m;
    }
    CHECK(at == r.back);
    CHECK(length == Approx(r.length_m));
  }
}

}  // namespace

TEST_CASE("any segment may be divided anywhere and the tables stay whole") {
  const Network net = drawn();
  for (std::uint32_t s = 0; s < net.segments.size(); ++s)
    for (const double part : {0.1, 0.5, 0.9}) {
      const double at = part * net.segments[s].length_m;
      const auto cut = network_with_node_at(net, SegmentId{s}, at);
      check_tables(cut.network);
      CHECK(index(cut.node) == net.nodes.size());
      CHECK(cut.network.segments.size() == net.segments.size() + 1);
      CHECK(cut.network.segments[s].length_m == Approx(at));
      CHECK(cut.network.segments[s].length_m + cut.network.segments.back().length_m == Approx(net.segments[s].length_m));
      // Two movements more: over the new node, both ways.
      CHECK(cut.network.movements.size() == net.movements.size() + 2);
    }
}

TEST_CASE("a one-way segment stays one-way when divided, a runway stays in order when divided again and again") {
  const Network one_way = drawn("; oneway");
  for (std::uint32_t s = 0; s < one_way.segments.size(); ++s)
    if (one_way.segments[s].name == "B") {
      const auto cut = network_with_node_at(one_way, SegmentId{s}, 20.0);
      check_tables(cut.network);
      CHECK(cut.network.movements.size() == one_way.movements.size() + 1);
    }
  Network net = drawn();
  for (int i = 0; i < 6; ++i) {
    const auto& pieces = net.runways[0].segments;
    const SegmentId s = pieces[static_cast<std::size_t>(i) % pieces.size()];
    net = network_with_node_at(net, s, 0.4 * net.segment(s).length_m).network;
    check_tables(net);
  }
}

TEST_CASE("heights go on through a cut and a cut outside the segment is refused") {
  const Network net = drawn();
  const auto& whole = net.segments[0];
  const auto cut = network_with_node_at(net, SegmentId{0}, 13.0);
  const double height = cut.network.node(cut.node).height_m;
  CHECK(height == cut.network.segments[0].profile.back().height_m);
  CHECK(height == cut.network.segments.back().profile.front().height_m);
  CHECK(height >= std::min(whole.profile.front().height_m, whole.profile.back().height_m) - 0.1);
  CHECK(height <= std::max(whole.profile.front().height_m, whole.profile.back().height_m) + 0.1);
  for (const double at : {0.0, -1.0, whole.length_m, whole.length_m + 1.0, std::nan("")})
    CHECK_THROWS_AS(network_with_node_at(net, SegmentId{0}, at), std::invalid_argument);
}

TEST_CASE("cut into parts, a network keeps its ways, and no part is longer than asked") {
  const Network whole = drawn();
  const auto [net, original] = routing::network_in_parts(whole, 7.0);
  check_tables(net);
  REQUIRE(original.size() == net.segments.size());
  std::vector<double> length_m(whole.segments.size(), 0.0);
  for (std::size_t s = 0; s < net.segments.size(); ++s) {
    CHECK(net.segments[s].length_m <= 7.0 + 1e-9);
    CHECK(net.segments[s].name == whole.segment(original[s]).name);
    length_m[index(original[s])] += net.segments[s].length_m;
  }
  for (std::size_t s = 0; s < whole.segments.size(); ++s) {
    CHECK(length_m[s] == Approx(whole.segments[s].length_m));
    const auto parts =
        static_cast<double>(std::count(original.begin(), original.end(), SegmentId{static_cast<std::uint32_t>(s)}));
    CHECK(parts == std::ceil(whole.segments[s].length_m / 7.0 - 1e-9));
  }
  CHECK(net.nodes.size() == whole.nodes.size() + net.segments.size() - whole.segments.size());
  CHECK_THROWS_AS(routing::network_in_parts(whole, 0.0), std::invalid_argument);
}
