#include "routing/relax.hpp"

#include <algorithm>
#include <numeric>
#include <string>
#include <utility>

namespace solotaxi::routing {

Prepared cut_at_positions(const Network& network, const RouteRequest& request) {
  Prepared out;
  std::vector<const Place*> places{&request.from, &request.to};
  for (const Via& v : request.via) places.push_back(&v.place);
  for (const Place* place : places) {
    if (place->kind != Place::Kind::position) continue;
    const Network& now = out.own ? *out.own : network;
    const ResolvedPlace r = resolve(now, *place);
    if (!r.segment) continue;
    if (out.original.empty()) {
      out.original.resize(network.segments.size());
      std::iota(out.original.begin(), out.original.end(), 0U);
    }
    out.original.push_back(out.original[index(*r.segment)]);
    out.own = network_with_node_at(now, *r.segment, r.at_m).network;
  }
  return out;
}

std::vector<ArcId> original_arcs(const std::vector<ArcId>& arcs, const std::vector<std::uint32_t>& original) {
  std::vector<ArcId> out;
  for (const ArcId a : arcs) {
    const ArcId whole{2 * original[index(network::segment_of(a))] + (network::is_along(a) ? 0U : 1U)};
    if (out.empty() || out.back() != whole) out.push_back(whole);
  }
  return out;
}

void forget_new_nodes(Findings& findings, const Network& network, const Network& divided) {
  for (Finding& f : findings)
    for (std::size_t n = network.nodes.size(); n < divided.nodes.size(); ++n)
      if (f.where.id == "node:" + std::to_string(n)) f.where.id.clear();
}

std::vector<Attempt> relaxations(const Question& q, Attempt attempt) {
  const auto groups = line_up_nodes(q);
  attempt.opened = backtrack_to_full_length(q);
  const bool any_avoided = std::any_of(q.avoid_mm.begin(), q.avoid_mm.end(), [](std::int64_t mm) { return mm > 0; });
  std::vector<Attempt> out;
  for (const bool avoid_open : {false, true}) {
    if (avoid_open && !any_avoided) continue;
    attempt.avoid_open = avoid_open;
    attempt.line_up.clear();
    if (groups.empty()) out.push_back(attempt);
    for (const auto& group : groups) {
      attempt.line_up = group;
      out.push_back(attempt);
    }
  }
  out.push_back(everything_open(q, attempt));
  return out;
}

std::optional<Answer> relax(const Question& q, Attempt attempt) {
  for (const Attempt& a : relaxations(q, std::move(attempt)))
    if (auto way = find_way(q, a)) return Answer{std::move(*way), a};
  return std::nullopt;
}

Attempt everything_open(const Question& q, Attempt attempt) {
  attempt.avoid_open = true;
  attempt.runway_open = true;
  attempt.opened.clear();
  attempt.line_up.clear();
  for (const auto& group : line_up_nodes(q)) attempt.line_up.insert(attempt.line_up.end(), group.begin(), group.end());
  return attempt;
}

Verdict worst_allowed(const Question& q) {
  return q.conditions->require == motion::Require::standing ? Verdict::standing : Verdict::rolling;
}

Attempt attempt_of_every_engine(const Question& q, const CostTable& all, bool strict) {
  Attempt attempt;
  attempt.table = &all;
  attempt.worst = strict ? worst_allowed(q) : Verdict::all;  // else whatever is not blocked
  attempt.stop_places = false;
  return attempt;
}

std::optional<Answer> on_every_engine(const Question& q, const CostTable& all, bool strict) {
  return relax(q, attempt_of_every_engine(q, all, strict));
}

}  // namespace solotaxi::routing
