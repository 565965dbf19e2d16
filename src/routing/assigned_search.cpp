#include "routing/assigned_search.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace solotaxi::routing {
namespace {

std::uint64_t key_of(ArcId arc, std::uint16_t next, LineId line, Mask mask) {
  // 24 bits of arc, 8 of items (kClearanceItems is less), 16 of line, 16 of mask.
  return (std::uint64_t{index(arc)} << 40U) | (std::uint64_t{next} << 32U) |
         (static_cast<std::uint64_t>(static_cast<std::uint16_t>(line + 2)) << 16U) | mask;
}

}  // namespace

AssignedSearch::AssignedSearch(const Rules& rules, const Weights& weights, const Terminals& terminals)
    : rules_(rules), weights_(weights), terminals_(terminals), net_(*rules.q->net) {
  for (const Goal& g : terminals.goals) goals_.emplace(index(g.arc), g);
  known_.reserve(4 * net_.arc_count());
}

void AssignedSearch::begun_by(std::uint16_t next, LineId line, Entries& out) const {
  for (std::size_t k = next; k < rules_.items.size(); ++k) {
    const auto left_out = static_cast<std::uint16_t>(k - next);
    if (rules_.items[k].kind != ClearanceItem::Kind::turn && has(rules_.items[k].lines, line))
      out.push_back({static_cast<std::uint16_t>(k + 1), line, left_out, false, true});
    if (!rules_.edits) return;
  }
}

void AssignedSearch::runway_entries(std::uint16_t next, LineId line, Mask mask, ArcId arc, Entries& out) const {
  const int runway = net_.segment(arc).runway;
  const LineId own = kRunwayLine + runway;
  const bool backtracked = (mask & kBacktrackAny) || ((mask & kBacktrackGiven) && rules_.backtrack_runway == runway);
  if (rules_.q->crosses[index(arc)] || line == own || backtracked)
    out.push_back({next, line});
  else if (rules_.edits)
    out.push_back({next, line, 1, false, false, kBacktrackAny});
  begun_by(next, own, out);
}

void AssignedSearch::entries(std::uint16_t next, LineId line, Mask mask, ArcId arc, Entries& out) const {
  const auto& segment = net_.segment(arc);
  const auto count = static_cast<std::uint16_t>(rules_.items.size());
  const auto to_end = static_cast<std::uint16_t>(count - next);
  const auto at_end = [&] {  // behind the last item
    if (line == kEndLine || next == count || rules_.edits) out.push_back({count, kEndLine, to_end});
  };
  if (segment.kind == LineKind::runway) return runway_entries(next, line, mask, arc, out);
  if (segment.kind == LineKind::stand_line) {
    if (line == kStartLine) out.push_back({next, line});
    if (rules_.end_taxilanes) at_end();
    if (line >= 0 && rules_.stand_lines) out.push_back({next, line});
    return;
  }
  const auto& own = rules_.lines->of(network::segment_of(arc));
  if (own.empty()) return out.push_back({next, line});  // a junction piece
  if (line >= 0 && has(own, line)) out.push_back({next, line});
  for (const LineId l : own) begun_by(next, l, out);
  const bool taxilane = segment.kind == LineKind::taxilane;
  if (taxilane && line == kStartLine && rules_.start_taxilanes) out.push_back({next, line});
  const bool named_by_end = std::any_of(own.begin(), own.end(), [&](LineId l) { return has(rules_.end_lines, l); });
  if (named_by_end || (taxilane && rules_.end_taxilanes)) at_end();
  if (!rules_.edits || line == kEndLine) return;
  for (const LineId l : own)
    if (l != line) out.push_back({next, l, 1, true});
}

Mask AssignedSearch::passed(ArcId from, ArcId to) const {
  const Mask bits = rules_.pass[index(net_.head(from))];
  if (bits == 0) return 0;
  const auto along = [&](ArcId a) { return rules_.q->is_runway(a) && !rules_.q->crosses[index(a)]; };
  return along(from) || along(to) ? Mask{0} : bits;
}

bool AssignedSearch::may_turn_round(Mask mask, ArcId arc) const {
  return (mask & kBacktrackAny) || ((mask & kBacktrackGiven) && rules_.backtrack_runway == net_.segment(arc).runway);
}

