#include "bench/baseline.hpp"

#include <boost/graph/compressed_sparse_row_graph.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <utility>
#include <vector>

namespace solotaxi::bench {
namespace {

using network::ArcId;
using network::index;
using routing::kShut;

struct EdgeWeight {
  std::int64_t weight = 0;
};
using Graph = boost::compressed_sparse_row_graph<boost::directedS, boost::no_property, EdgeWeight, boost::no_property,
                                                 std::uint32_t, std::uint32_t>;

struct Settled {};

struct StopAt : boost::default_dijkstra_visitor {
  std::uint32_t goal;
  explicit StopAt(std::uint32_t vertex) : goal(vertex) {}
  void examine_vertex(std::uint32_t vertex, const Graph&) const {
    if (vertex == goal) throw Settled{};
  }
};

}  // namespace

struct Baseline::Parts {
  Graph graph;
  std::vector<std::int64_t> label;
  std::vector<std::uint32_t> parent;

  Parts(std::size_t vertices, const std::vector<std::pair<std::uint32_t, std::uint32_t>>& edges,
        const std::vector<EdgeWeight>& weights)
      : graph(boost::edges_are_unsorted_multi_pass, edges.begin(), edges.end(), weights.begin(),
              static_cast<std::uint32_t>(vertices)),
        label(vertices),
        parent(vertices) {}

  template <class Visitor>
  void run(std::uint32_t from, Visitor visitor) {
    const auto number = get(boost::vertex_index, graph);
    boost::dijkstra_shortest_paths(graph, from,
                                   boost::weight_map(get(&EdgeWeight::weight, graph))
                                       .distance_map(boost::make_iterator_property_map(label.begin(), number))
                                       .predecessor_map(boost::make_iterator_property_map(parent.begin(), number))
                                       .distance_inf(kFar)
                                       .visitor(visitor));
  }
};

Baseline::Baseline(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
Baseline::Baseline(Baseline&&) noexcept = default;
Baseline::~Baseline() = default;

Baseline Baseline::on_nodes(const network::Network& net, std::span<const routing::Weight> arc) {
  std::vector<std::pair<std::uint32_t, std::uint32_t>> edges;
  std::vector<EdgeWeight> weights;
  for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
    if (arc[a] == kShut) continue;
    edges.emplace_back(index(net.tail(ArcId{a})), index(net.head(ArcId{a})));
    weights.push_back({arc[a]});
  }
  return Baseline(std::make_unique<Parts>(net.nodes.size(), edges, weights));
}

Baseline Baseline::on_arcs(const network::Network& net, std::span<const routing::Weight> arc,
                           std::span<const routing::Weight> movement) {
  std::vector<std::pair<std::uint32_t, std::uint32_t>> edges;
  std::vector<EdgeWeight> weights;
  for (std::size_t m = 0; m < net.movements.size(); ++m) {
    const std::uint32_t from = index(net.movements[m].from), to = index(net.movements[m].to);
    if (arc[from] == kShut || arc[to] == kShut || movement[m] == kShut) continue;
    edges.emplace_back(from, to);
    weights.push_back({std::int64_t{arc[to]} + movement[m]});
  }
  return Baseline(std::make_unique<Parts>(net.arc_count(), edges, weights));
}

std::int64_t Baseline::find(std::uint32_t from, std::uint32_t to) {
  try {
    parts_->run(from, StopAt(to));
  } catch (const Settled&) {
  }
  return parts_->label[to];
}

void Baseline::find_all(std::uint32_t from) { parts_->run(from, boost::default_dijkstra_visitor()); }

std::int64_t Baseline::label(std::uint32_t vertex) const { return parts_->label[vertex]; }

}  // namespace solotaxi::bench
