#include "routing/terminals.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <queue>
#include <set>

namespace solotaxi::routing {
namespace {

bool is_stand_way(LineKind kind) { return kind == LineKind::stand_line || kind == LineKind::connector; }

OrderedCost priced(const Question& q, double length_m, const Cost& cost) {
  return {0, 0, units(q.request->objective, length_m, cost)};
}

/// Adds the seeds at one beginning: driving off from rest in any direction. Where only a set that can start there will do,
/// the first metres are followed arc by arc, however short the arcs are, until they are behind the aircraft.
class DriveOff {
 public:
  DriveOff(const Question& q, const Attempt& attempt, const Weights& weights, std::size_t beginning, Terminals& out)
      : q_(q), attempt_(attempt), weights_(weights), beginning_(beginning), out_(out) {
    targets_.insert(index(q.to.node));
    for (const auto& group : line_up_nodes(q))
      for (const NodeId n : group) targets_.insert(index(n));
    for (const ResolvedPlace& v : q.via) targets_.insert(index(v.node));
  }

  void from_rest(NodeId node, OrderedCost before, const std::vector<ArcId>& pushed) {
    for (const ArcId a : q_.net->arcs_from(node)) {
      if (weights_.arc[index(a)] == kShut) continue;
      if (!pushed.empty() && a == network::reversed(pushed.back())) continue;
      const Cost start = attempt_.table->start_from_rest(a);
      follow({a}, before + priced(q_, 0.0, start) + weights_.of(a), q_.conditions->start_zone_m);
    }
  }

 private:
  void follow(std::vector<ArcId> chain, OrderedCost cost, double zone_m) {
    const ArcId last = chain.back();
    const double length = q_.net->segment(last).length_m;
    const bool short_of_zone = attempt_.stop_places && length < zone_m;
    if (attempt_.stop_places && zone_verdict(q_, *attempt_.table, last, std::min(zone_m, length)) > Verdict::standing)
      return;
    if (!short_of_zone || targets_.contains(index(q_.net->head(last)))) out_.seeds.push_back({beginning_, chain, cost});
    if (!short_of_zone) return;
    for (std::size_t m = q_.net->first_movement[index(last)]; m < q_.net->first_movement[index(last) + 1]; ++m) {
      const Movement& move = q_.net->movements[m];
      if (weights_.movement[m] == kShut || move.turn_round) continue;
      if (std::find(chain.begin(), chain.end(), move.to) != chain.end()) continue;
      if (attempt_.table->movement(m).place.verdict > Verdict::standing) continue;
      auto longer = chain;
      longer.push_back(move.to);
      follow(std::move(longer), cost + OrderedCost{0, 0, weights_.movement[m]} + weights_.of(move.to), zone_m - length);
    }
  }

  const Question& q_;
  const Attempt& attempt_;
  const Weights& weights_;
  std::size_t beginning_;
  Terminals& out_;
  std::set<std::uint32_t> targets_;
};

/// Landing: the exits at least the landing roll past the threshold, and, where runways are open, the far end to turn at.
class RollOut {
 public:
  RollOut(const Question& q, const Attempt& attempt, const Weights& weights, Terminals& out)
      : q_(q),
        attempt_(attempt),
        weights_(weights),
        out_(out),
        runway_(q.net->runways[static_cast<std::size_t>(q.from.runway)]),
        arcs_(runway_arcs(*q.net, q.from.runway, q.from.end)) {}

  void add() {
    if (runway_.closed || runway_.no_landing[static_cast<std::size_t>(q_.from.end)]) return;
    const double least = runway_.displaced_m[static_cast<std::size_t>(q_.from.end)] + q_.request->landing_roll_m;
    double at = 0.0;
    for (const ArcId a : arcs_) {
      at += q_.net->segment(a).length_m;
      const NodeId node = q_.net->head(a);
      if (q_.from.entry ? node == q_.from.node : at >= least) add_exit(a);
    }
    if (attempt_.runway_open) add_turn_round(arcs_.back());
  }

