#include "network/vertex_graph.hpp"

#include <queue>
#include <unordered_map>

namespace solotaxi::network::detail {

VertexGraph::VertexGraph(const Draft& draft) : first_(draft.vertices.size() + 1, 0) {
  const auto each_piece = [&](auto&& visit) {
    for (std::uint32_t l = 0; l < draft.lines.size(); ++l)
      for (std::uint32_t i = 0; i + 1 < draft.lines[l].vertices.size(); ++i)
        visit(Piece{l, i}, draft.lines[l].vertices[i], draft.lines[l].vertices[i + 1]);
  };
  each_piece([&](Piece, VertexId a, VertexId b) {
    ++first_[a + 1];
    ++first_[b + 1];
  });
  for (std::size_t v = 1; v < first_.size(); ++v) first_[v] += first_[v - 1];
  edges_.resize(first_.back());
  auto next = first_;
  each_piece([&](Piece p, VertexId a, VertexId b) {
    const double length = distance_m(draft.xy(a), draft.xy(b));
    edges_[next[a]++] = {b, p, length};
    edges_[next[b]++] = {a, p, length};
  });
}

std::vector<VertexGraph::Reached> VertexGraph::walk(
    std::span<const VertexId> starts, double limit_m,
    const std::function<bool(const Reached& from, const Edge&)>& may_use) const {
  using Entry = std::pair<double, VertexId>;
  std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue;
  std::unordered_map<VertexId, double> best;
  for (const VertexId v : starts)
    if (best.try_emplace(v, 0.0).second) queue.emplace(0.0, v);
  std::vector<Reached> reached;
  while (!queue.empty()) {
    const auto [way, v] = queue.top();
    queue.pop();
    if (way > best[v]) continue;
    reached.push_back({v, way});
    for (const Edge& e : at(v)) {
      if (!may_use(reached.back(), e)) continue;
      const double further = way + e.length_m;
      if (further > limit_m) continue;
      const auto [it, fresh] = best.try_emplace(e.to, further);
      if (fresh || further < it->second) {
        it->second = further;
        queue.emplace(further, e.to);
      }
    }
  }
  return reached;
}

}  // namespace solotaxi::network::detail
