// Boost.Graph as an oracle for what the network says of itself.
#include "solotaxi/network/graph.hpp"

#include <boost/graph/breadth_first_search.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <catch2/catch.hpp>
#include <numeric>

#include "findings.hpp"
#include "solotaxi/network/build.hpp"
#include "support/ascii_map.hpp"

using namespace solotaxi;
using namespace solotaxi::network;
using namespace solotaxi::test;

namespace {
const AsciiMap& drawn() {
  static const AsciiMap map(
      R"(
      a---b---c   i---j
          |   |
          |   |
      P---e---f---Q
    )",
      {"taxiway A: a b c", "taxiway B: b e", "taxiway C: c f; oneway", "taxiway I: i j", "runway 09/27: P e f Q"});
  return map;
}
}  // namespace

TEST_CASE("the node graph has the drivable arcs, and shortest ways on it are lengths of the map") {
  const auto net = build_network(drawn().field());
  const auto graph = node_graph(net);
  CHECK(num_vertices(graph) == net.nodes.size());
  CHECK(num_edges(graph) == net.arc_count() - 1);
  CHECK(num_edges(node_graph(net, Arcs::all)) == net.arc_count());
  std::vector<double> way(net.nodes.size());
  boost::dijkstra_shortest_paths(
      graph, index(drawn().node(net, 'f')),
      boost::weight_map(get(&NodeGraphEdge::length_m, graph))
          .distance_map(boost::make_iterator_property_map(way.begin(), get(boost::vertex_index, graph))));
  // C is one-way towards the runway: back along the runway and up B.
  CHECK(way[index(drawn().node(net, 'c'))] == Approx(40.0 + 30.0 + 40.0).epsilon(1e-6));
}

TEST_CASE("the movement graph has the network's movements in their order") {
  const auto net = build_network(drawn().field());
  const auto graph = movement_graph(net);
  CHECK(num_vertices(graph) == net.arc_count());
  REQUIRE(num_edges(graph) == net.movements.size());
  std::uint32_t m = 0;
  for (std::uint32_t a = 0; a < net.arc_count(); ++a)
    for (auto [e, end] = out_edges(a, graph); e != end; ++e, ++m) {
      CHECK(graph[*e].movement == m);
      CHECK(source(*e, graph) == index(net.movements[m].from));
      CHECK(target(*e, graph) == index(net.movements[m].to));
    }
}

TEST_CASE("components ignore direction and are numbered by falling length") {
  const auto net = build_network(drawn().field());
  REQUIRE(net.components == 2);
  CHECK(net.component[index(drawn().node(net, 'a'))] == 0);
  CHECK(net.component[index(drawn().node(net, 'i'))] == 1);
  // Oracle: union of the two ends of every segment.
  std::vector<std::uint32_t> parent(net.nodes.size());
  std::iota(parent.begin(), parent.end(), 0U);
  const auto root = [&](std::uint32_t n) {
    while (parent[n] != n) n = parent[n];
    return n;
  };
  for (const auto& s : net.segments) parent[root(index(s.from))] = root(index(s.to));
  for (std::uint32_t a = 0; a < net.nodes.size(); ++a)
    for (std::uint32_t b = 0; b < net.nodes.size(); ++b)
      CHECK((net.component[a] == net.component[b]) == (root(a) == root(b)));
}
