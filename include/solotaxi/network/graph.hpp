// The network as Boost.Graph sees it, for its algorithms, as an oracle in tests and as the rival in benchmarks.
//
// A heavy header (about 1.2 s a file): include it in .cpp files only. Both graphs are compressed sparse rows, built in time
// and memory linear in nodes + arcs + movements.
#pragma once

#include <boost/graph/compressed_sparse_row_graph.hpp>
#include <cstdint>

#include "solotaxi/network/network.hpp"

namespace solotaxi::network {

struct NodeGraphEdge {
  std::uint32_t arc = 0;  ///< index of the arc
  double length_m = 0.0;
};
struct MovementGraphEdge {
  std::uint32_t movement = 0;  ///< index into Network::movements
};

/// Vertices are nodes, edges the arcs between them. It knows nothing of turns.
using NodeGraph = boost::compressed_sparse_row_graph<boost::directedS, boost::no_property, NodeGraphEdge,
                                                     boost::no_property, std::uint32_t, std::uint32_t>;
/// Vertices are arcs, edges the movements between them (the expanded line graph).
using MovementGraph = boost::compressed_sparse_row_graph<boost::directedS, boost::no_property, MovementGraphEdge,
                                                         boost::no_property, std::uint32_t, std::uint32_t>;

/// Which arcs become edges of a node graph.
enum class Arcs { drivable, all };

/// `Arcs::drivable` respects one-way segments; `Arcs::all` has every segment in both directions.
[[nodiscard]] NodeGraph node_graph(const Network& network, Arcs arcs = Arcs::drivable);
[[nodiscard]] MovementGraph movement_graph(const Network& network);

}  // namespace solotaxi::network
