// Where the plans of a PhaseField begin and end.
#include <algorithm>

#include "planning/phase_field.hpp"

namespace solotaxi::planning {

using motion::Cost;
using motion::CostTable;
using motion::Verdict;
using network::ArcId;

namespace {

constexpr std::size_t kOnePhase = index(Phase::one), kStartPhase = index(Phase::start);

}  // namespace

/// The state of the last arc of a chain of first arcs, and of all ways on from it as long as the start zone lasts.
std::uint32_t PhaseField::start_zone(std::vector<ArcId>& chain, std::size_t layer, double zone_m) {
  const auto& net = *q_->net;
  const ArcId last = chain.back();
  const double left_m = zone_m - net.segment(last).length_m;
  if (left_m <= 0.0) return state_of(layer, last);
  const auto here = static_cast<std::uint32_t>(states_.size());
  states_.push_back({last, layer});
  for (std::size_t m = net.first_movement[index(last)]; m < net.first_movement[index(last) + 1]; ++m) {
    const ArcId to = net.movements[m].to;
    if (every_open_.movement[m] == routing::kShut || std::find(chain.begin(), chain.end(), to) != chain.end()) continue;
    PhaseStep s = step(m);
    s.from = here;
    chain.push_back(to);
    s.to = start_zone(chain, layer_after(layer, to), left_m);
    chain.pop_back();
    const double reach_m = std::min(left_m, net.segment(to).length_m);
    if ((one_->movement(m).place.verdict > Verdict::standing && !relieved(to)) || !stands_on(to, reach_m))
      s.cost_kg[kOnePhase] = s.cost_kg[kStartPhase] = kBarred;
    add_stop(layer, last, s);
    tables_.steps.push_back(s);
  }
  return here;
}

void PhaseField::add_begin(const PhaseTerminal& terminal, Begin begin) {
  tables_.begins.push_back(terminal);
  tables_.begin_of.push_back(begins_.size());
  begins_.push_back(std::move(begin));
}

void PhaseField::add_departure(const routing::Beginning& beginning, std::uint32_t stand) {
  const auto& net = *q_->net;
  const double zone_m = q_->conditions->start_zone_m;
  for (const ArcId a : net.arcs_from(beginning.node)) {
    if (every_open_.arc[index(a)] == routing::kShut) continue;
    if (!beginning.pushed.empty() && a == network::reversed(beginning.pushed.back())) continue;
    std::vector<ArcId> chain{a};
    PhaseTerminal t;
    t.state = start_zone(chain, layer_after(0, a), zone_m);
    t.stand = stand;
    const bool stands = stands_on(a, std::min(zone_m, net.segment(a).length_m));
    fill(one_->start_from_rest(a) + one_->arc(a), one_open(a) && stands, all_->start_from_rest(a) + all_->arc(a),
         charge_kg(a), t.cost_kg, t.time_s);
    add_begin(t, {beginning, {}});
  }
}

void PhaseField::add_departures() {
  if (stands_) {
    for (std::size_t i = 0; i < stands_->stand.size(); ++i)
      for (const routing::Beginning& b : stands_->pushed[i]) add_departure(b, static_cast<std::uint32_t>(i));
    return;
  }
  if (q_->from.stand < 0) return add_departure({{}, q_->from.node, std::nullopt}, 0);
  for (const routing::Beginning& b : routing::push_backs(*q_, q_->from.stand)) add_departure(b, 0);
}

Cost PhaseField::chain_cost(const CostTable& table, const Begin& begin, ArcId last) const {
  Cost sum;
  auto arcs = begin.before;
  arcs.push_back(last);
  std::optional<ArcId> before = begin.beginning.rolled_on;
  for (const ArcId a : arcs) {
    if (before) {
      if (a == network::reversed(*before))
        sum += table.turn_round(*before).turn.cost;
      else if (const auto m = routing::movement_index(*q_->net, *before, a))
        sum += table.movement(*m).cost;
    }
    sum += table.arc(a);
    before = a;
  }
  return sum;
}

void PhaseField::add_arrivals(const routing::Terminals& all) {
  const routing::Terminals one = routing::make_terminals(*q_, only_, one_open_);
  for (const routing::Seed& seed : all.seeds) {
    Begin b{all.beginnings[seed.beginning], seed.arcs};
    const ArcId last = b.before.back();
    b.before.pop_back();
    const bool one_may = (relieved(last) || std::any_of(one.seeds.begin(), one.seeds.end(),
                                                        [&](const routing::Seed& s) { return s.arcs == seed.arcs; })) &&
                         std::none_of(seed.arcs.begin(), seed.arcs.end(),
                                      [&](ArcId a) { return barred_->arc[index(a)] != 0 && !relieved(a); });
    PhaseTerminal t;
    std::size_t layer = 0;
    double charge = 0.0;
    for (const ArcId a : seed.arcs) {
      layer = layer_after(layer, a);
      charge += charge_kg(a);
    }
    t.state = state_of(layer, last);
    fill(chain_cost(*one_, b, last), one_may, chain_cost(*all_, b, last), charge, t.cost_kg, t.time_s);
    add_begin(t, std::move(b));
  }
}

void PhaseField::add_end(const routing::Goal& goal, std::uint32_t stand) {
  PhaseTerminal t;
  t.stand = stand;
  bool one_may = one_open(goal.arc);
  if (goal.turn_round) one_may = one_may && one_->turn_round(goal.arc).turn.place.verdict <= only_.worst;
  const auto cost_of = [&](const CostTable& table) {
    return goal.turn_round ? routing::last_turn_round(table, goal.arc) : table.stop(goal.arc);
  };
  fill(cost_of(*one_), one_may, cost_of(*all_), 0.0, t.cost_kg, t.time_s);
  t.may_begin_start = !q_->on_runway[index(q_->net->head(goal.arc))];
  for (std::uint32_t s = 0; s < states_.size(); ++s) {
    if (states_[s].arc != goal.arc || states_[s].layer != q_->via.size()) continue;
    t.state = s;
    tables_.ends.push_back(t);
    tables_.end_of.push_back(end_turns_.size());
    end_turns_.push_back(goal.turn_round);
  }
}

void PhaseField::add_ends(const routing::Terminals& all) {
  for (const routing::Goal& goal : all.goals) add_end(goal, 0);
  if (!stands_ || q_->direction != routing::Direction::arrival) return;
  const auto& net = *q_->net;
  std::vector<std::vector<std::uint32_t>> stands_at(net.nodes.size());
  for (std::size_t i = 0; i < stands_->stand.size(); ++i) {
    if (net.stands[static_cast<std::size_t>(stands_->stand[i])].closed) continue;
    stands_at[index(net.stands[static_cast<std::size_t>(stands_->stand[i])].node)].push_back(static_cast<std::uint32_t>(i));
  }
  for (std::uint32_t a = 0; a < net.arc_count(); ++a)
    if (every_open_.arc[a] != routing::kShut)
      for (const std::uint32_t stand : stands_at[index(net.head(ArcId{a}))]) add_end({ArcId{a}, {}, false}, stand);
}

}  // namespace solotaxi::planning
