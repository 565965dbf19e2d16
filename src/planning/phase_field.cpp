#include "planning/phase_field.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "planning/time_units.hpp"

namespace solotaxi::planning {

using motion::Cost;
using motion::CostTable;
using motion::Verdict;
using network::ArcId;
using network::NodeId;

namespace {

/// A metre of the one weighs more than a kilometre of the other can, and a few metres of the other more than any way burns.
constexpr double kRunwayCharge = 1e2, kAvoidCharge = 0.1;  // kg/mm

constexpr std::size_t kOne = index(Phase::one), kStart = index(Phase::start), kAll = index(Phase::all);

}  // namespace

bool PlannedWay::one() const { return std::find(phase.begin(), phase.end(), Phase::one) != phase.end(); }

PhaseField::PhaseField(const routing::Question& q, const routing::Attempt& every, const CostTable& one,
                       const CostTable& all, const Barred& barred, const PlanRequest& request, const FieldStands* stands)
    : q_(&q), one_(&one), all_(&all), barred_(&barred), request_(&request), stands_(stands), every_(every), only_(every) {
  every_.table = all_;
  only_.table = one_;
  only_.worst = routing::worst_allowed(q);
  only_.stop_places = true;
  every_open_ = routing::make_weights(q, every_);
  one_open_ = routing::make_weights(q, only_);
  relieve();
  flows_ = phase_flows(q, one, all, request.queue_moves_per_min);
  const std::size_t layers = q.via.size() + 1;
  for (std::size_t layer = 0; layer < layers; ++layer)
    for (std::uint32_t a = 0; a < q.net->arc_count(); ++a) states_.push_back({ArcId{a}, layer});
  add_steps();
  routing::Terminals terminals = routing::make_terminals(q, every_, every_open_);
  if (stands_ && q.direction == routing::Direction::arrival) terminals.goals.clear();
  if (q.direction == routing::Direction::arrival)
    add_arrivals(terminals);
  else
    add_departures();
  add_ends(terminals);
  tables_.states.resize(states_.size());
  std::iota(tables_.states.begin(), tables_.states.end(), 0U);
  graph_ = graph_of(tables_);
  search_ = std::make_unique<PhaseSearch>(*graph_);
}

std::uint32_t PhaseField::state_of(std::size_t layer, ArcId a) const {
  return static_cast<std::uint32_t>(layer * q_->net->arc_count()) + index(a);
}

/// What is relieved is open to ONE wherever it is to every engine.
void PhaseField::relieve() {
  for (std::size_t a = 0; a < barred_->relieved.size(); ++a)
    if (barred_->relieved[a]) one_open_.arc[a] = every_open_.arc[a];
  for (std::size_t m = 0; m < q_->net->movements.size() && !barred_->relieved.empty(); ++m)
    if (relieved(q_->net->movements[m].to)) one_open_.movement[m] = every_open_.movement[m];
}

bool PhaseField::relieved(ArcId a) const { return !barred_->relieved.empty() && barred_->relieved[index(a)] != 0; }

/// Whether the set could start from rest on the first metres of an arc.
bool PhaseField::stands_on(ArcId a, double metres) const {
  return relieved(a) || routing::zone_verdict(*q_, *one_, a, metres) <= Verdict::standing;
}

bool PhaseField::one_open(ArcId a) const {
  return one_open_.arc[index(a)] != routing::kShut && (!barred_->arc[index(a)] || relieved(a));
}

bool PhaseField::one_open_move(std::size_t m) const {
  const auto& move = q_->net->movements[m];
  if (one_open_.movement[m] == routing::kShut || !one_open(move.to)) return false;
  return relieved(move.to) ||
         !(barred_->crossings && q_->on_runway[index(q_->net->head(move.from))] && routing::is_stop_place(*q_, move));
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
  // What no set could do has no cost, relieved or not.
  one_open = one_open && std::isfinite(one.fuel_kg) && std::isfinite(one.time_s);
  time = {one_open ? one.time_s : all.time_s, one_open ? one.time_s : all.time_s, all.time_s};
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
  const bool stands = m && (relieved(to) || one_->movement(*m).place.verdict <= Verdict::standing) &&
                      stands_on(to, q_->conditions->start_zone_m);
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

std::unique_ptr<PhaseGraph> PhaseField::graph_of(const Tables& tables) const {
  std::vector<std::uint32_t> arc_of;
  arc_of.reserve(tables.states.size());
  for (const std::uint32_t s : tables.states) arc_of.push_back(index(states_[s].arc));
  return std::make_unique<PhaseGraph>(std::move(arc_of), tables.steps);
}

ArrivalProblem PhaseField::arrival_of(const Tables& tables) const {
  ArrivalProblem p;
  p.runway = tables.begins;
  p.stands = tables.ends;
  p.cool_down_left_s = std::max(0.0, q_->aircraft->cool_down_s - request_->since_landing_s);
  p.apu_lead_kg = q_->conditions->apu_on ? request_->apu_lead_s * q_->aircraft->apu_no_load_kg_h / kHour : 0.0;
  return p;
}

DepartureProblem PhaseField::departure_of(const Tables& tables, double queue_s) const {
  DepartureProblem p;
  p.stands = tables.begins;
  p.runway = tables.ends;
  p.flow_kg_s = flows_.standing_kg_s;
  p.move_kg_s = flows_.move_kg_s;
  p.push_back_s = q_->conditions->push_back_s;
  p.start_s = q_->aircraft->start_s;
  p.warm_up_s = q_->aircraft->warm_up_s;
  p.queue_s = queue_s;
  return p;
}

PlannedWays PhaseField::told(const PhaseAnswer& answer, const Tables& tables) const {
  PlannedWays out;
  if (answer.with_one) out.with_one = told(*answer.with_one, tables);
  if (answer.reference) out.reference = told(*answer.reference, tables);
  return out;
}

PlannedWays PhaseField::search(PhaseSearch& search, const Tables& tables, double queue_s) const {
  return told(q_->direction == routing::Direction::arrival ? search.find(arrival_of(tables))
                                                           : search.find(departure_of(tables, queue_s)),
              tables);
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

std::vector<PlannedWays> PhaseField::plan_all(double queue_s) const {
  const auto answers = q_->direction == routing::Direction::arrival ? search_->find_all(arrival_of(tables_))
                                                                    : search_->find_all(departure_of(tables_, queue_s));
  std::vector<PlannedWays> out;
  out.reserve(answers.size());
  for (const PhaseAnswer& answer : answers) out.push_back(told(answer, tables_));
  return out;
}

PlannedWays PhaseField::search_afresh(const Tables& tables, double queue_s) const {
  const std::unique_ptr<PhaseGraph> graph = graph_of(tables);
  PhaseSearch once(*graph);
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

bool PhaseField::one_kept_out(const routing::Way& way, std::size_t arc) const {
  if (!one_may_drive(way, arc)) return true;
  if (q_->direction == routing::Direction::arrival) return false;
  double left_m = q_->conditions->start_zone_m;
  for (std::size_t i = 0; i < arc; ++i) left_m -= q_->net->segment(way.arcs[i]).length_m;
  if (left_m <= 0.0) return false;
  const ArcId a = way.arcs[arc];
  if (!stands_on(a, std::min(left_m, q_->net->segment(a).length_m))) return true;
  if (arc == 0 || relieved(a)) return false;
  const auto m = routing::movement_index(*q_->net, way.arcs[arc - 1], a);
  return m && one_->movement(*m).place.verdict > Verdict::standing;
}

bool PhaseField::one_may_drive(const routing::Way& way, std::size_t arc) const {
  if (!one_open(way.arcs[arc])) return false;
  if (arc == 0) return true;
  const auto m = routing::movement_index(*q_->net, way.arcs[arc - 1], way.arcs[arc]);
  return m && one_open_move(*m);
}

}  // namespace solotaxi::planning
