// Which stands are told one route together.
#include <functional>
#include <map>
#include <queue>
#include <utility>

#include "solotaxi/planning/standard_routes.hpp"

namespace solotaxi::planning {

using network::LineKind;
using network::Network;
using network::NodeId;
using network::Segment;

namespace {

/// The nearest taxilane or taxiway with a name on the way from a stand over lines without one, stand lines among them;
/// where there is none, the first line that is no stand line; nullptr where that is none either.
const Segment* first_line(const Network& net, const std::vector<std::vector<std::uint32_t>>& at, NodeId stand) {
  const auto of_stand = [](const Segment& s) { return s.kind == LineKind::stand_line || s.kind == LineKind::connector; };
  const Segment* unnamed = nullptr;
  std::vector<std::uint8_t> seen(net.nodes.size(), 0);
  using Reached = std::pair<double, NodeId>;
  std::priority_queue<Reached, std::vector<Reached>, std::greater<>> open;
  open.emplace(0.0, stand);
  while (!open.empty()) {
    const auto [way_m, n] = open.top();
    open.pop();
    if (seen[index(n)]++ != 0) continue;
    for (const std::uint32_t s : at[index(n)]) {
      const Segment& segment = net.segments[s];
      if (of_stand(segment) || segment.kind == LineKind::runway) continue;
      if (!segment.name.empty()) return &segment;
      if (unnamed == nullptr) unnamed = &segment;
    }
    for (const std::uint32_t s : at[index(n)])
      if (net.segments[s].kind != LineKind::runway)
        open.emplace(way_m + net.segments[s].length_m,
                     net.segments[s].from == n ? net.segments[s].to : net.segments[s].from);
  }
  return unnamed;
}

std::string line_name(const Segment& s) {
  return airfield::to_string(s.kind) + (" " + (s.name.empty() ? s.source_id : s.name));
}

}  // namespace

std::vector<StandGroup> stand_groups(const Network& net) {
  std::vector<std::vector<std::uint32_t>> at(net.nodes.size());
  for (std::uint32_t s = 0; s < net.segments.size(); ++s)
    for (const NodeId n : {net.segments[s].from, net.segments[s].to}) at[index(n)].push_back(s);
  std::vector<StandGroup> out;
  std::map<std::string, std::size_t> number;
  for (std::size_t i = 0; i < net.stands.size(); ++i) {
    const network::Stand& stand = net.stands[i];
    std::string name = stand.apron;
    if (name.empty()) {
      const Segment* line = first_line(net, at, stand.node);
      name = line == nullptr ? "stands joined to nothing" : line_name(*line);
    }
    const auto [known, fresh] = number.emplace(name, out.size());
    if (fresh) out.push_back({name, !stand.apron.empty(), {}});
    out[known->second].stands.push_back(static_cast<int>(i));
  }
  return out;
}

}  // namespace solotaxi::planning