 private:
  void add_exit(ArcId rolled) {
    for (std::size_t m = q_.net->first_movement[index(rolled)]; m < q_.net->first_movement[index(rolled) + 1]; ++m) {
      const ArcId to = q_.net->movements[m].to;
      // The roll-out itself needs no open runway arc: a shut movement is judged by its own table.
      const auto& turn = attempt_.table->movement(m);
      if (q_.is_runway(to) || weights_.arc[index(to)] == kShut || turn.place.verdict > attempt_.worst) continue;
      out_.beginnings.push_back({{}, q_.net->head(rolled), rolled});
      const OrderedCost cost = priced(q_, 0.0, turn.cost) + weights_.of(to);
      out_.seeds.push_back(
          {out_.beginnings.size() - 1, {to}, {cost.runway_mm, cost.avoid_mm, std::max<std::int64_t>(0, cost.objective)}});
    }
  }

  void add_turn_round(ArcId rolled) {
    const auto turn = attempt_.table->turn_round(rolled);
    const ArcId back = network::reversed(rolled);
    if (weights_.arc[index(back)] == kShut || turn.turn.place.verdict > attempt_.worst) return;
    OrderedCost cost = priced(q_, turn_round_way_m(turn), turn.turn.cost) + weights_.of(back);
    std::vector<ArcId> way{back};
    if (q_.from.entry) {  // back to the exit asked for, and out there
      for (auto it = arcs_.rbegin() + 1; it != arcs_.rend() && q_.net->head(way.back()) != q_.from.node; ++it) {
        const auto m = movement_index(*q_.net, way.back(), network::reversed(*it));
        if (!m || weights_.movement[*m] == kShut) return;
        way.push_back(network::reversed(*it));
        cost += OrderedCost{0, 0, weights_.movement[*m]} + weights_.of(way.back());
      }
      if (q_.net->head(way.back()) != q_.from.node) return;
    }
    out_.beginnings.push_back({{}, q_.net->head(rolled), rolled});
    if (!q_.from.entry) {
      out_.seeds.push_back({out_.beginnings.size() - 1, way, cost});
      return;
    }
    const ArcId last = way.back();
    for (std::size_t m = q_.net->first_movement[index(last)]; m < q_.net->first_movement[index(last) + 1]; ++m) {
      const ArcId to = q_.net->movements[m].to;
      if (q_.is_runway(to) || weights_.movement[m] == kShut) continue;
      auto out = way;
      out.push_back(to);
      out_.seeds.push_back(
          {out_.beginnings.size() - 1, std::move(out), cost + OrderedCost{0, 0, weights_.movement[m]} + weights_.of(to)});
    }
  }

