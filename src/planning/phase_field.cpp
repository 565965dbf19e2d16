#include "planning/phase_field.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace solotaxi::planning {

using motion::Cost;
using motion::CostTable;
using motion::Verdict;
using network::ArcId;
using network::NodeId;

namespace {

constexpr double kHour = 3600.0;
/// A metre of the one weighs more than a kilometre of the other can, and a few metres of the other more than any way burns.
constexpr double kRunwayCharge = 1e2, kAvoidCharge = 0.1;  // kg/mm

constexpr auto kOne = static_cast<std::size_t>(Phase::one);
constexpr auto kStart = static_cast<std::size_t>(Phase::start);
constexpr auto kAll = static_cast<std::size_t>(Phase::all);

}  // namespace

bool PlannedWay::one() const { return std::find(phase.begin(), phase.end(), Phase::one) != phase.end(); }

PhaseField::PhaseField(const routing::Question& q, const routing::Attempt& every, const CostTable& one,
                       const CostTable& all, const Barred& barred, const PlanRequest& request)
    : q_(&q), one_(&one), all_(&all), barred_(&barred), request_(&request), every_(every), only_(every) {
  every_.table = all_;
  only_.table = one_;
  only_.worst = routing::worst_allowed(q);
  only_.stop_places = true;
  every_open_ = routing::make_weights(q, every_);
  one_open_ = routing::make_weights(q, only_);
  flows_ = phase_flows(q, one, all, request.queue_moves_per_min);
  const std::size_t layers = q.via.size() + 1;
  for (std::size_t layer = 0; layer < layers; ++layer)
    for (std::uint32_t a = 0; a < q.net->arc_count(); ++a) states_.push_back({ArcId{a}, layer});
  add_steps();
  const routing::Terminals terminals = routing::make_terminals(q, every_, every_open_);
  if (q.direction == routing::Direction::arrival)
    add_arrivals(terminals);
  else
    add_departures();
  add_ends(terminals);
  tables_.states.resize(states_.size());
  std::iota(tables_.states.begin(), tables_.states.end(), 0U);
  graph_ = std::make_unique<PhaseGraph>(graph_of(tables_));
  search_ = std::make_unique<PhaseSearch>(*graph_);
}

std::uint32_t PhaseField::state_of(std::size_t layer, ArcId a) const {
  return static_cast<std::uint32_t>(layer * q_->net->arc_count()) + index(a);
}

bool PhaseField::one_open(ArcId a) const { return one_open_.arc[index(a)] != routing::kShut && !barred_->arc[index(a)]; }

bool PhaseField::one_open_move(std::size_t m) const {
  const auto& move = q_->net->movements[m];
  if (one_open_.movement[m] == routing::kShut || !one_open(move.to)) return false;
  return !(barred_->crossings && q_->on_runway[index(q_->net->head(move.from))] && routing::is_stop_place(*q_, move));
}

double PhaseField::charge_kg(ArcId a) const {
  return kRunwayCharge * static_cast<double>(every_open_.runway_mm[index(a)]) +
         kAvoidCharge * static_cast<double>(every_open_.avoid_mm[index(a)]);
}

std::size_t PhaseField::layer_after(std::size_t layer, ArcId a) const {
  return layer < q_->via.size() && q_->net->head(a) == q_->via[layer].node ? layer + 1 : layer;
}

void PhaseField::fill(const Cost& one, bool one_open, const Cost& all, double charge_kg, ByPhase& cost,
                      ByPhase& time) const {
  time = {one.time_s, one.time_s, all.time_s};
  // Sums that are nought may be rounded below it.
  const double one_kg = std::max(0.0, one.fuel_kg), start_kg = one_kg + flows_.start_over_one_kg_s * one.time_s;
  cost = {one_open ? one_kg + charge_kg : kBarred,
          one_open && flows_.start_rolls ? std::max(0.0, start_kg) + charge_kg : kBarred,
          std::max(0.0, all.fuel_kg) + charge_kg};
  for (double& t : time) t = std::max(0.0, t);
}