std::uint32_t AssignedSearch::reach(const State& state) {
  const auto [it, fresh] =
      known_.try_emplace(key_of(state.arc, state.next, state.line, state.mask), static_cast<std::uint32_t>(states_.size()));
  if (fresh)
    states_.push_back(state);
  else if (states_[it->second].cost <= state.cost)
    return it->second;
  else
    states_[it->second] = state;
  queue_.emplace(state.cost, state.arc, it->second);
  return it->second;
}

void AssignedSearch::step(std::uint32_t from, State to, const Entry& entry, const OrderedCost& weight, std::int64_t edits) {
  to.parent = from;
  to.next = entry.next;
  to.line = entry.line;
  to.begins = entry.begins;
  to.put_in = entry.put_in;
  to.mask = static_cast<Mask>(to.mask | entry.bits);
  to.cost = states_[from].cost + EditedCost{entry.edits + edits, weight};
  const std::uint32_t there = reach(to);
  if (!rules_.edits) edges_.push_back({from, there, weight});
}

void AssignedSearch::turns_off(const Beginning& beginning, const Seed& seed, std::size_t k, Entries& out) const {
  if (!beginning.rolled_on || k + 1 != seed.arcs.size()) return;
  const ArcId exit = seed.arcs[k], rolled = k > 0 ? seed.arcs[k - 1] : *beginning.rolled_on;
  if (!rules_.q->is_runway(rolled) || rules_.q->is_runway(exit)) return;
  // By the side of the runway on which the exit lies: a rapid exit leaves it by less than a turn.
  const LocalXY node = net_.node(net_.head(rolled)).xy;
  const double side =
      deflection(heading(net_.node(net_.tail(rolled)).xy, node), heading(node, net_.node(net_.head(exit)).xy)).value();
  const auto& own = rules_.lines->of(network::segment_of(exit));
  for (std::size_t i = 0; i < rules_.items.size() && (i == 0 || rules_.edits); ++i) {
    const RuleItem& item = rules_.items[i];
    if (item.kind != ClearanceItem::Kind::turn || !item.near[index(net_.head(rolled))]) continue;
    if ((item.side == Side::right ? side : -side) <= 0.0) continue;
    const auto next = static_cast<std::uint16_t>(i + 1);
    Entries ways;
    entries(next, kStartLine, rules_.start, exit, ways);
    for (const LineId l : own)
      if (has(item.lines, l)) ways.push_back({next, l});
    for (Entry e : ways) {
      e.edits = static_cast<std::uint16_t>(e.edits + i);
      e.turn = next;
      out.push_back(e);
    }
  }
}

void AssignedSearch::seed() {
  for (std::uint32_t i = 0; i < terminals_.seeds.size(); ++i) {
    const Seed& s = terminals_.seeds[i];
    std::vector<State> here(1);
    here.front().mask = rules_.start;
    here.front().seed = i;
    here.front().cost.way = s.cost;
    for (std::size_t k = 0; k < s.arcs.size(); ++k) {
      std::vector<State> then;
      for (const State& before : here) {
        Entries ways;
        entries(before.next, before.line, before.mask, s.arcs[k], ways);
        turns_off(terminals_.beginnings[s.beginning], s, k, ways);
        for (const Entry& e : ways) {
          State now = before;
          now.arc = s.arcs[k];
          now.next = e.next;
          now.line = e.line;
          now.turn = e.turn;
          now.begins = now.begins || e.begins;
          now.put_in = now.put_in || e.put_in;
          now.cost.edits += e.edits;
          now.mask = static_cast<Mask>(now.mask | e.bits | rules_.reach[index(now.arc)]);
          if (k > 0) now.mask = static_cast<Mask>(now.mask | passed(s.arcs[k - 1], now.arc));
          then.push_back(now);
        }
      }
      here = std::move(then);
    }
    for (const State& state : here) static_cast<void>(reach(state));
  }
}