  const Question& q_;
  const Attempt& attempt_;
  const Weights& weights_;
  Terminals& out_;
  const network::Runway& runway_;
  std::vector<ArcId> arcs_;
};

void add_stop(const Question& q, const Attempt& attempt, const Weights& weights, ArcId a, Terminals& out) {
  if (weights.arc[index(a)] == kShut) return;
  out.goals.push_back({a, priced(q, 0.0, attempt.table->stop(a)), false});
}

void add_runway_goals(const Question& q, const Attempt& attempt, const Weights& weights, Terminals& out) {
  const Network& net = *q.net;
  const auto& runway = net.runways[static_cast<std::size_t>(q.to.runway)];
  if (runway.closed || runway.no_take_off[static_cast<std::size_t>(q.to.end)]) return;
  const auto take_off = runway_arcs(net, q.to.runway, q.to.end);
  std::set<std::uint32_t> nodes;
  for (const NodeId n : attempt.line_up) nodes.insert(index(n));
  const auto along = [&](ArcId a) { return std::find(take_off.begin(), take_off.end(), a) != take_off.end(); };
  for (std::uint32_t i = 0; i < net.arc_count(); ++i) {
    const ArcId a{i};
    if (!nodes.contains(index(net.head(a)))) continue;
    // Along the runway only in the direction of take-off; from a taxiway if it can turn that way (or the entry was asked
    // for).
    const bool of_this_runway = q.is_runway(a) && net.segment(a).runway == q.to.runway;
    if (of_this_runway && !along(a)) continue;
    const auto moves = net.movements_from(a);
    const bool lines_up = std::any_of(moves.begin(), moves.end(), [&](const Movement& m) { return along(m.to); });
    if (lines_up || q.to.entry) add_stop(q, attempt, weights, a, out);
  }
  if (q.to.entry || (!nodes.empty() && !attempt.runway_open)) return;
  // Backtrack: to the end against the take-off, and round.
  const ArcId to_end = network::reversed(take_off.front());
  const auto turn = attempt.table->turn_round(to_end);
  if (weights.arc[index(to_end)] == kShut || turn.turn.place.verdict > attempt.worst) return;
  out.goals.push_back({to_end, priced(q, turn_round_way_m(turn), last_turn_round(*attempt.table, to_end)), true});
}

}  // namespace

std::vector<Beginning> push_backs(const Question& q, int stand) {
  const Network& net = *q.net;
  std::vector<std::vector<ArcId>> leaving(net.nodes.size());  // one-way lines bind driving, not pushing
  std::vector<std::uint8_t> taxiway(net.nodes.size(), 0), parked(net.nodes.size(), 0);
  for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
    const NodeId tail = net.tail(ArcId{a});
    const auto& s = net.segment(ArcId{a});
    if (!is_stand_way(s.kind))
      taxiway[index(tail)] = 1;
    else if (!s.closed && !q.user_closed[a])
      leaving[index(tail)].push_back(ArcId{a});
  }
  if (net.stands[static_cast<std::size_t>(stand)].closed) return {};
  const NodeId start = net.stands[static_cast<std::size_t>(stand)].node;
  for (const auto& s : net.stands)
    if (s.node != start) parked[index(s.node)] = 1;
  // Not over other stands, if it can be helped: aircraft may stand there.
  for (const bool over_stands : {false, true}) {
    std::vector<Beginning> out;
    std::map<std::uint32_t, std::pair<double, std::optional<ArcId>>> reached{{index(start), {0.0, std::nullopt}}};
    using Entry = std::pair<double, std::uint32_t>;
    std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue;
    queue.emplace(0.0, index(start));
    while (!queue.empty()) {
      const auto [way, n] = queue.top();
      queue.pop();
      if (way > reached.at(n).first) continue;
      if (taxiway[n]) {
        Beginning b;
        b.node = NodeId{n};
        for (auto by = reached.at(n).second; by; by = reached.at(index(net.tail(*by))).second) b.pushed.push_back(*by);
        std::reverse(b.pushed.begin(), b.pushed.end());
        out.push_back(std::move(b));
        continue;
      }
      if (parked[n] && !over_stands) continue;
      for (const ArcId a : leaving[n]) {
        const double longer = way + net.segment(a).length_m;
        const auto [it, fresh] = reached.try_emplace(index(net.head(a)), longer, a);
        if (!fresh && it->second.first <= longer) continue;
        it->second = {longer, a};
        queue.emplace(longer, index(net.head(a)));
      }
    }
    if (!out.empty()) return out;
  }
  return {};
}

Terminals make_terminals(const Question& q, const Attempt& attempt, const Weights& weights) {
  Terminals out;
  for (const int stand : {q.from.stand, q.to.stand})
    if (stand >= 0 && q.net->stands[static_cast<std::size_t>(stand)].closed) return out;
  if (q.direction == Direction::arrival) {
    RollOut(q, attempt, weights, out).add();
  } else {
    if (q.direction == Direction::departure && q.from.stand >= 0)
      out.beginnings = push_backs(q, q.from.stand);
    else
      out.beginnings = {{{}, q.from.node, std::nullopt}};
    for (std::size_t i = 0; i < out.beginnings.size(); ++i) {
      double pushed_m = 0.0;
      for (const ArcId a : out.beginnings[i].pushed) pushed_m += q.net->segment(a).length_m;
      DriveOff(q, attempt, weights, i, out)
          .from_rest(out.beginnings[i].node, priced(q, pushed_m, {}), out.beginnings[i].pushed);
    }
  }
  if (ends_on_runway(q)) {
    add_runway_goals(q, attempt, weights, out);
  } else {
    for (std::uint32_t a = 0; a < q.net->arc_count(); ++a)
      if (q.net->head(ArcId{a}) == q.to.node) add_stop(q, attempt, weights, ArcId{a}, out);
  }
  return out;
}

}  // namespace solotaxi::routing
