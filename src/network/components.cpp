// The connected parts of the network, direction ignored, and the findings about them.
#include <fmt/format.h>

#include <algorithm>
#include <boost/graph/strong_components.hpp>
#include <numeric>

#include "network/draft.hpp"
#include "solotaxi/network/graph.hpp"

namespace solotaxi::network::detail {
namespace {

struct Parts {
  std::vector<std::uint32_t> of_node;
  std::vector<double> length_m;  ///< by part
};

/// Parts of a graph that has every edge in both directions, numbered by falling length, then by their first node.
Parts find_parts(const NodeGraph& graph, std::size_t nodes) {
  Parts parts;
  std::vector<std::uint32_t> raw(nodes, 0);
  const auto count = boost::strong_components(graph, boost::make_iterator_property_map(raw.begin(), get(boost::vertex_index, graph)));
  std::vector<double> length(count, 0.0);
  std::vector<std::uint32_t> first(count, 0xFFFFFFFF);
  for (std::uint32_t n = 0; n < nodes; ++n) {
    first[raw[n]] = std::min(first[raw[n]], n);
    for (auto [e, end] = out_edges(n, graph); e != end; ++e) length[raw[n]] += graph[*e].length_m / 2.0;
  }
  std::vector<std::uint32_t> order(count);
  std::iota(order.begin(), order.end(), 0U);
  std::sort(order.begin(), order.end(), [&](auto a, auto b) {
    return length[a] != length[b] ? length[a] > length[b] : first[a] < first[b];
  });
  std::vector<std::uint32_t> number(count);
  for (std::uint32_t i = 0; i < count; ++i) {
    number[order[i]] = i;
    parts.length_m.push_back(length[order[i]]);
  }
  for (const auto r : raw) parts.of_node.push_back(number[r]);
  return parts;
}

}  // namespace

void number_components(Network& net) {
  auto parts = find_parts(node_graph(net, Arcs::all), net.nodes.size());
  net.components = parts.length_m.size();
  net.component = std::move(parts.of_node);
}

}  // namespace solotaxi::network::detail
