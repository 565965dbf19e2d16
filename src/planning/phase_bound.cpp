#include "planning/phase_bound.hpp"

namespace solotaxi::planning {
namespace {

/// Targets dearer than this times the cheapest do not prolong the search: the bound there is only weaker.
constexpr double kFarTargets = 1.25;

}  // namespace

PhaseBound::Node& PhaseBound::fresh(std::uint32_t state) {
  Node& n = node_[state];
  if (n.mark != round_) n = {kBarred, round_, false, false};
  return n;
}

bool PhaseBound::run(const PhaseGraph& graph, PhaseGraph::Bound kind, std::span<const Source> sources,
                     std::span<const std::uint32_t> targets) {
  if (++round_ == 0 || node_.size() != graph.state_count()) {
    node_.assign(graph.state_count(), Node{kBarred, 0, false, false});
    round_ = 1;
  }
  cut_ = kBarred;
  queue_.clear();
  std::size_t open_targets = 0;
  for (const std::uint32_t t : targets) {
    Node& n = fresh(t);
    open_targets += n.target ? 0 : 1;
    n.target = true;
  }
  for (const Source& s : sources) {
    Node& n = fresh(s.state);
    if (!(s.cost_kg < n.cost)) continue;
    n.cost = s.cost_kg;
    queue_.push(n.cost, s.state);
  }
  double stop = kBarred;
  while (!queue_.empty()) {
    const auto entry = queue_.pop();
    const double cost = entry.cost();
    Node& n = node_[entry.value];
    if (n.settled) continue;
    n.settled = true;
    if (n.target) {
      if (stop == kBarred) stop = kFarTargets * cost;
      --open_targets;
    }
    if (cost > stop || (open_targets == 0 && stop < kBarred)) {
      cut_ = cost;
      return true;
    }
    for (const PhaseGraph::PlainStep& step : graph.plain(kind, entry.value)) {
      Node& to = fresh(step.state);
      const double through = cost + static_cast<double>(step.cost_kg);
      if (!(through < to.cost)) continue;
      to.cost = through;
      queue_.push(through, step.state);
    }
  }
  return stop < kBarred;
}

}  // namespace solotaxi::planning
