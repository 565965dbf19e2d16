// Which runway entries serve a take-off, and what full length needs where none is near the end.
#include <algorithm>

#include "routing/terminals.hpp"

namespace solotaxi::routing {
namespace {

/// The runway arc that leaves a node in the direction of take-off (or, `backward`, toward the end it begins at).
std::optional<ArcId> runway_arc_from(const Question& q, NodeId node, bool backward) {
  for (ArcId a : runway_arcs(*q.net, q.to.runway, q.to.end)) {
    if (backward) a = network::reversed(a);
    if (q.net->tail(a) == node) return a;
  }
  return std::nullopt;
}

/// Whether a taxiway at this node can be driven onto the runway in that direction.
bool can_turn_in(const Question& q, NodeId node, bool backward) {
  const auto onto = runway_arc_from(q, node, backward);
  if (!onto) return false;
  return std::any_of(q.net->movements.begin(), q.net->movements.end(),
                     [&](const Movement& m) { return m.to == *onto && !q.is_runway(m.from) && !m.turn_round; });
}

std::vector<network::RunwayEntry> from_the_end(const network::Runway& runway, int end) {
  auto entries = runway.entries;
  if (end == 1) std::reverse(entries.begin(), entries.end());
  return entries;
}

}  // namespace

std::vector<std::vector<NodeId>> line_up_nodes(const Question& q) {
  if (q.to.runway < 0) return {};
  if (q.to.entry) return {{q.to.node}};
  const auto& runway = q.net->runways[static_cast<std::size_t>(q.to.runway)];
  std::vector<std::vector<NodeId>> groups;
  double group_at = 0.0;
  for (const auto& e : from_the_end(runway, q.to.end)) {
    const double at = from_end_m(runway, e, q.to.end);
    if (at > kFullLength_m) break;
    if (!can_turn_in(q, e.node, false)) continue;
    if (groups.empty() || at - group_at > kSameEntry_m) {
      groups.emplace_back();
      group_at = at;
    }
    groups.back().push_back(e.node);
  }
  return groups;
}

std::vector<ArcId> backtrack_to_full_length(const Question& q) {
  if (q.to.runway < 0 || q.to.entry || !line_up_nodes(q).empty()) return {};
  const auto& runway = q.net->runways[static_cast<std::size_t>(q.to.runway)];
  for (const auto& e : from_the_end(runway, q.to.end)) {
    if (!can_turn_in(q, e.node, true)) continue;
    std::vector<ArcId> back;
    for (const ArcId a : runway_arcs(*q.net, q.to.runway, q.to.end)) {
      if (q.net->tail(a) == e.node) break;
      back.push_back(network::reversed(a));
    }
    std::reverse(back.begin(), back.end());
    return back;
  }
  return {};
}

}  // namespace solotaxi::routing