void AssignedSearch::expand(std::uint32_t from) {
  const State s = states_[from];
  Entries ways;
  for (std::size_t m = net_.first_movement[index(s.arc)]; m < net_.first_movement[index(s.arc) + 1]; ++m) {
    const Movement& move = net_.movements[m];
    if (weights_.movement[m] == kShut || weights_.arc[index(move.to)] == kShut) continue;
    Mask before = s.mask;
    std::int64_t extra = 0;
    if (move.turn_round && !may_turn_round(s.mask, s.arc)) {
      if (!rules_.edits) continue;
      before |= kBacktrackAny;
      extra = 1;
    }
    const OrderedCost weight = OrderedCost{0, 0, weights_.movement[m]} + weights_.of(move.to);
    State to;
    to.arc = move.to;
    to.mask = static_cast<Mask>(before | passed(s.arc, move.to) | rules_.reach[index(move.to)]);
    ways.clear();
    entries(s.next, s.line, before, move.to, ways);
    for (const Entry& e : ways) step(from, to, e, weight, extra);
  }
  for (std::size_t k = s.next; k < rules_.items.size(); ++k) {
    if (rules_.items[k].kind == ClearanceItem::Kind::turn) turn(from, k);
    if (!rules_.edits) break;
  }
}

std::optional<EditedCost> AssignedSearch::end_cost(const State& s, const Goal& goal) const {
  EditedCost cost = s.cost;
  cost.way += goal.cost;
  const auto missing = static_cast<Mask>(rules_.all & ~s.mask);
  const auto left = rules_.items.size() - s.next;
  if (goal.turn_round && !may_turn_round(s.mask, s.arc)) {
    if (!rules_.edits) return std::nullopt;
    ++cost.edits;
  }
  if ((missing != 0 || left != 0) && !rules_.edits) return std::nullopt;
  cost.edits += static_cast<std::int64_t>(left);
  for (Mask bits = missing; bits != 0; bits = static_cast<Mask>(bits & (bits - 1U))) ++cost.edits;
  return cost;
}

std::optional<FoundWay> AssignedSearch::run() {
  seed();
  while (!queue_.empty()) {
    const auto [cost, arc, i] = queue_.top();
    queue_.pop();
    if (states_[i].settled || states_[i].cost != cost) continue;
    if (rules_.edits && best_ != kNone && !(cost < best_cost_)) break;
    states_[i].settled = true;
    const auto [first, last] = goals_.equal_range(index(states_[i].arc));
    for (auto g = first; g != last; ++g) {
      const auto end = end_cost(states_[i], g->second);
      if (!end || (best_ != kNone && !(*end < best_cost_))) continue;
      best_ = i;
      best_cost_ = *end;
      best_goal_ = &g->second;
    }
    expand(i);
  }
  if (best_ == kNone) return std::nullopt;
  return trace(best_, *best_goal_, best_cost_);
}

FoundWay AssignedSearch::trace(std::uint32_t last, const Goal& goal, const EditedCost& cost) const {
  FoundWay out;
  out.cost = cost;
  out.turn_round_at_end = goal.turn_round;
  out.mask = states_[last].mask;
  if (goal.turn_round && !may_turn_round(out.mask, states_[last].arc)) out.mask |= kBacktrackAny;
  for (std::uint32_t i = last; i != kNone; i = states_[i].parent) {
    const State& s = states_[i];
    out.arcs.push_back({s.arc, s.next, s.line, s.put_in, s.begins, s.turn});
    const State* before = s.parent == kNone ? nullptr : &states_[s.parent];
    if (s.between != kNone)
      for (auto a = between_[s.between].rbegin(); a != between_[s.between].rend(); ++a)
        out.arcs.push_back({*a, before->next, before->line, false, false, 0});
    if (s.parent != kNone) continue;
    const Seed& seed = terminals_.seeds[s.seed];
    out.beginning = terminals_.beginnings[seed.beginning];
    for (std::size_t k = seed.arcs.size() - 1; k-- > 0;) out.arcs.push_back({seed.arcs[k], 0, kStartLine, false, false, 0});
  }
  std::reverse(out.arcs.begin(), out.arcs.end());
  return out;
}

NodeId AssignedSearch::entered_at(const State& s) const { return net_.tail(s.arc); }

