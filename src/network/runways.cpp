// Runways: their ends and the places where taxiways join them.
#include <algorithm>
#include <set>

#include "network/draft.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::network::detail {
namespace {

/// How far an unnamed line is followed to the first name [m]; assumed.
constexpr double kNameReach = 150.0;

class JoinedTaxiways {
 public:
  explicit JoinedTaxiways(const Network& net) : net_(net), at_(net.nodes.size()) {
    for (std::uint32_t s = 0; s < net.segments.size(); ++s) {
      at_[index(net.segments[s].from)].push_back(SegmentId{s});
      at_[index(net.segments[s].to)].push_back(SegmentId{s});
    }
  }

  /// Whether a taxiway joins here, with the names of those that do.
  [[nodiscard]] std::optional<std::vector<std::string>> joining(NodeId node) const {
    std::set<std::string> names;
    bool any = false;
    for (const SegmentId s : at_[index(node)]) {
      if (net_.segment(s).kind == LineKind::runway) continue;
      any = true;
      collect(node, s, kNameReach, names);
    }
    if (!any) return std::nullopt;
    return std::vector<std::string>(names.begin(), names.end());
  }

 private:
  /// The name of a segment, or of what an unnamed one leads to: on through plain nodes, one step past a junction.
  void collect(NodeId from, SegmentId s, double reach, std::set<std::string>& names) const {
    std::set<std::string> seen_ids;
    while (true) {
      const auto& seg = net_.segment(s);
      if (!seg.name.empty()) {
        names.insert(seg.name);
        return;
      }
      reach -= seg.length_m;
      if (reach < 0.0 && seg.kind != LineKind::connector) return;
      const NodeId to = seg.from == from ? seg.to : seg.from;
      const auto& next = at_[index(to)];
      for (const SegmentId n : next)
        if (net_.segment(n).kind == LineKind::runway) return;
      if (next.size() != 2) {
        for (const SegmentId n : next)
          if (n != s && net_.segment(n).kind != LineKind::stand_line && !net_.segment(n).name.empty())
            names.insert(net_.segment(n).name);
        return;
      }
      from = to;
      s = next[0] == s ? next[1] : next[0];
    }
  }

  const Network& net_;
  std::vector<std::vector<SegmentId>> at_;
};

}  // namespace

namespace {

/// Segments of each runway, from its front on: they need not be in that order.
void collect_segments(Network& net) {
  std::vector<std::vector<SegmentId>> loose(net.runways.size());
  for (std::uint32_t s = 0; s < net.segments.size(); ++s)
    if (net.segments[s].runway >= 0) loose[static_cast<std::size_t>(net.segments[s].runway)].push_back(SegmentId{s});
  for (std::size_t i = 0; i < net.runways.size(); ++i) {
    Runway& r = net.runways[i];
    r.segments.clear();
    NodeId at = r.front;
    while (!loose[i].empty()) {
      const auto next =
          std::find_if(loose[i].begin(), loose[i].end(), [&](SegmentId s) { return net.segment(s).from == at; });
      if (next == loose[i].end()) break;
      at = net.segment(*next).to;
      r.segments.push_back(*next);
      loose[i].erase(next);
    }
    if (r.segments.empty() || !loose[i].empty() || at != r.back)
      throw data_error("runway " + r.name + " does not run on from end to end", {"", {}, r.id},
                       "its segments must join one another from its front node to its back node, all drawn that way");
  }
}

}  // namespace

void measure_runways(Network& net) {
  collect_segments(net);
  const JoinedTaxiways entries(net);
  for (Runway& r : net.runways) {
    r.heading_rad = heading(net.node(r.front).xy, net.node(r.back).xy).value();
    if (r.heading_rad < 0.0) r.heading_rad += 2.0 * std::numbers::pi;
    r.length_m = 0.0;
    r.entries.clear();
    const auto add_entry = [&](NodeId node) {
      if (auto names = entries.joining(node)) r.entries.push_back({node, r.length_m, std::move(*names)});
    };
    add_entry(r.front);
    for (const SegmentId s : r.segments) {
      r.length_m += net.segment(s).length_m;
      add_entry(net.segment(s).to);
    }
  }
}

void lay_out_runways(Network& net, const airfield::Airfield& field) {
  net.runways.resize(field.runways.size());
  std::vector<std::pair<const Segment*, const Segment*>> ends(field.runways.size());
  for (const Segment& s : net.segments) {
    if (s.runway < 0) continue;
    auto& [first, last] = ends[static_cast<std::size_t>(s.runway)];
    if (first == nullptr) first = &s;
    last = &s;
  }
  for (std::size_t i = 0; i < field.runways.size(); ++i) {
    const auto& drawn = field.runways[i];
    Runway& r = net.runways[i];
    if (ends[i].first == nullptr) throw data_error("runway has no length", {"", {}, drawn.id}, "draw it from end to end");
    r.id = drawn.id;
    r.name = drawn.name();
    r.designators = drawn.designators;
    r.closed = drawn.closed;
    r.no_take_off = drawn.no_take_off;
    r.no_landing = drawn.no_landing;
    r.front = ends[i].first->from;
    r.back = ends[i].second->to;
    r.displaced_m = {drawn.displaced[0].value(), drawn.displaced[1].value()};
  }
  measure_runways(net);
}

}  // namespace solotaxi::network::detail
