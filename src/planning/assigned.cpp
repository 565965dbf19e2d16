#include "planning/assigned.hpp"

#include <algorithm>
#include <set>
#include <utility>

#include "routing/assemble.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::planning {

using network::ArcId;
using network::NodeId;

namespace {

/// The parts of every segment, in the order of its drawing.
class Parts {
 public:
  Parts(const network::Network& divided, const std::vector<std::uint32_t>& original) : net_(divided) {
    for (std::uint32_t s = 0; s < original.size(); ++s) {
      if (original[s] >= parts_.size()) parts_.resize(original[s] + 1);
      parts_[original[s]].push_back(s);
    }
    // A segment keeps its first part; the others join on, end to start.
    for (std::vector<std::uint32_t>& list : parts_)
      for (std::size_t i = 1; i < list.size(); ++i) {
        const NodeId end = net_.head(ArcId{2 * list[i - 1]});
        const auto next = std::find_if(list.begin() + static_cast<std::ptrdiff_t>(i), list.end(),
                                       [&](std::uint32_t s) { return net_.tail(ArcId{2 * s}) == end; });
        if (next != list.end()) std::iter_swap(list.begin() + static_cast<std::ptrdiff_t>(i), next);
      }
  }

  [[nodiscard]] std::vector<ArcId> of(ArcId whole) const {
    std::vector<ArcId> out;
    const std::uint32_t segment = index(network::segment_of(whole));
    if (segment >= parts_.size()) throw usage_error("an assigned arc that the field does not have");
    for (const std::uint32_t s : parts_[segment]) out.push_back(ArcId{2 * s + (network::is_along(whole) ? 0U : 1U)});
    if (!network::is_along(whole)) std::reverse(out.begin(), out.end());
    return out;
  }
  [[nodiscard]] std::vector<ArcId> of(const std::vector<ArcId>& whole) const {
    std::vector<ArcId> out;
    for (const ArcId a : whole)
      for (const ArcId part : of(a)) out.push_back(part);
    return out;
  }

 private:
  const network::Network& net_;
  std::vector<std::vector<std::uint32_t>> parts_;
};

/// Ends in mid-segment: the way begins and ends there.
void cut_to_positions(std::vector<ArcId>& arcs, const network::Network& net, const routing::RouteRequest& request) {
  using Kind = routing::Place::Kind;
  if (request.from.kind == Kind::position) {
    const NodeId from = routing::resolve(net, request.from).node;
    arcs.erase(arcs.begin(), std::find_if(arcs.begin(), arcs.end(), [&](ArcId a) { return net.tail(a) == from; }));
  }
  if (request.to.kind == Kind::position) {
    const NodeId to = routing::resolve(net, request.to).node;
    const auto last = std::find_if(arcs.rbegin(), arcs.rend(), [&](ArcId a) { return net.head(a) == to; });
    arcs.erase(last.base(), arcs.end());
  }
}

}  // namespace

routing::Way assigned_on(const network::Network& divided, const std::vector<std::uint32_t>& original,
                         const AssignedArcs& assigned, const routing::RouteRequest& request) {
  const Parts parts(divided, original);
  routing::Way way;
  way.arcs = parts.of(assigned.arcs);
  cut_to_positions(way.arcs, divided, request);
  if (way.arcs.empty()) throw usage_error("the assigned way does not lead from one place to the other");
  std::set<ArcId> used;
  for (std::size_t i = 0; i < way.arcs.size(); ++i) {
    if (!used.insert(way.arcs[i]).second)
      throw usage_error("the assigned way drives " + routing::line_text(divided.segment(way.arcs[i]), divided) +
                            " twice in the same direction",
                        "plan the rounds one by one");
    if (i > 0 && !routing::movement_index(divided, way.arcs[i - 1], way.arcs[i]))
      throw usage_error("the assigned way does not hang together at node:" +
                        std::to_string(index(divided.tail(way.arcs[i]))));
  }
  way.beginning.pushed = parts.of(assigned.pushed);
  way.beginning.node = divided.tail(way.arcs.front());
  way.turn_round_at_end = assigned.turn_round_at_end;
  return way;
}

}  // namespace solotaxi::planning
