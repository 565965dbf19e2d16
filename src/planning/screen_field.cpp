#include "planning/screen_field.hpp"

#include <algorithm>

#include "planning/solver.hpp"
#include "routing/relax.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::planning {

using network::ArcId;
using network::NodeId;
using routing::Direction;

namespace {

PlanRequest settled(const ScreenRequest& request) {
  PlanRequest plan = request.plan;
  plan.route.from = plan.route.to = {};
  plan.route.via.clear();
  plan.route.objective = routing::Objective::fuel;
  return plan;
}

/// Whether a stand's own question is the shared one: nobody drives over it either way, because its line ends there or no
/// stand line leads to it.
bool may_share(const network::Network& net, NodeId node) {
  std::size_t joined = 0, stand_lines = 0;
  for (const network::Segment& s : net.segments) {
    const std::size_t ends = (s.from == node ? 1U : 0U) + (s.to == node ? 1U : 0U);
    joined += ends;
    if (s.kind == network::LineKind::stand_line) stand_lines += ends;
  }
  return joined <= 1 || stand_lines == 0;
}

void take(std::optional<PlannedWay>& slot, std::optional<PlannedWay>& way) {
  if (way && (!slot || way->cost_kg < slot->cost_kg)) slot = std::move(way);
}

}  // namespace

ScreenField::ScreenField(const network::Network& network, const aircraft::Aircraft& aircraft,
                         const motion::Conditions& conditions, const ScreenRequest& request)
    : network_(&network),
      aircraft_(&aircraft),
      conditions_(with_rules(conditions, request.plan)),
      plan_(settled(request)),
      parted_(routing::network_in_parts(network, kPart_m)),
      base_(routing::make_field_question(parted_.network, aircraft, conditions_, plan_.route)),
      sets_(sets_of(aircraft, plan_)) {
  widen_bends(base_, request.changes);
  all_ = std::make_unique<motion::CostTable>(parted_.network, base_.shape, aircraft, aircraft::all_engines(aircraft),
                                             conditions_);
  for (const auto set : sets_)
    one_.push_back(std::make_unique<motion::CostTable>(parted_.network, base_.shape, aircraft, set, conditions_));
  if (sets_.empty())
    throw usage_error("no running set is left to try", "see --engines, the rules may-run-alone and the aircraft's own");
  rules_ = barred_by_rules(base_, plan_.rules);
  for (std::size_t s = 0; s < network.stands.size(); ++s) {
    const int stand = static_cast<int>(s);
    pushed_.push_back(routing::push_backs(base_, stand));
    (may_share(parted_.network, network.stands[s].node) ? shared_ : alone_).push_back(stand);
  }
  for (const Direction direction : {Direction::departure, Direction::arrival})
    for (std::size_t r = 0; r < network.runways.size(); ++r)
      for (const int end : {0, 1}) add_groups({0, static_cast<int>(r), end, direction});
}

void ScreenField::add_groups(const ScreenMove& end) {
  routing::Question q = base_;
  q.direction = end.direction;
  routing::ResolvedPlace& runway = end.direction == Direction::arrival ? q.from : q.to;
  runway.runway = end.runway;
  runway.end = end.end;
  const auto& net = parted_.network;
  std::vector<NodeId> free_stands;
  for (const int s : shared_) free_stands.push_back(net.stands[static_cast<std::size_t>(s)].node);
  routing::set_avoided(q, free_stands);
  add_groups(end, q, shared_);
  for (const int s : alone_) {
    free_stands.push_back(net.stands[static_cast<std::size_t>(s)].node);
    routing::set_avoided(q, free_stands);
    add_groups(end, q, {s});
    free_stands.pop_back();
  }
}

