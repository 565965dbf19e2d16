#include "support/search_oracle.hpp"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <cmath>

#include "support/random_network.hpp"

namespace solotaxi::test {

using network::ArcId;
using network::index;
using routing::kShut;

SearchWeights random_weights(std::mt19937_64& random, const network::Network& net, const WeightOptions& options) {
  SearchWeights w;
  for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
    const double dear = 1.0 + 2.0 * random_unit(random);
    auto weight = static_cast<Weight>(std::lround(net.segment(ArcId{a}).length_m * options.unit * dear));
    if (random_unit(random) < options.nought) weight = 0;
    if (random_unit(random) < options.heavy) weight += 1'000'000'000;
    if (random_unit(random) < options.shut_arcs || !net.may_drive(ArcId{a})) weight = kShut;
    w.arc.push_back(weight);
  }
  for (const network::Movement& m : net.movements) {
    const Weight entered = w.arc[index(m.to)];
    // From as negative as the arc entered allows (a turn away from the running engine) to half of it more.
    Weight turn = entered == kShut ? 0 : static_cast<Weight>(random_int(random, -PathWeight{entered}, entered / 2));
    if (random_unit(random) < 0.3) turn = 0;
    if (random_unit(random) < options.shut_movements) turn = kShut;
    w.movement.push_back(turn);
  }
  return w;
}

SearchWeights length_weights(const network::Network& net) {
  SearchWeights w;
  for (std::uint32_t a = 0; a < net.arc_count(); ++a)
    w.arc.push_back(static_cast<Weight>(std::lround(1000.0 * net.segment(ArcId{a}).length_m)));
  w.movement.assign(net.movements.size(), 0);
  return w;
}

std::vector<Terminal> random_terminals(std::mt19937_64& random, const network::Network& net, int count, PathWeight most) {
  std::vector<Terminal> terminals;
  for (int i = 0; i < count; ++i)
    terminals.push_back(
        {ArcId{static_cast<std::uint32_t>(random_int(random, 0, static_cast<std::int64_t>(net.arc_count()) - 1))},
         random_int(random, 0, most)});
  return terminals;
}

// A source joined to the seeds stands for them.
std::vector<PathWeight> boost_labels(const network::Network& net, const SearchWeights& w,
                                     const std::vector<Terminal>& seeds) {
  using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS, boost::no_property,
                                      boost::property<boost::edge_weight_t, PathWeight>>;
  Graph graph(net.arc_count() + 1);
  const std::size_t source = net.arc_count();
  for (const Terminal& s : seeds) add_edge(source, index(s.arc), s.weight, graph);
  for (std::size_t m = 0; m < net.movements.size(); ++m) {
    const std::uint32_t from = index(net.movements[m].from), to = index(net.movements[m].to);
    if (w.movement[m] == kShut || w.arc[from] == kShut || w.arc[to] == kShut) continue;
    add_edge(from, to, PathWeight{w.movement[m]} + w.arc[to], graph);
  }
  std::vector<PathWeight> label(net.arc_count() + 1);
  boost::dijkstra_shortest_paths(graph, source, boost::distance_map(label.data()).distance_inf(kFar));
  label.pop_back();
  return label;
}

std::optional<PathWeight> weigh(const network::Network& net, const SearchWeights& w, const std::vector<ArcId>& way,
                                const std::vector<Terminal>& seeds) {
  if (way.empty()) return std::nullopt;
  PathWeight total = kFar;
  for (const Terminal& s : seeds)
    if (s.arc == way.front()) total = std::min(total, s.weight);
  if (total == kFar) return std::nullopt;
  for (std::size_t i = 1; i < way.size(); ++i) {
    const auto movements = net.movements_from(way[i - 1]);
    const auto m = std::find_if(movements.begin(), movements.end(), [&](const auto& x) { return x.to == way[i]; });
    if (m == movements.end()) return std::nullopt;
    const auto at = static_cast<std::size_t>(&*m - net.movements.data());
    if (w.movement[at] == kShut || w.arc[index(way[i])] == kShut || w.arc[index(way[i - 1])] == kShut) return std::nullopt;
    total += PathWeight{w.movement[at]} + w.arc[index(way[i])];
  }
  return total;
}

}  // namespace solotaxi::test
