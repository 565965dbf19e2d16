// The draft's vertices as a graph, for walks along the drawn lines before there are segments.
#pragma once

#include <functional>
#include <vector>

#include "network/draft.hpp"

namespace solotaxi::network::detail {

/// A snapshot: make a new one after lines have changed.
class VertexGraph {
 public:
  struct Edge {
    VertexId to = kNoVertex;
    Piece piece;
    double length_m = 0.0;  ///< planar
  };

  explicit VertexGraph(const Draft& draft);
  [[nodiscard]] std::span<const Edge> at(VertexId v) const {
    return {edges_.data() + first_[v], edges_.data() + first_[v + 1]};
  }
  [[nodiscard]] std::size_t degree(VertexId v) const { return first_[v + 1] - first_[v]; }

  struct Reached {
    VertexId vertex = kNoVertex;
    double way_m = 0.0;
  };
  /// Vertices within `limit_m` of any start by way over the edges that `may_use` lets pass, in order of way, the starts
  /// first. `may_use(from, edge)` is asked once an edge and direction, when `from` is settled.
  [[nodiscard]] std::vector<Reached> walk(std::span<const VertexId> starts, double limit_m,
                                          const std::function<bool(const Reached& from, const Edge&)>& may_use) const;

 private:
  std::vector<std::uint32_t> first_;
  std::vector<Edge> edges_;
};

}  // namespace solotaxi::network::detail
