#include "routing/assigned_match.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "routing/spelling.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::routing {
namespace {

using EndKind = ClearanceEnd::Kind;

Place hold_place(const network::HoldingPoint& hold) { return parse_place("hold:" + hold.ref + "#" + hold.id); }

std::vector<AssignedEnd> hold_ends(const Network& net, const ClearanceEnd& end) {
  std::vector<std::size_t> found;
  if (end.at.name.empty()) {
    for (std::size_t h = 0; h < net.holding_points.size(); ++h) found.push_back(h);
  } else {
    found = holds_named(net, end.at.spellings);
  }
  if (!end.id.empty()) std::erase_if(found, [&](std::size_t h) { return !id_matches(net.holding_points[h].id, end.id); });
  if (found.empty())
    throw data_error("this field has no such holding point", {{}, {}, end.at.name + (end.id.empty() ? "" : "#" + end.id)});
  // Of several of a name, those before the runway named with it.
  const int runway = end.runway.empty() ? -1 : runway_named(net, end.runway);
  const auto before_it = [&](std::size_t h) { return net.holding_points[h].runway == runway; };
  if (runway >= 0 && std::any_of(found.begin(), found.end(), before_it))
    std::erase_if(found, [&](std::size_t h) { return !before_it(h); });
  std::vector<AssignedEnd> out;
  std::set<std::uint32_t> nodes;
  for (const std::size_t h : found) {
    const auto& hold = net.holding_points[h];
    if (nodes.insert(index(hold.node)).second) out.push_back({hold_place(hold), taxiways_at(net, hold.node)});
  }
  return out;
}

std::vector<AssignedEnd> ends_of(const Network& net, const ClearanceEnd& end, const std::optional<Place>& asked) {
  std::vector<AssignedEnd> out;
  switch (end.kind) {
    case EndKind::none:
      if (!asked) throw usage_error("the clearance does not say where it ends", "name a holding point, runway or stand");
      return {{*asked, {}}};
    case EndKind::hold:
      out = hold_ends(net, end);
      break;
    case EndKind::runway_hold:
    case EndKind::runway:
      out = {{parse_place("runway:" + end.runway + (end.at.name.empty() ? "" : "@" + end.at.name)), end.at.spellings}};
      break;
    case EndKind::stand:
      out = {{parse_place("stand:" + end.at.name + (end.id.empty() ? "" : "#" + end.id)), {}}};
      break;
  }
  if (!asked) return out;
  // An end given apart picks one of several of the name, and must be one of them.
  const ResolvedPlace wanted = resolve(net, *asked);
  for (const AssignedEnd& e : out) {
    if (e.to.kind != asked->kind) continue;
    if (e.to.kind == Place::Kind::stand &&
        (e.to.name.empty() || names_match(net.stands[static_cast<std::size_t>(wanted.stand)].ref, e.to.name)) &&
        (e.to.id.empty() || id_matches(net.stands[static_cast<std::size_t>(wanted.stand)].id, e.to.id)))
      return {{*asked, {}}};
    if (e.to.kind == Place::Kind::runway && designator(e.to.name) == designator(asked->name))
      return {{*asked, asked->at.empty() ? e.names : std::vector<std::string>{asked->at}}};
    if (e.to.kind == Place::Kind::hold && resolve(net, e.to).node == wanted.node) return {e};
  }
  throw usage_error("the clearance ends at " + out.front().to.text + ", not at " + asked->text,
                    "leave out the one or the other");
}

bool drives_runways(const Clearance& c) {
  return std::any_of(c.items.begin(), c.items.end(), [](const auto& i) { return i.kind == ClearanceItem::Kind::runway; });
}

/// Asks one trial, with one set of entries after the other.
class Asker {
 public:
  Asker(Trial& trial, bool edits) : t_(trial), edits_(edits) { t_.rules.edits = edits; }

  /// Stand lines join taxiways only where nothing else does.
  std::optional<FoundWay> ask() {
    for (const bool stand_lines : {false, true}) {
      t_.rules.stand_lines = stand_lines;
      if (!edits_ || stand_lines) try_entries();
      if (best_) break;
    }
    return best_;
  }

  std::vector<OtherWay> others;
  std::optional<AssignedSearch::Furthest> furthest;

