// Cutting the draft's lines at their common vertices: nodes, segments, and the stands and holding points on them.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "network/draft.hpp"

namespace solotaxi::network::detail {
namespace {

/// Vertices that become nodes: ends of lines, vertices met more than once, and the places marked as nodes.
std::vector<char> find_nodes(const Draft& draft) {
  std::vector<char> is_node = draft.must_be_node;
  std::vector<char> met(draft.vertices.size(), 0);
  for (const auto& line : draft.lines) {
    if (line.vertices.size() < 2) continue;
    is_node[line.vertices.front()] = is_node[line.vertices.back()] = 1;
    for (const VertexId v : line.vertices) {
      if (met[v] != 0) is_node[v] = 1;
      met[v] = 1;
    }
  }
  // A marked place on no line is none.
  for (std::size_t v = 0; v < is_node.size(); ++v) is_node[v] = static_cast<char>(is_node[v] != 0 && met[v] != 0);
  return is_node;
}

class Layout {
 public:
  explicit Layout(Draft& draft) : draft_(draft), is_node_(find_nodes(draft)), node_of_(draft.vertices.size(), kNoVertex) {}

  Network run() {
    net_.name = draft_.field.name;
    net_.ident = draft_.field.ident;
    net_.elevation = draft_.field.elevation;
    net_.frame = draft_.field.frame;
    for (std::size_t i = 0; i < draft_.lines.size(); ++i) cut(draft_.lines[i]);
    for (const auto& s : draft_.stands) {
      const auto& stand = draft_.field.stands[s.stand];
      net_.stands.push_back({stand.id, stand.ref, node(s.vertex), stand.approximate, stand.closed, stand.apron});
    }
    for (const auto& h : draft_.holds) net_.holding_points.push_back({h.id, h.ref, node(h.vertex), h.runway, h.assumed});
    index_arcs(net_);
    return std::move(net_);
  }

 private:
  NodeId node(VertexId v) {
    if (node_of_[v] == kNoVertex) {
      node_of_[v] = static_cast<std::uint32_t>(net_.nodes.size());
      const auto& vertex = draft_.vertices[v];
      Node n;
      n.at = vertex.at;
      n.xy = vertex.xy;
      if (vertex.ref != 0) n.source_id = "node/" + std::to_string(vertex.ref);
      net_.nodes.push_back(std::move(n));
    }
    return NodeId{node_of_[v]};
  }

  void cut(const DraftLine& line) {
    const auto& v = line.vertices;
    for (std::size_t from = 0, to = 1; to < v.size(); ++to) {
      if (is_node_[v[to]] == 0) continue;
      add_segment(line, {v.data() + from, to - from + 1});
      from = to;
    }
  }

  void add_segment(const DraftLine& line, std::span<const VertexId> v) {
    if (drawn_before(line, v)) return;
    Segment s = line.like;
    s.from = node(v.front());
    s.to = node(v.back());
    s.line.reserve(v.size());
    for (const VertexId id : v) {
      s.geodetic.push_back(draft_.vertices[id].at);
      s.line.push_back(draft_.vertices[id].xy);
    }
    measure(s);
    s.profile = {{0.0, std::numeric_limits<double>::quiet_NaN()}, {s.length_m, std::numeric_limits<double>::quiet_NaN()}};
    s.grade_sd = {terrain::kUnknownGradeSd};
    net_.segments.push_back(std::move(s));
  }

  /// The same piece in two ways of the map is one segment; a runway and a taxiway along it stay two.
  bool drawn_before(const DraftLine& line, std::span<const VertexId> v) {
    std::vector<VertexId> key(v.begin(), v.end());
    if (std::lexicographical_compare(key.rbegin(), key.rend(), key.begin(), key.end()))
      std::reverse(key.begin(), key.end());
    const auto [it, fresh] = drawn_.try_emplace({line.is_runway(), std::move(key)}, &line);
    if (!fresh && reported_.insert({&line, it->second}).second)
      draft_.report("duplicate-line", Severity::note, line.like.source_id, v.front(),
                    fmt::format("{} runs over the same vertices as {}; what both have is taken once.", describe(line),
                                describe(*it->second)));
    return !fresh;
  }

  Draft& draft_;
  std::vector<char> is_node_;
  std::vector<std::uint32_t> node_of_;
  std::map<std::pair<bool, std::vector<VertexId>>, const DraftLine*> drawn_;
  std::set<std::pair<const DraftLine*, const DraftLine*>> reported_;
  Network net_;
};

}  // namespace

void measure(Segment& s) {
  s.length_m = 0.0;
  s.chainage_m.assign(1, 0.0);
  for (std::size_t i = 1; i < s.geodetic.size(); ++i) {
    s.length_m += geodesic_length(s.geodetic[i - 1], s.geodetic[i]).value();
    s.chainage_m.push_back(s.length_m);
  }
}

void index_arcs(Network& net) {
  std::vector<std::vector<ArcId>> out(net.nodes.size());
  for (std::uint32_t a = 0; a < net.arc_count(); ++a)
    if (net.may_drive(ArcId{a})) out[index(net.tail(ArcId{a}))].push_back(ArcId{a});
  net.out_arcs.clear();
  net.first_out.assign(1, 0);
  for (const auto& arcs : out) {
    net.out_arcs.insert(net.out_arcs.end(), arcs.begin(), arcs.end());
    net.first_out.push_back(static_cast<std::uint32_t>(net.out_arcs.size()));
  }
}

Network lay_out(Draft& draft) {
  Network net = Layout(draft).run();
  for (const auto& line : draft.lines)
    if (line.vertices.size() > 1 && line.like.kind != LineKind::connector) ++net.centrelines;
  return net;
}

}  // namespace solotaxi::network::detail