/// A movement and the arc entered, states left open.
PhaseStep PhaseField::step(std::size_t m) const {
  const auto& net = *q_->net;
  const auto& move = net.movements[m];
  const auto cost_of = [&](const CostTable& table) {
    return (move.turn_round ? table.turn_round(move.from).turn.cost : table.movement(m).cost) + table.arc(move.to);
  };
  PhaseStep s;
  fill(cost_of(*one_), one_open_move(m), cost_of(*all_), charge_kg(move.to), s.cost_kg, s.time_s);
  const NodeId at = net.head(move.from);
  s.may_begin_start = !q_->on_runway[index(at)] && !q_->is_runway(move.to) && std::abs(move.angle_rad) <= kSharpTurnRad;
  const int hold = q_->hold_at[index(at)];
  s.queue_here =
      q_->to.runway >= 0 && hold >= 0 && net.holding_points[static_cast<std::size_t>(hold)].runway == q_->to.runway;
  return s;
}

/// What standing at a place between adds to the step that leaves it.
void PhaseField::add_stop(std::size_t layer, ArcId from, PhaseStep& s) const {
  if (layer == 0 || q_->net->head(from) != q_->via[layer - 1].node) return;
  const double seconds = q_->request->via[layer - 1].stop_min * 60.0;
  if (!(seconds > 0.0)) return;
  const ArcId to = states_[s.to].arc;
  const auto m = routing::movement_index(*q_->net, from, to);
  const bool stands = m && one_->movement(*m).place.verdict <= Verdict::standing &&
                      routing::zone_verdict(*q_, *one_, to, q_->conditions->start_zone_m) <= Verdict::standing;
  const Cost one = one_->stop(from) + one_->start_from_rest(to), all = all_->stop(from) + all_->start_from_rest(to);
  for (const std::size_t p : {kOne, kStart, kAll}) {
    const Cost& extra = p == kAll ? all : one;
    if (p != kAll && !stands) s.cost_kg[p] = kBarred;
    if (s.cost_kg[p] < kBarred) {
      s.cost_kg[p] += extra.fuel_kg + seconds * flows_.standing_kg_s[p];
      if (p == kStart) s.cost_kg[p] += flows_.start_over_one_kg_s * extra.time_s;
    }
    s.time_s[p] += extra.time_s + seconds;
  }
}

void PhaseField::add_steps() {
  const auto& net = *q_->net;
  for (std::size_t m = 0; m < net.movements.size(); ++m) {
    if (every_open_.movement[m] == routing::kShut) continue;
    const auto& move = net.movements[m];
    const PhaseStep plain = step(m);
    for (std::size_t layer = 0; layer <= q_->via.size(); ++layer) {
      // The state entered counts a place between as reached at the arc's end.
      PhaseStep s = plain;
      s.from = state_of(layer, move.from);
      s.to = state_of(layer_after(layer, move.to), move.to);
      add_stop(layer, move.from, s);
      tables_.steps.push_back(s);
    }
  }
}

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
    if (one_->movement(m).place.verdict > Verdict::standing ||
        routing::zone_verdict(*q_, *one_, to, reach_m) > Verdict::standing)
      s.cost_kg[kOne] = s.cost_kg[kStart] = kBarred;
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

void PhaseField::add_departure(const routing::Beginning& beginning) {
  const auto& net = *q_->net;
  const double zone_m = q_->conditions->start_zone_m;
  for (const ArcId a : net.arcs_from(beginning.node)) {
    if (every_open_.arc[index(a)] == routing::kShut) continue;
    if (!beginning.pushed.empty() && a == network::reversed(beginning.pushed.back())) continue;
    std::vector<ArcId> chain{a};
    PhaseTerminal t;
    t.state = start_zone(chain, layer_after(0, a), zone_m);
    const bool stands =
        routing::zone_verdict(*q_, *one_, a, std::min(zone_m, net.segment(a).length_m)) <= Verdict::standing;
    fill(one_->start_from_rest(a) + one_->arc(a), one_open(a) && stands, all_->start_from_rest(a) + all_->arc(a),
         charge_kg(a), t.cost_kg, t.time_s);
    add_begin(t, {beginning, {}});
  }
}

