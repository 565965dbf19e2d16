#include "solotaxi/network/graph.hpp"

#include <utility>
#include <vector>

namespace solotaxi::network {

NodeGraph node_graph(const Network& net, Arcs arcs) {
  std::vector<std::pair<std::uint32_t, std::uint32_t>> ends;
  std::vector<NodeGraphEdge> edges;
  ends.reserve(net.arc_count());
  edges.reserve(net.arc_count());
  for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
    const ArcId arc{a};
    if (arcs == Arcs::drivable && !net.may_drive(arc)) continue;
    ends.emplace_back(index(net.tail(arc)), index(net.head(arc)));
    edges.push_back({a, net.segment(arc).length_m});
  }
  return {boost::edges_are_unsorted_multi_pass, ends.begin(), ends.end(), edges.begin(),
          static_cast<std::uint32_t>(net.nodes.size())};
}

MovementGraph movement_graph(const Network& net) {
  std::vector<std::pair<std::uint32_t, std::uint32_t>> ends;
  std::vector<MovementGraphEdge> edges;
  ends.reserve(net.movements.size());
  edges.reserve(net.movements.size());
  for (std::uint32_t m = 0; m < net.movements.size(); ++m) {
    ends.emplace_back(index(net.movements[m].from), index(net.movements[m].to));
    edges.push_back({m});
  }
  return {boost::edges_are_sorted, ends.begin(), ends.end(), edges.begin(), static_cast<std::uint32_t>(net.arc_count())};
}

}  // namespace solotaxi::network
