// The connected parts of the network, direction ignored, and the findings about them.
#include <fmt/format.h>

#include <algorithm>
#include <boost/graph/strong_components.hpp>
#include <numeric>

#include "network/draft.hpp"
#include "solotaxi/network/graph.hpp"

namespace solotaxi::network::detail {
namespace {

struct Parts {
  std::vector<std::uint32_t> of_node;
  std::vector<double> length_m;  ///< by part
};

/// Parts of a graph that has every edge in both directions, numbered by falling length, then by their first node.
Parts find_parts(const NodeGraph& graph, std::size_t nodes) {
  Parts parts;
  std::vector<std::uint32_t> raw(nodes, 0);
  const auto count =
      boost::strong_components(graph, boost::make_iterator_property_map(raw.begin(), get(boost::vertex_index, graph)));
  std::vector<double> length(count, 0.0);
  std::vector<std::uint32_t> first(count, 0xFFFFFFFF);
  for (std::uint32_t n = 0; n < nodes; ++n) {
    first[raw[n]] = std::min(first[raw[n]], n);
    for (auto [e, end] = out_edges(n, graph); e != end; ++e) length[raw[n]] += graph[*e].length_m / 2.0;
  }
  std::vector<std::uint32_t> order(count);
  std::iota(order.begin(), order.end(), 0U);
  std::sort(order.begin(), order.end(),
            [&](auto a, auto b) { return length[a] != length[b] ? length[a] > length[b] : first[a] < first[b]; });
  std::vector<std::uint32_t> number(count);
  for (std::uint32_t i = 0; i < count; ++i) {
    number[order[i]] = i;
    parts.length_m.push_back(length[order[i]]);
  }
  for (const auto r : raw) parts.of_node.push_back(number[r]);
  return parts;
}

}  // namespace

void number_components(Network& net) {
  auto parts = find_parts(node_graph(net, Arcs::all), net.nodes.size());
  net.components = parts.length_m.size();
  net.component = std::move(parts.of_node);
}

namespace {

/// Part → its map ids, in order of first segment, without repeats.
std::vector<std::vector<std::string>> ids_by_part(const Network& net, const Parts& parts) {
  std::vector<std::vector<std::string>> ids(parts.length_m.size());
  for (const auto& s : net.segments) {
    auto& list = ids[parts.of_node[index(s.from)]];
    if (std::find(list.begin(), list.end(), s.source_id) == list.end()) list.push_back(s.source_id);
  }
  return ids;
}

std::string list(const std::vector<std::string>& ids) {
  constexpr std::size_t kShown = 8;
  const auto shown = std::min(kShown, ids.size());
  auto text = fmt::format("{}", fmt::join(ids.begin(), ids.begin() + static_cast<std::ptrdiff_t>(shown), ", "));
  if (ids.size() > shown) text += fmt::format(" and {} more", ids.size() - shown);
  return text;
}

void report_islands(Network& net, const Parts& parts) {
  const auto ids = ids_by_part(net, parts);
  std::vector<char> has_runway(parts.length_m.size(), 0);
  for (const auto& r : net.runways) has_runway[net.component[index(r.front)]] = 1;
  for (std::uint32_t part = 1; part < parts.length_m.size(); ++part) {
    const auto first =
        static_cast<std::size_t>(std::find(net.component.begin(), net.component.end(), part) - net.component.begin());
    const LatLon at = net.nodes[first].at;
    net.findings.push_back(
        finding_at("separate-part", Severity::caution, ids[part].empty() ? std::string() : ids[part][0], at,
                   fmt::format("A part of {:.0f} m is not joined to the rest{}: {}.", parts.length_m[part],
                               has_runway[part] != 0 ? "" : " and has no runway", list(ids[part]))));
  }
  for (const auto& s : net.stands)
    if (has_runway[net.component[index(s.node)]] == 0) {
      net.findings.push_back(finding_at(
          "stand-unreachable", Severity::caution, s.id, net.node(s.node).at,
          fmt::format("No way leads from stand {} ({}) to a runway.", s.ref.empty() ? "without a ref" : s.ref, s.id)));
    }
}

/// Parts of one component that meet only on runways.
void report_backtracks(Network& net) {
  Network without;  // no runways
  without.nodes.resize(net.nodes.size());
  for (const auto& s : net.segments)
    if (s.kind != LineKind::runway) {
      auto& copy = without.segments.emplace_back();
      copy.from = s.from;
      copy.to = s.to;
      copy.kind = s.kind;
      copy.source_id = s.source_id;
      copy.length_m = s.length_m;
    }
  const auto parts = find_parts(node_graph(without, Arcs::all), without.nodes.size());
  const auto ids = ids_by_part(without, parts);
  std::vector<std::vector<std::uint32_t>> by_component(net.components);
  std::vector<char> seen(parts.length_m.size(), 0);
  for (std::uint32_t n = 0; n < net.nodes.size(); ++n)
    if (const auto p = parts.of_node[n]; parts.length_m[p] > 0.0 && seen[p] == 0) {
      seen[p] = 1;
      by_component[net.component[n]].push_back(p);
    }
  for (auto& list_of_parts : by_component) {
    if (list_of_parts.size() < 2) continue;
    std::sort(list_of_parts.begin(), list_of_parts.end());
    std::vector<std::string> texts;
    for (const auto p : list_of_parts) texts.push_back(fmt::format("{:.0f} m ({})", parts.length_m[p], list(ids[p])));
    net.findings.push_back(
        finding_at("joined-by-runway-only", Severity::note, "", std::nullopt,
                   fmt::format("{} parts of the taxiways meet only on a runway, so routes between them use it: {}.",
                               list_of_parts.size(), fmt::join(texts, "; "))));
  }
}

}  // namespace

void report_parts(Network& net) {
  Parts parts{net.component, std::vector<double>(net.components, 0.0)};
  for (const auto& s : net.segments) parts.length_m[net.component[index(s.from)]] += s.length_m;
  report_islands(net, parts);
  report_backtracks(net);
}

}  // namespace solotaxi::network::detail
