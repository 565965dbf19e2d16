#include "planning/phase_bound.hpp"

#include <cmath>

namespace solotaxi::planning {
namespace {

/// Targets dearer than this times the cheapest do not prolong the search: the bound there is only weaker.
constexpr double kFarTargets = 1.25;
/// The cut is taken this much lower, far above the rounding of a bucket's edge.
constexpr double kRounding = 1.0 - 1e-12;

}  // namespace

void PhaseBound::begin(std::size_t states) {
  if (++round_ == 0 || node_.size() != states) {
    node_.assign(states, Node{kBarred, 0, false, false});
    round_ = 1;
  }
  if (in_ring_ > 0)
    for (auto& bucket : ring_) bucket.clear();
  in_ring_ = 0;
  later_.clear();
  later_least_ = kBarred;
  cut_ = kBarred;
}

void PhaseBound::improve(std::uint32_t state, double cost) {
  Node& n = fresh(state);
  if (!(cost < n.cost)) return;
  n.cost = cost;
  n.waits = true;
  const double bucket = std::floor(cost * per_bucket_);
  if (bucket - current_ < static_cast<double>(kBuckets)) {
    ring_[static_cast<std::size_t>(bucket) % kBuckets].push_back(state);
    ++in_ring_;
  } else {
    later_.push_back(state);
    later_least_ = std::min(later_least_, bucket);
  }
}

bool PhaseBound::next_bucket() {
  if (in_ring_ > 0) {
    do ++current_;
    while (ring_[static_cast<std::size_t>(current_) % kBuckets].empty());
  }
  if (in_ring_ > 0 && current_ <= later_least_) return true;
  if (later_.empty()) return in_ring_ > 0;
  current_ = later_least_;
  later_least_ = kBarred;
  std::vector<std::uint32_t> waiting;
  waiting.swap(later_);
  for (const std::uint32_t s : waiting) {
    if (!node_[s].waits) continue;  // reached more cheaply and scanned since
    const double cost = node_[s].cost;
    node_[s].cost = kBarred;
    improve(s, cost);
  }
  return true;
}

bool PhaseBound::run(const PhaseGraph& graph, PhaseGraph::Bound kind, std::span<const Source> sources,
                     std::span<const std::uint32_t> targets) {
  begin(graph.state_count());
  const PhaseGraph::PlainSteps& plain = graph.plain(kind);
  per_bucket_ = plain.buckets_per_kg();
  std::size_t open_targets = 0;
  for (const std::uint32_t t : targets) {
    Node& n = fresh(t);
    open_targets += n.target ? 0 : 1;
    n.target = true;
  }
  current_ = kBarred;
  for (const Source& s : sources) current_ = std::min(current_, std::floor(s.cost_kg * per_bucket_));
  if (current_ == kBarred) return false;
  for (const Source& s : sources) improve(s.state, s.cost_kg);
  double stop = kBarred;
  do {
    auto& bucket = ring_[static_cast<std::size_t>(current_) % kBuckets];
    for (std::size_t i = 0; i < bucket.size(); ++i) {
      const std::uint32_t state = bucket[i];
      Node& n = node_[state];
      if (!n.waits) continue;
      n.waits = false;
      const double cost = n.cost;
      if (n.target) {
        n.target = false;
        --open_targets;
        stop = std::min(stop, kFarTargets * cost);
      }
      for (const PhaseGraph::PlainStep& step : plain.at(state))
        improve(step.state, cost + static_cast<double>(step.cost_kg));
    }
    in_ring_ -= bucket.size();
    bucket.clear();
    const double reached = (current_ + 1.0) / per_bucket_ * kRounding;
    if (stop < kBarred && (open_targets == 0 || reached > stop)) {
      cut_ = reached;
      return true;
    }
  } while (next_bucket());
  return stop < kBarred;
}

}  // namespace solotaxi::planning