std::vector<OtherWay> AssignedSearch::others(double apart_m) const {
  // Least cost from each state to an end, over the steps made, backwards.
  constexpr OrderedCost kFar{std::numeric_limits<std::int64_t>::max() / 4, 0, 0};
  std::vector<OrderedCost> left(states_.size(), kFar);
  std::vector<std::uint32_t> first(states_.size() + 1, 0), into(edges_.size());
  for (const Edge& e : edges_) ++first[e.to + 1];
  for (std::size_t i = 1; i < first.size(); ++i) first[i] += first[i - 1];
  auto fill = first;
  for (std::uint32_t e = 0; e < edges_.size(); ++e) into[fill[edges_[e].to]++] = e;
  using Reached = std::pair<OrderedCost, std::uint32_t>;
  std::priority_queue<Reached, std::vector<Reached>, std::greater<>> queue;
  for (std::uint32_t i = 0; i < states_.size(); ++i) {
    const auto [begin, end] = goals_.equal_range(index(states_[i].arc));
    for (auto g = begin; g != end; ++g)
      if (states_[i].settled && end_cost(states_[i], g->second)) left[i] = std::min(left[i], g->second.cost);
    if (left[i] < kFar) queue.emplace(left[i], i);
  }
  while (!queue.empty()) {
    const auto [cost, i] = queue.top();
    queue.pop();
    if (cost != left[i]) continue;
    for (std::uint32_t k = first[i]; k < first[i + 1]; ++k) {
      const Edge& e = edges_[into[k]];
      const OrderedCost longer = cost + e.weight;
      if (!(longer < left[e.from])) continue;
      left[e.from] = longer;
      queue.emplace(longer, e.from);
    }
  }
  std::vector<std::optional<NodeId>> taken(rules_.items.size());
  for (std::uint32_t i = best_; i != kNone; i = states_[i].parent) {
    const std::uint16_t before = states_[i].parent == kNone ? std::uint16_t{0} : states_[states_[i].parent].next;
    if (states_[i].next > before) taken[states_[i].next - 1U] = entered_at(states_[i]);
  }
  std::vector<std::optional<std::pair<OrderedCost, NodeId>>> best(rules_.items.size());
  const auto offer = [&](const State& to, const OrderedCost& through, std::size_t before) {
    if (to.next <= before) return;
    const std::size_t item = to.next - 1U;
    const NodeId at = entered_at(to);
    if (!taken[item] || distance_m(net_.node(*taken[item]).xy, net_.node(at).xy) < apart_m) return;
    if (!best[item] || through < best[item]->first) best[item] = {through, at};
  };
  for (const Edge& e : edges_)
    if (left[e.to] < kFar) offer(states_[e.to], states_[e.from].cost.way + e.weight + left[e.to], states_[e.from].next);
  for (std::uint32_t i = 0; i < states_.size(); ++i)
    if (states_[i].parent == kNone && left[i] < kFar) offer(states_[i], states_[i].cost.way + left[i], 0);
  std::vector<OtherWay> out;
  for (std::size_t item = 0; item < best.size(); ++item) {
    if (!best[item]) continue;
    const OrderedCost& through = best[item]->first;
    if (through.runway_mm != best_cost_.way.runway_mm || through.avoid_mm != best_cost_.way.avoid_mm) continue;
    out.push_back({item, *taken[item], best[item]->second, through.objective - best_cost_.way.objective});
  }
  return out;
}

AssignedSearch::Furthest AssignedSearch::furthest() const {
  Furthest out;
  std::optional<OrderedCost> nearest;
  for (const State& s : states_) {
    if (s.next > out.items) {
      out.items = s.next;
      out.arcs.clear();
    }
    if (s.next == out.items) out.arcs.push_back(s.arc);
    if (s.next != rules_.items.size() || goals_.count(index(s.arc)) == 0) continue;
    out.goal_without_bindings = true;
    if (nearest && !(s.cost.way < *nearest)) continue;
    nearest = s.cost.way;
    out.most = static_cast<Mask>(s.mask | ~rules_.all);
  }
  for (const Beginning& b : terminals_.beginnings) out.beginnings.push_back(b.node);
  for (const Seed& s : terminals_.seeds) out.starts.push_back(s.arcs.front());
  std::sort(out.arcs.begin(), out.arcs.end());
  out.arcs.erase(std::unique(out.arcs.begin(), out.arcs.end()), out.arcs.end());
  return out;
}

}  // namespace solotaxi::routing
