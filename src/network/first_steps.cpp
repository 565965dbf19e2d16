// Steps still in their first form: shared vertices only.
#include <algorithm>

#include "network/draft.hpp"

namespace solotaxi::network::detail {
namespace {
VertexId with_ref(const Draft& d, std::int64_t ref) {
  for (VertexId v = 0; v < d.vertices.size(); ++v)
    if (ref != 0 && d.vertices[v].ref == ref) return v;
  return kNoVertex;
}
}  // namespace

void node_lines(Draft&) {}
void join_ends(Draft&) {}
void join_stands(Draft& d) {
  for (std::size_t i = 0; i < d.field.stands.size(); ++i) {
    const auto& s = d.field.stands[i];
    const VertexId v = s.line ? d.lines[*s.line].vertices.back() : with_ref(d, s.vertex_ref);
    if (v == kNoVertex) continue;
    d.must_be_node[v] = 1;
    d.stands.push_back({i, v});
  }
}
void place_holding_points(Draft& d) {
  for (const auto& h : d.field.holding_positions) {
    const VertexId v = with_ref(d, h.at.ref);
    if (v == kNoVertex) continue;
    d.must_be_node[v] = 1;
    d.holds.push_back({h.id, h.ref, v, d.field.runways.size() == 1 ? 0 : -1, false});
  }
}
void mark_spikes(Draft&) {}
void report_parts(Network&) {}
void add_profiles(Network&, const Draft&, std::span<const terrain::HeightSource* const>) {}
}  // namespace solotaxi::network::detail