void PhaseField::add_departures() {
  if (q_->from.stand < 0) return add_departure({{}, q_->from.node, std::nullopt});
  for (const routing::Beginning& b : routing::push_backs(*q_, q_->from.stand)) add_departure(b);
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
    const bool one_may =
        std::any_of(one.seeds.begin(), one.seeds.end(), [&](const routing::Seed& s) { return s.arcs == seed.arcs; }) &&
        std::none_of(seed.arcs.begin(), seed.arcs.end(), [&](ArcId a) { return barred_->arc[index(a)] != 0; });
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

void PhaseField::add_ends(const routing::Terminals& all) {
  for (const routing::Goal& goal : all.goals) {
    PhaseTerminal t;
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
}

PhaseGraph PhaseField::graph_of(const Tables& tables) const {
  std::vector<std::uint32_t> arc_of;
  arc_of.reserve(tables.states.size());
  for (const std::uint32_t s : tables.states) arc_of.push_back(index(states_[s].arc));
  return {std::move(arc_of), tables.steps};
}

PlannedWays PhaseField::search(PhaseSearch& search, const Tables& tables, double queue_s) const {
  PhaseAnswer answer;
  if (q_->direction == routing::Direction::arrival) {
    ArrivalProblem p;
    p.runway = tables.begins;
    p.stands = tables.ends;
    p.cool_down_left_s = std::max(0.0, q_->aircraft->cool_down_s - request_->since_landing_s);
    p.apu_lead_kg = q_->conditions->apu_on ? request_->apu_lead_s * q_->aircraft->apu_no_load_kg_h / kHour : 0.0;
    answer = search.find(p);
  } else {
    DepartureProblem p;
    p.stands = tables.begins;
    p.runway = tables.ends;
    p.flow_kg_s = flows_.standing_kg_s;
    p.move_kg_s = flows_.move_kg_s;
    p.push_back_s = q_->conditions->push_back_s;
    p.start_s = q_->aircraft->start_s;
    p.warm_up_s = q_->aircraft->warm_up_s;
    p.queue_s = queue_s;
    answer = search.find(p);
  }
  PlannedWays out;
  if (answer.with_one) out.with_one = told(*answer.with_one, tables);
  if (answer.reference) out.reference = told(*answer.reference, tables);
  return out;
}

PlannedWay PhaseField::told(const PhasePlan& plan, const Tables& tables) const {
  PlannedWay out;
  const Begin& begin = begins_[tables.begin_of[plan.from]];
  out.way.beginning = begin.beginning;
  out.way.arcs = begin.before;
  const std::size_t ahead = begin.before.size();
  out.phase.assign(ahead, plan.legs.front().phase);
  for (const PhaseLeg& leg : plan.legs) {
    out.way.arcs.push_back(states_[tables.states[leg.state]].arc);
    out.phase.push_back(leg.phase);
  }
  std::size_t layer = 0;
  for (std::size_t i = 0; i < out.way.arcs.size(); ++i) {
    const std::size_t after = layer_after(layer, out.way.arcs[i]);
    if (after > layer) out.way.via_after.push_back(i + 1);
    layer = after;
  }
  out.way.turn_round_at_end = end_turns_[tables.end_of[plan.to]];
  out.standings = plan.standings;
  for (Standing& s : out.standings)
    if (s.after != Standing::kBeforeFirst) s.after += static_cast<std::uint32_t>(ahead);
  out.cost_kg = plan.cost_kg;
  out.time_s = plan.time_s;
  for (const ArcId a : out.way.arcs) out.charge_kg += charge_kg(a);
  out.cost_kg -= out.charge_kg;
  if (q_->direction != routing::Direction::arrival) {
    out.queue_after = out.way.arcs.size() - 1;
    for (std::size_t i = out.way.arcs.size() - 1; i-- > 0;) {
      const auto m = routing::movement_index(*q_->net, out.way.arcs[i], out.way.arcs[i + 1]);
      if (!m || !step(*m).queue_here) continue;
      out.queue_after = i;
      break;
    }
  }
  return out;
}

PlannedWays PhaseField::plan(double queue_s) const { return search(*search_, tables_, queue_s); }

PlannedWays PhaseField::search_afresh(const Tables& tables, double queue_s) const {
  const PhaseGraph graph = graph_of(tables);
  PhaseSearch once(graph);
  return search(once, tables, queue_s);
}

PlannedWays PhaseField::plan_on(const routing::Way& way, double queue_s) const {
  constexpr std::size_t kNowhere = ~std::size_t{0};
  std::vector<std::size_t> place(q_->net->arc_count(), kNowhere);
  for (std::size_t i = 0; i < way.arcs.size(); ++i) place[index(way.arcs[i])] = i;
  const auto at = [&](std::uint32_t state) { return place[index(states_[state].arc)]; };
  // A graph of the way's states alone.
  Tables t;
  std::vector<std::uint32_t> number(states_.size());
  for (std::uint32_t s = 0; s < states_.size(); ++s) {
    if (at(s) == kNowhere) continue;
    number[s] = static_cast<std::uint32_t>(t.states.size());
    t.states.push_back(s);
  }
  for (PhaseStep s : tables_.steps) {
    if (at(s.from) == kNowhere || at(s.to) != at(s.from) + 1) continue;
    s.from = number[s.from];
    s.to = number[s.to];
    t.steps.push_back(s);
  }
  for (std::size_t i = 0; i < tables_.begins.size(); ++i) {
    const Begin& b = begins_[i];
    if (b.beginning.node != way.beginning.node || b.beginning.pushed != way.beginning.pushed ||
        at(tables_.begins[i].state) != b.before.size() || !std::equal(b.before.begin(), b.before.end(), way.arcs.begin()))
      continue;
    t.begins.push_back(tables_.begins[i]);
    t.begins.back().state = number[t.begins.back().state];
    t.begin_of.push_back(i);
  }
  for (std::size_t i = 0; i < tables_.ends.size(); ++i)
    if (at(tables_.ends[i].state) + 1 == way.arcs.size() && end_turns_[i] == way.turn_round_at_end) {
      t.ends.push_back(tables_.ends[i]);
      t.ends.back().state = number[t.ends.back().state];
      t.end_of.push_back(i);
    }
  if (t.begins.empty() || t.ends.empty()) return {};
  return search_afresh(t, queue_s);
}

std::optional<routing::Way> PhaseField::way_if_dearer(const std::vector<double>& factor, double queue_s) const {
  Tables t = tables_;
  const auto raise = [&](std::uint32_t state, ByPhase& cost) {
    for (double& c : cost) c *= factor[index(states_[state].arc)];
  };
  for (PhaseStep& s : t.steps) raise(s.to, s.cost_kg);
  for (PhaseTerminal& b : t.begins) raise(b.state, b.cost_kg);
  const PlannedWays found = search_afresh(t, queue_s);
  if (found.with_one) return found.with_one->way;
  if (found.reference) return found.reference->way;
  return std::nullopt;
}

bool PhaseField::one_may_drive(const routing::Way& way, std::size_t arc) const {
  if (!one_open(way.arcs[arc])) return false;
  if (arc == 0) return true;
  const auto m = routing::movement_index(*q_->net, way.arcs[arc - 1], way.arcs[arc]);
  return m && one_open_move(*m);
}

}  // namespace solotaxi::planning
