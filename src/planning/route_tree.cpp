#include "planning/route_tree.hpp"

#include <algorithm>
#include <limits>

#include "routing/relax.hpp"

namespace solotaxi::planning {

using network::ArcId;
using routing::kShut;
using routing::PathWeight;
using routing::Terminal;
using routing::Weight;

namespace {

/// Never reached by a way worth drawing; sums of it stay far below the search's limit [mg].
constexpr double kMost_mg = 1e9;
/// What is to be used as little as possible costs so much [mg a mm], more than any fuel.
constexpr double kCharge_mg = 5000.0;

Weight whole(double mg) { return static_cast<Weight>(std::clamp(mg, 0.0, kMost_mg)); }

double charge(const routing::Weights& w, ArcId a) {
  return kCharge_mg * static_cast<double>(w.runway_mm[index(a)] + w.avoid_mm[index(a)]);
}

}  // namespace

DrawWeights::DrawWeights(const ScreenField& field, const ScreenField::Group& group) {
  const network::Network& net = field.parted();
  const routing::Weights w = routing::make_weights(group.question, group.every);
  terminals = routing::make_terminals(group.question, group.every, w);
  const motion::Verdict worst = routing::worst_allowed(group.question);
  const auto fuel_mg = [](const motion::Cost& c) {
    return static_cast<double>(routing::units(routing::Objective::fuel, 0.0, c));
  };
  const auto one_open = [&](const motion::CostTable& one, ArcId a) {
    return field.rules().arc[index(a)] == 0 && one.arc_verdict(a).verdict <= worst;
  };
  arc.assign(net.arc_count(), kShut);
  for (std::uint32_t i = 0; i < net.arc_count(); ++i) {
    if (w.arc[i] == kShut) continue;
    const ArcId a{i};
    double mg = w.arc[i];
    for (std::size_t set = 0; set < field.sets().size(); ++set)
      if (one_open(field.one(set), a)) mg = std::min(mg, fuel_mg(field.one(set).arc(a)));
    arc[i] = whole(mg + charge(w, a));
  }
  step.assign(net.movements.size(), kShut);
  for (std::size_t m = 0; m < net.movements.size(); ++m) {
    const ArcId to = net.movements[m].to;
    if (w.movement[m] == kShut || w.arc[index(to)] == kShut) continue;
    double mg = static_cast<double>(w.movement[m]) + w.arc[index(to)];
    for (std::size_t set = 0; set < field.sets().size(); ++set) {
      const motion::CostTable& one = field.one(set);
      const auto& turn = one.movement(m);
      if (one_open(one, to) && turn.place.verdict <= worst) mg = std::min(mg, fuel_mg(turn.cost) + fuel_mg(one.arc(to)));
    }
    step[m] = whole(mg + charge(w, to));
  }
}

std::vector<ArcId> RouteTree::members() const {
  std::vector<ArcId> out;
  for (std::uint32_t a = 0; a < state_.size(); ++a)
    if (state_[a].in) out.push_back(ArcId{a});
  return out;
}

double RouteTree::new_m() const {
  const network::Network& net = field_->parted();
  std::vector<std::uint8_t> seen(net.segments.size(), 0);
  double out = 0.0;
  for (const ArcId a : members()) {
    const auto s = index(network::segment_of(a));
    if ((*counts_)[s] != 0 && (*used_)[s] == 0 && seen[s]++ == 0) out += net.segments[s].length_m;
  }
  return out;
}

PathWeight RouteTree::step_mg(const DrawWeights& weights, ArcId from, ArcId to) const {
  const auto m = routing::movement_index(field_->parted(), from, to);
  return m && weights.step[*m] != kShut ? weights.step[*m] : static_cast<PathWeight>(kMost_mg);
}

std::optional<routing::Way> RouteTree::add(const DrawWeights& weights, const ScreenField::Group& group, std::size_t at,
                                           double metre_mg) {
  const network::Network& net = field_->parted();
  const auto line_mg = [&](ArcId a) {
    const auto s = index(network::segment_of(a));
    const bool there = (*used_)[s] != 0 || state_[index(a)].in || state_[index(network::reversed(a))].in;
    return (*counts_)[s] == 0 || there ? 0.0 : metre_mg * net.segments[s].length_m;
  };
  std::vector<Weight> arcs = weights.arc, movements = weights.step;
  for (std::uint32_t a = 0; a < arcs.size(); ++a)
    if (arcs[a] != kShut) arcs[a] = whole(arcs[a] + line_mg(ArcId{a}));
  for (std::size_t m = 0; m < movements.size(); ++m) {
    const ArcId to = net.movements[m].to;
    // The graph adds the arc's own weight again.
    if (movements[m] != kShut) movements[m] = whole(movements[m] + line_mg(to)) - arcs[index(to)];
  }
  const routing::SearchGraph graph(net, arcs, movements);
  auto way = arrival_ ? arrival(graph, weights, group, at) : departure(graph, weights, group, at);
  if (way) empty_ = false;
  return way;
}

std::optional<routing::Way> RouteTree::departure(const routing::SearchGraph& graph, const DrawWeights& weights,
                                                 const ScreenField::Group& group, std::size_t at) {
  const network::Network& net = field_->parted();
  std::vector<Terminal> seeds, goals;
  std::vector<std::size_t> begun;  // by seed
  for (std::size_t b = 0; b < group.stands.pushed[at].size(); ++b) {
    const routing::Beginning& beginning = group.stands.pushed[at][b];
    for (const ArcId a : net.arcs_from(beginning.node)) {
      if (graph.arc_weight(a) == kShut || (!beginning.pushed.empty() && a == network::reversed(beginning.pushed.back())))
        continue;
      seeds.push_back({a, graph.arc_weight(a)});
      begun.push_back(b);
    }
  }
  if (empty_)
    for (const routing::Goal& g : weights.terminals.goals) goals.push_back({g.arc, g.cost.objective});
  else
    for (const ArcId a : members()) goals.push_back({a, state_[index(a)].way_mg});
  routing::ArcSearch search(graph);
  if (seeds.empty() || goals.empty() || !search.find(seeds, goals)) return std::nullopt;
  std::vector<ArcId> path = search.path();
  routing::Way way;
  for (std::size_t s = 0; s < seeds.size(); ++s)
    if (seeds[s].arc == path.front()) {
      way.beginning = group.stands.pushed[at][begun[s]];
      break;
    }
  if (empty_) {
    PathWeight least = std::numeric_limits<PathWeight>::max();
    for (const routing::Goal& g : weights.terminals.goals)
      if (g.arc == path.back() && g.cost.objective < least) {
        least = g.cost.objective;
        turn_round_ = g.turn_round;
      }
    state_[index(path.back())] = {true, {}, true, least};
  }
  // What lies on the tree already leads on as it does.
  const auto joins = std::find_if(path.begin(), path.end(), [&](ArcId a) { return state_[index(a)].in; });
  path.erase(joins + 1, path.end());
  for (std::size_t i = path.size() - 1; i-- > 0;)
    state_[index(path[i])] = {true, path[i + 1], false,
                              step_mg(weights, path[i], path[i + 1]) + state_[index(path[i + 1])].way_mg};
  last_mg_ = static_cast<double>(weights.arc[index(path.front())] + state_[index(path.front())].way_mg);
  for (way.arcs = path; !state_[index(way.arcs.back())].ends;) way.arcs.push_back(state_[index(way.arcs.back())].next);
  way.turn_round_at_end = turn_round_;
  return way;
}

std::optional<routing::Way> RouteTree::arrival(const routing::SearchGraph& graph, const DrawWeights& weights,
                                               const ScreenField::Group& group, std::size_t at) {
  const network::Network& net = field_->parted();
  const auto node = net.stands[static_cast<std::size_t>(group.stands.stand[at])].node;
  std::vector<Terminal> seeds, goals;
  for (std::uint32_t a = 0; a < net.arc_count(); ++a)
    if (net.head(ArcId{a}) == node && graph.arc_weight(ArcId{a}) != kShut) goals.push_back({ArcId{a}, 0});
  if (empty_)
    for (const routing::Seed& s : weights.terminals.seeds) seeds.push_back({s.arcs.back(), s.cost.objective});
  else
    for (const ArcId a : members()) seeds.push_back({a, state_[index(a)].way_mg});
  routing::ArcSearch search(graph);
  if (seeds.empty() || goals.empty() || !search.find(seeds, goals)) return std::nullopt;
  std::vector<ArcId> path = search.path();
  if (empty_) {
    const routing::Seed* seed = nullptr;
    for (const routing::Seed& s : weights.terminals.seeds)
      if (s.arcs.back() == path.front() && (seed == nullptr || s.cost.objective < seed->cost.objective)) seed = &s;
    beginning_ = weights.terminals.beginnings[seed->beginning];
    before_.assign(seed->arcs.begin(), seed->arcs.end() - 1);
    state_[index(path.front())] = {true, {}, true, seed->cost.objective};
  }
  const auto parts = std::find_if(path.rbegin(), path.rend(), [&](ArcId a) { return state_[index(a)].in; });
  path.erase(path.begin(), parts.base() - 1);
  for (std::size_t i = 1; i < path.size(); ++i)
    state_[index(path[i])] = {true, path[i - 1], false,
                              state_[index(path[i - 1])].way_mg + step_mg(weights, path[i - 1], path[i])};
  last_mg_ = static_cast<double>(state_[index(path.back())].way_mg);
  routing::Way way;
  way.beginning = beginning_;
  for (ArcId a = path.back();; a = state_[index(a)].next) {
    way.arcs.push_back(a);
    if (state_[index(a)].ends) break;
  }
  way.arcs.insert(way.arcs.end(), before_.rbegin(), before_.rend());
  std::reverse(way.arcs.begin(), way.arcs.end());
  return way;
}

}  // namespace solotaxi::planning
