// Lower bounds of the way from the other end: plain cheapest costs, each step in its cheapest phase.
#pragma once

#include <algorithm>
#include <span>
#include <vector>

#include "planning/phase_radix.hpp"
#include "solotaxi/planning/phase_graph.hpp"

namespace solotaxi::planning {

class PhaseBound {
 public:
  struct Source {
    std::uint32_t state;
    double cost_kg;
  };

  /// Searches from the sources until the targets are reached; farther states share the cost at which it stopped. Returns
  /// false where no target can be reached.
  bool run(const PhaseGraph& graph, PhaseGraph::Bound kind, std::span<const Source> sources,
           std::span<const std::uint32_t> targets);
  /// kBarred where the state cannot be reached.
  [[nodiscard]] double at(std::uint32_t state) const {
    const Node& n = node_[state];
    return n.mark == round_ ? std::min(n.cost, cut_) : cut_;
  }

 private:
  struct Node {
    double cost;
    std::uint32_t mark = 0;
    bool settled = false, target = false;
  };
  Node& fresh(std::uint32_t state);

  std::vector<Node> node_;
  std::uint32_t round_ = 0;
  double cut_ = kBarred;
  RadixQueue queue_;
};

}  // namespace solotaxi::planning