 private:
  void try_entries() {
    const Mask given = t_.rules.start;
    const bool backtrack = edits_ || t_.asked.clearance->backtrack;
    if (!ends_on_runway(t_.q)) {
      Attempt attempt = basic();
      attempt.runway_open = backtrack;
      return search(attempt, true);
    }
    const auto groups = line_up_nodes(t_.q);
    // As find_route: the entries nearest to the end first, without backtracking, then all with it.
    t_.rules.start = 0;
    for (const auto& group : groups) {
      Attempt attempt = basic();
      attempt.line_up = group;
      search(attempt, true);
      if (best_ && !edits_) break;
    }
    t_.rules.start = given;
    if (best_ && !edits_) return;
    if (!backtrack && !drives_runways(*t_.asked.clearance)) return;
    if (groups.empty() && !edits_) {
      Attempt attempt = basic();
      attempt.opened = backtrack_to_full_length(t_.q);
      search(attempt, false);
      if (best_) return;
    }
    Attempt attempt = basic();
    attempt.runway_open = true;
    for (const auto& group : groups) attempt.line_up.insert(attempt.line_up.end(), group.begin(), group.end());
    search(attempt, true);
  }

  Attempt basic() const {
    Attempt a;
    a.table = &t_.table;
    a.worst = t_.asked.any_place ? Verdict::blocked : Verdict::all;
    a.avoid_open = true;
    return a;
  }

  /// `attempt.runway_open` tells whether ends may be turned round at; arcs of runways are open where `open` says so, the
  /// rules of the clearance decide then.
  void search(const Attempt& attempt, bool open) {
    Attempt arcs = attempt;
    arcs.runway_open = open;
    Weights weights = make_weights(t_.q, arcs);
    for (const RuleItem& item : t_.rules.items)
      if (item.kind == ClearanceItem::Kind::runway)
        for (const ArcId a : runway_arcs(*t_.q.net, item.lines.front() - kRunwayLine, 0))
          weights.runway_mm[index(a)] = weights.runway_mm[index(network::reversed(a))] = 0;
    const Terminals terminals = make_terminals(t_.q, attempt, weights);
    AssignedSearch search(t_.rules, weights, terminals);
    auto found = search.run();
    if (found) {
      if (best_ && !(found->cost < best_->cost)) return;
      best_ = std::move(found);
      if (!edits_) others = search.others(kOneJunction_m);
    } else if (!edits_) {
      auto now = search.furthest();
      if (!furthest || now.items > furthest->items || (now.items == furthest->items && now.goal_without_bindings))
        furthest = std::move(now);
    }
  }

  Trial& t_;
  bool edits_;
  std::optional<FoundWay> best_;
};

/// Names that can be driven onto from these arcs, or from the start, other than those the way stands on.
std::vector<std::string> met_names(const Trial& t, const AssignedSearch::Furthest& f) {
  const Network& net = *t.q.net;
  std::set<std::string> names;
  const auto meet = [&](ArcId a) {
    const auto& s = net.segment(a);
    if (s.closed || t.q.user_closed[index(a)]) return;
    if (s.kind == LineKind::runway && s.runway >= 0)
      names.insert("runway " + net.runways[static_cast<std::size_t>(s.runway)].name);
    for (const LineId l : t.lines.of(network::segment_of(a)))
      if (f.items == 0 || !has(t.rules.items[f.items - 1].lines, l)) names.insert(t.lines.name(l));
  };
  for (const ArcId a : f.arcs)
    for (const Movement& m : net.movements_from(a))
      if (!m.turn_round) meet(m.to);
  if (f.items == 0)
    for (const ArcId a : f.starts) meet(a);
  return {names.begin(), names.end()};
}

/// By node: an end of a segment of the item's taxiway or runway.
std::vector<std::uint8_t> nodes_of_item(const Trial& t, const RuleItem& item) {
  if (item.kind == ClearanceItem::Kind::runway) return nodes_of_runway(*t.q.net, item.lines.front() - kRunwayLine);
  return nodes_of_lines(*t.q.net, t.lines, item.lines);
}

Furthest told(const Trial& t, AssignedSearch::Furthest search) {
  Furthest out{std::move(search), {}, false, false};
  const auto& items = t.rules.items;
  out.meets = met_names(t, out.search);
  const std::size_t next = out.search.items;
  if (next >= items.size()) return out;
  const auto after = nodes_of_item(t, items[next]);
  if (next == 0) {
    out.touches = std::any_of(out.search.beginnings.begin(), out.search.beginnings.end(),
                              [&](NodeId n) { return after[index(n)] != 0; });
    return out;
  }
  const auto before = nodes_of_item(t, items[next - 1]);
  for (std::size_t n = 0; n < before.size(); ++n) out.touches = out.touches || (before[n] && after[n]);
  return out;
}

/// Entries of the asked runway that the last taxiway of the clearance joins.
std::vector<AssignedEnd> entries_named(const Trial& t) {
  const auto& items = t.asked.clearance->items;
  if (t.q.to.runway < 0 || t.q.to.entry || items.empty() || items.back().kind == ClearanceItem::Kind::runway) return {};
  const auto& runway = t.q.net->runways[static_cast<std::size_t>(t.q.to.runway)];
  std::vector<AssignedEnd> out;
  for (const auto& e : runway.entries) {
    const bool named = std::any_of(e.names.begin(), e.names.end(), [&](const std::string& n) {
      return std::any_of(items.back().at.spellings.begin(), items.back().at.spellings.end(),
                         [&](const std::string& s) { return names_match(n, s); });
    });
    if (named) out.push_back({parse_place(t.end.to.text + "@node:" + std::to_string(index(e.node))), {}});
  }
  if (out.size() == 1) out.front().to = parse_place(t.end.to.text + "@" + items.back().at.name);
  return out;
}

void keep_best(std::optional<Match>& best, std::unique_ptr<Trial> trial, FoundWay way, std::vector<OtherWay> others) {
  const auto length = [](const FoundWay& w) { return static_cast<double>(w.cost.way.objective) / 1e3; };
  if (!best || way.cost < best->way.cost) {
    Match now{std::move(trial), std::move(way), std::move(others), std::nullopt, {}, false};
    if (best) {
      now.other_end = best->trial->end.to;
      now.other_end_longer_m = length(best->way) - length(now.way);
    }
    best = std::move(now);
    return;
  }
  const double longer = length(way) - length(best->way);
  if (best->other_end_longer_m && *best->other_end_longer_m <= longer) return;
  best->other_end_longer_m = longer;
  best->other_end = trial->end.to;
}

}  // namespace