/// Departures: arcs from which the runway is reached; arrivals: arcs reached from it.
std::vector<std::uint8_t> ScreenField::reach(const routing::Question& q, const routing::Attempt& attempt) const {
  const auto& net = parted_.network;
  const routing::Weights w = routing::make_weights(q, attempt);
  const routing::Terminals terminals = routing::make_terminals(q, attempt, w);
  const bool arrival = q.direction == Direction::arrival;
  std::vector<std::uint8_t> reached(net.arc_count(), 0);
  std::vector<ArcId> open;
  const auto visit = [&](ArcId a) {
    if (reached[index(a)] || w.arc[index(a)] == routing::kShut) return;
    reached[index(a)] = 1;
    open.push_back(a);
  };
  std::vector<std::vector<ArcId>> before(arrival ? 0 : net.arc_count());
  for (std::size_t m = 0; m < net.movements.size() && !arrival; ++m)
    if (w.movement[m] != routing::kShut) before[index(net.movements[m].to)].push_back(net.movements[m].from);
  if (arrival) {
    for (const routing::Seed& s : terminals.seeds) visit(s.arcs.back());
  } else {
    for (const routing::Goal& g : terminals.goals) visit(g.arc);
  }
  while (!open.empty()) {
    const ArcId a = open.back();
    open.pop_back();
    if (!arrival) {
      for (const ArcId b : before[index(a)]) visit(b);
      continue;
    }
    for (std::size_t m = net.first_movement[index(a)]; m < net.first_movement[index(a) + 1]; ++m)
      if (w.movement[m] != routing::kShut) visit(net.movements[m].to);
  }
  return reached;
}

/// Each stand is asked under the first of the relaxations that gives it a way, as on_every_engine does it.
void ScreenField::add_groups(const ScreenMove& end, routing::Question question, const std::vector<int>& stands) {
  const auto& net = parted_.network;
  std::vector<int> left = stands;
  const auto has_way = [&](int stand, const std::vector<std::uint8_t>& reached) {
    if (end.direction == Direction::arrival) {
      for (std::uint32_t a = 0; a < net.arc_count(); ++a)
        if (reached[a] && net.head(ArcId{a}) == net.stands[static_cast<std::size_t>(stand)].node) return true;
      return false;
    }
    for (const routing::Beginning& b : pushed_[static_cast<std::size_t>(stand)])
      for (const ArcId a : net.arcs_from(b.node))
        if (reached[index(a)] && (b.pushed.empty() || a != network::reversed(b.pushed.back()))) return true;
    return false;
  };
  for (const bool strict : {true, false})
    for (const routing::Attempt& attempt :
         routing::relaxations(question, routing::attempt_of_every_engine(question, *all_, strict))) {
      if (left.empty()) return;
      const auto reached = reach(question, attempt);
      const auto first = std::stable_partition(left.begin(), left.end(), [&](int s) { return !has_way(s, reached); });
      if (first == left.end()) continue;
      Group group{end, question, attempt, {}};
      for (auto s = first; s != left.end(); ++s) {
        group.stands.stand.push_back(*s);
        group.stands.pushed.push_back(pushed_[static_cast<std::size_t>(*s)]);
      }
      left.erase(first, left.end());
      groups_.push_back(std::move(group));
    }
}

std::vector<std::unique_ptr<PhaseField>> ScreenField::fields(const Group& group, const Barred& barred) const {
  std::vector<std::unique_ptr<PhaseField>> out;
  for (const auto& one : one_)
    out.push_back(std::make_unique<PhaseField>(group.question, group.every, *one, *all_, barred, plan_, &group.stands));
  return out;
}

std::vector<ScreenAnswer> ScreenField::solve(const Group& group, const Barred& barred,
                                             std::vector<std::unique_ptr<PhaseField>>* fields) const {
  std::vector<ScreenAnswer> out(group.stands.stand.size());
  auto all = this->fields(group, barred);
  for (std::size_t set = 0; set < all.size(); ++set) {
    // For one stand the search that a lower bound guides is quicker than the one outward to everywhere.
    std::vector<PlannedWays> ways;
    if (out.size() == 1)
      ways.push_back(all[set]->plan(plan_.queue_s));
    else
      ways = all[set]->plan_all(plan_.queue_s);
    for (std::size_t i = 0; i < ways.size(); ++i) {
      take(out[i].reference, ways[i].reference);
      if (ways[i].with_one && (!out[i].one || ways[i].with_one->cost_kg < out[i].one->cost_kg)) out[i].one_set = set;
      take(out[i].one, ways[i].with_one);
    }
  }
  if (fields != nullptr) *fields = std::move(all);
  return out;
}

}  // namespace solotaxi::planning
