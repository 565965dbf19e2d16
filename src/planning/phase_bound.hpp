// Lower bounds of the way from the other end: plain cheapest costs, each step in its cheapest phase.
//
// Buckets of a quarter of the middle step's cost, in a ring; inside a bucket labels are corrected until none changes. It
// must be quick before all: it is most of the work of a guided search.
#pragma once

#include <algorithm>
#include <array>
#include <span>
#include <vector>

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
  static constexpr std::size_t kBuckets = 1024;

  struct Node {
    double cost;
    std::uint32_t mark;
    bool waits, target;
  };
  Node& fresh(std::uint32_t state) {
    Node& n = node_[state];
    if (n.mark != round_) n = {kBarred, round_, false, false};
    return n;
  }
  void improve(std::uint32_t state, double cost);
  bool next_bucket();
  void begin(std::size_t states);

  std::vector<Node> node_;
  std::uint32_t round_ = 0;
  double cut_ = kBarred;

  std::array<std::vector<std::uint32_t>, kBuckets> ring_;
  std::vector<std::uint32_t> later_;  ///< states whose bucket is beyond the ring
  double later_least_ = kBarred;      ///< the least of those buckets
  double per_bucket_ = 1.0;           ///< buckets a kilogram
  double current_ = 0.0;              ///< number of the bucket being scanned
  std::size_t in_ring_ = 0;           ///< entries in it
};

}  // namespace solotaxi::planning