MatchCase make_case(const Network& net, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions,
                    const Clearance& clearance, const AssignedRequest& request) {
  MatchCase out;
  out.net = &net;
  out.aircraft = &aircraft;
  out.conditions = &conditions;
  out.clearance = &clearance;
  out.request.from = request.from;
  out.request.close = request.close;
  out.request.landing_roll_m = request.landing_roll_m;
  out.ends = ends_of(net, clearance.end, request.to);
  const auto to = out.ends.front().to.kind;
  const bool runway_or_hold = to == Place::Kind::runway || to == Place::Kind::hold;
  out.request.direction = request.direction;
  if (!request.direction) {
    if (request.from.kind == Place::Kind::stand && runway_or_hold)
      out.request.direction = Direction::departure;
    else if (request.from.kind == Place::Kind::runway && to != Place::Kind::runway)
      out.request.direction = Direction::arrival;
    else
      out.request.direction = Direction::taxi;
  }
  return out;
}

Trial::Trial(const MatchCase& a, AssignedEnd e)
    : asked(a),
      end(std::move(e)),
      request([&] {
        RouteRequest r = a.request;
        r.to = end.to;
        return r;
      }()),
      q(make_question(*a.net, *a.aircraft, *a.conditions, request)),
      table(*a.net, q.shape, *a.aircraft, aircraft::all_engines(*a.aircraft), *a.conditions),
      lines(*a.net),
      rules(make_rules(q, lines, *a.clearance, end.names)) {}

MatchResult match(const MatchCase& asked) {
  MatchResult out;
  for (const AssignedEnd& end : asked.ends) {
    auto trial = std::make_unique<Trial>(asked, end);
    Asker asker(*trial, false);
    auto found = asker.ask();
    if (found) {
      keep_best(out.match, std::move(trial), *std::move(found), std::move(asker.others));
      continue;
    }
    for (const AssignedEnd& entry : entries_named(*trial)) {
      auto at_entry = std::make_unique<Trial>(asked, entry);
      Asker second(*at_entry, false);
      if (auto way = second.ask()) {
        keep_best(out.match, std::move(at_entry), *std::move(way), std::move(second.others));
        out.match->short_entry = true;
      }
    }
    if (out.match) continue;
    if (!asker.furthest) {
      if (!out.furthest) out.furthest = Furthest{{}, {}, true, false};
    } else if (!out.furthest || asker.furthest->items > out.furthest->search.items) {
      out.furthest = told(*trial, *std::move(asker.furthest));
    }
  }
  return out;
}

std::optional<Match> match_edited(const MatchCase& asked) {
  std::optional<Match> best;
  for (const AssignedEnd& end : asked.ends) {
    auto trial = std::make_unique<Trial>(asked, end);
    Asker asker(*trial, true);
    if (auto found = asker.ask()) keep_best(best, std::move(trial), *std::move(found), {});
  }
  return best;
}

}  // namespace solotaxi::routing
