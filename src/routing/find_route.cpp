#include <algorithm>
#include <numeric>
#include <optional>
#include <utility>
#include <vector>

#include "routing/assemble.hpp"
#include "routing/explain.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::routing {
namespace {

/// The network with a node at every position asked in the middle of a segment, and the segment each of its segments comes
/// from.
struct Prepared {
  std::optional<Network> own;  ///< none where nothing had to be cut
  std::vector<std::uint32_t> original;
};

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

/// Arcs of the divided network as arcs of the one asked about.
std::vector<ArcId> original_arcs(const std::vector<ArcId>& arcs, const std::vector<std::uint32_t>& original) {
  std::vector<ArcId> out;
  for (const ArcId a : arcs) {
    const ArcId whole{2 * original[index(network::segment_of(a))] + (network::is_along(a) ? 0U : 1U)};
    if (out.empty() || out.back() != whole) out.push_back(whole);
  }
  return out;
}

struct Answer {
  Way way;
  Attempt attempt;
};

/// Relaxes one rule after the other until there is a way: first no runway lengthwise and nothing that is to be avoided,
/// then what is to be avoided, at last runways lengthwise.
std::optional<Answer> relax(const Question& q, Attempt attempt) {
  const auto groups = line_up_nodes(q);
  const auto backtrack = backtrack_to_full_length(q);
  const bool any_avoided = std::any_of(q.avoid_mm.begin(), q.avoid_mm.end(), [](std::int64_t mm) { return mm > 0; });
  const auto ask = [&](const Attempt& a) -> std::optional<Answer> {
    if (auto way = find_way(q, a)) return Answer{std::move(*way), a};
    return std::nullopt;
  };
  for (const bool avoid_open : {false, true}) {
    if (avoid_open && !any_avoided) continue;
    attempt.avoid_open = avoid_open;
    attempt.opened = backtrack;
    attempt.line_up.clear();
    if (groups.empty()) {
      if (auto found = ask(attempt)) return found;
    }
    for (const auto& group : groups) {
      attempt.line_up = group;
      if (auto found = ask(attempt)) return found;
    }
  }
  attempt.avoid_open = true;
  attempt.runway_open = true;
  attempt.opened.clear();
  attempt.line_up.clear();
  for (const auto& group : groups) attempt.line_up.insert(attempt.line_up.end(), group.begin(), group.end());
  return ask(attempt);
}

Verdict worst_allowed(const Question& q) {
  return q.conditions->require == motion::Require::standing ? Verdict::standing : Verdict::rolling;
}

/// The way on every engine; `strict`: only over places that it keeps rolling, or starts from rest where that is required.
std::optional<Answer> on_every_engine(const Question& q, const CostTable& all, bool strict) {
  Attempt attempt;
  attempt.table = &all;
  attempt.worst = strict ? worst_allowed(q) : Verdict::all;  // else whatever is not blocked
  attempt.stop_places = false;
  return relax(q, attempt);
}

NoRoute why_not(const Question& q, const CostTable& all, bool strict) {
  return explain(q, all, [&](const RouteRequest& request, const motion::Conditions& conditions) {
    const Question other = make_question(*q.net, *q.aircraft, conditions, request);
    const CostTable table(*q.net, other.shape, *q.aircraft, aircraft::all_engines(*q.aircraft), conditions);
    return on_every_engine(other, table, strict).has_value();
  });
}

std::variant<Route, NoRoute> answer(const Question& q, RunningSet set) {
  const bool every = set == aircraft::all_engines(*q.aircraft);
  const CostTable asked(*q.net, q.shape, *q.aircraft, set, *q.conditions);
  if (every) {
    if (const auto found = on_every_engine(q, asked, true)) return assemble({&q, &found->way, &asked, &asked, false});
    return why_not(q, asked, true);
  }
  Attempt attempt;
  attempt.table = &asked;
  attempt.worst = worst_allowed(q);
  attempt.stop_places = true;
  if (const auto found = relax(q, attempt)) return assemble({&q, &found->way, &asked, &asked, false});
  const CostTable all(*q.net, q.shape, *q.aircraft, aircraft::all_engines(*q.aircraft), *q.conditions);
  if (const auto found = on_every_engine(q, all, false)) return assemble({&q, &found->way, &all, &asked, true});
  return why_not(q, all, false);
}

}  // namespace

const char* to_string(Objective objective) {
  switch (objective) {
    case Objective::distance:
      return "distance";
    case Objective::time:
      return "time";
    case Objective::fuel:
      return "fuel";
  }
  return "";
}

const char* to_string(Direction direction) {
  switch (direction) {
    case Direction::departure:
      return "departure";
    case Direction::arrival:
      return "arrival";
    case Direction::taxi:
      return "taxi";
  }
  return "";
}

const char* to_string(RunwayUse::Kind kind) {
  switch (kind) {
    case RunwayUse::Kind::crossing:
      return "crossing";
    case RunwayUse::Kind::line_up:
      return "line-up";
    case RunwayUse::Kind::exit:
      return "exit";
    case RunwayUse::Kind::along:
      return "along";
  }
  return "";
}

std::variant<Route, NoRoute> find_route(const network::Network& network, const aircraft::Aircraft& aircraft,
                                        aircraft::RunningSet set, const motion::Conditions& conditions,
                                        const RouteRequest& request) {
  motion::check_ranges(conditions, aircraft);
  const Prepared prepared = cut_at_positions(network, request);
  const Network& net = prepared.own ? *prepared.own : network;
  auto result = answer(make_question(net, aircraft, conditions, request), set);
  auto* route = std::get_if<Route>(&result);
  if (!route || !prepared.own) return result;
  route->arcs = original_arcs(route->arcs, prepared.original);
  for (Finding& f : route->findings)  // nodes made for this question have no number anybody knows
    for (std::size_t n = network.nodes.size(); n < net.nodes.size(); ++n)
      if (f.where.id == "node:" + std::to_string(n)) f.where.id.clear();
  return result;
}

}  // namespace solotaxi::routing
