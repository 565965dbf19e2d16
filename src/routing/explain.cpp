#include "routing/explain.hpp"

#include <algorithm>
#include <cmath>
#include <queue>

#include "routing/assemble.hpp"
#include "routing/spelling.hpp"
#include "routing/terminals.hpp"

namespace solotaxi::routing {
namespace {

/// Rules in force in a trial.
struct Rules {
  bool user_closed = true, map_closed = true, limits = true, steering = true, turns = true, one_way = true;
  std::string lifted;  ///< one name of the user's closures that is not in force
};

class NoWayExplainer {
 public:
  NoWayExplainer(const Question& q, const CostTable& every_engine, const HasWay& has_way)
      : q_(q), net_(*q.net), table_(every_engine), has_way_(has_way) {
    for (const std::string& name : q.request->close) {
      closed_by_.emplace_back(net_.arc_count(), std::uint8_t{0});
      for (const ArcId a : arcs_named(net_, name)) closed_by_.back()[index(a)] = 1;
    }
  }

  NoRoute tell() {
    if (auto runway = closed_place()) return *runway;
    const auto from = beginnings();
    if (from.empty())
      return {q_.from.place.text + " is joined to no taxiway by a stand line or connector that is open",
              {stand_id()},
              "start from a node:, or lat,lon, on a taxiway"};
    std::vector<std::vector<NodeId>> stops{from};
    std::vector<std::string> names{q_.from.place.text};
    for (const auto& v : q_.via) {
      stops.push_back({v.node});
      names.push_back(v.place.text);
    }
    stops.push_back(endings());
    names.push_back(q_.to.place.text);
    for (std::size_t i = 1; i < stops.size(); ++i)
      if (auto why = leg(stops[i - 1], stops[i], names[i - 1], names[i])) return *why;
    return together(names);
  }

 private:
  static constexpr const char* kShownSo = "the map or a NOTAM shows it so";

  std::optional<NoRoute> closed_place() {
    for (const auto* p : {&q_.from, &q_.to}) {
      if (p->stand >= 0)
        if (const auto& s = net_.stands[static_cast<std::size_t>(p->stand)]; s.closed)
          return NoRoute{p->place.text + " is closed", {s.id}, kShownSo};
      if (p->runway < 0) continue;
      const auto& r = net_.runways[static_cast<std::size_t>(p->runway)];
      if (r.closed) return NoRoute{"runway " + r.name + " is closed", {r.name}, kShownSo};
      const auto end = static_cast<std::size_t>(p->end);
      const bool lands = p == &q_.from;
      if (lands ? r.no_landing[end] : r.no_take_off[end])
        return NoRoute{
            "runway " + r.designators[end] + " is closed for " + (lands ? "landings" : "take-offs"), {r.name}, kShownSo};
    }
    return std::nullopt;
  }

  [[nodiscard]] std::string stand_id() const { return net_.stands[static_cast<std::size_t>(q_.from.stand)].id; }

  [[nodiscard]] std::vector<NodeId> runway_nodes(int runway) const {
    std::vector<NodeId> out;
    for (const ArcId a : runway_arcs(net_, runway, 0)) {
      if (out.empty()) out.push_back(net_.tail(a));
      out.push_back(net_.head(a));
    }
    return out;
  }
  [[nodiscard]] std::vector<NodeId> beginnings() const {
    if (q_.direction == Direction::arrival) return runway_nodes(q_.from.runway);
    if (q_.direction != Direction::departure || q_.from.stand < 0) return {q_.from.node};
    std::vector<NodeId> out;
    for (const auto& b : push_backs(q_, q_.from.stand)) out.push_back(b.node);
    return out;
  }
  [[nodiscard]] std::vector<NodeId> endings() const {
    if (q_.to.runway >= 0 && !q_.to.entry) return runway_nodes(q_.to.runway);
    return {q_.to.node};
  }

  [[nodiscard]] bool open(ArcId a, const Rules& rules) const {
    const auto& s = net_.segment(a);
    if (rules.one_way && !net_.may_drive(a)) return false;
    if (rules.user_closed && q_.user_closed[index(a)]) {
      bool shut = rules.lifted.empty();
      for (std::size_t i = 0; i < closed_by_.size() && !shut; ++i)
        shut = q_.request->close[i] != rules.lifted && closed_by_[i][index(a)];
      if (shut) return false;
    }
    const bool runway_closed = s.runway >= 0 && net_.runways[static_cast<std::size_t>(s.runway)].closed;
    if (rules.map_closed && (s.closed || runway_closed)) return false;
    if (!net_.may_drive(a)) return true;  // tables do not speak of it
    const auto& place = table_.arc_verdict(a);
    if (place.verdict != Verdict::blocked) return true;
    if (place.reasons.has(motion::Reason::closed)) return !rules.limits || s.closed;
    return !rules.steering;
  }

  /// Arcs of a way with few arcs from any of the nodes to any of the others under these rules; nothing where there is none.
  [[nodiscard]] std::optional<std::vector<ArcId>> way(const std::vector<NodeId>& from, const std::vector<NodeId>& to,
                                                      const Rules& rules) const {
    constexpr std::uint32_t kFresh = 0xFFFFFFFF, kFirst = 0xFFFFFFFE;
    std::vector<std::uint32_t> before(net_.arc_count(), kFresh);
    std::vector<std::uint8_t> target(net_.nodes.size(), 0);
    for (const NodeId n : to) target[index(n)] = 1;
    std::vector<std::vector<ArcId>> leaving(net_.nodes.size());
    for (std::uint32_t a = 0; a < net_.arc_count(); ++a) leaving[index(net_.tail(ArcId{a}))].push_back(ArcId{a});
    std::queue<ArcId> queue;
    const auto reach = [&](ArcId a, std::uint32_t by) {
      if (before[index(a)] != kFresh || !open(a, rules)) return;
      before[index(a)] = by;
      queue.push(a);
    };
    for (const NodeId n : from)
      for (const ArcId a : leaving[index(n)]) reach(a, kFirst);
    while (!queue.empty()) {
      const ArcId a = queue.front();
      queue.pop();
      if (target[index(net_.head(a))]) {
        std::vector<ArcId> out;
        for (std::uint32_t k = index(a); k != kFirst; k = before[k]) out.push_back(ArcId{k});
        std::reverse(out.begin(), out.end());
        return out;
      }
      if (!rules.turns) {
        for (const ArcId to_arc : leaving[index(net_.head(a))])
          if (to_arc != network::reversed(a)) reach(to_arc, index(a));
        continue;
      }
      for (std::size_t m = net_.first_movement[index(a)]; m < net_.first_movement[index(a) + 1]; ++m) {
        const Movement& move = net_.movements[m];
        const auto verdict = move.turn_round ? table_.turn_round(a).turn.place.verdict : table_.movement(m).place.verdict;
        if (!rules.steering || verdict != Verdict::blocked) reach(move.to, index(a));
      }
    }
    return std::nullopt;
  }

  [[nodiscard]] std::vector<std::string> lines_on(const std::vector<ArcId>& arcs, const auto& meant) const {
    std::vector<std::string> out;
    for (const ArcId a : arcs) {
      if (!meant(a)) continue;
      const auto& s = net_.segment(a);
      const std::string name = s.name.empty() ? s.source_id : s.name;
      if (std::find(out.begin(), out.end(), name) == out.end()) out.push_back(name);
    }
    return out;
  }

  /// "B (its width of 12 m is under the 15 m of the wheels), …" for the lines of a way that do not let the aircraft in.
  [[nodiscard]] std::string with_limits(const std::vector<ArcId>& arcs) const {
    std::vector<std::string> out;
    for (const ArcId a : arcs) {
      const auto& s = net_.segment(a);
      const std::string limit = limit_text(s, *q_.aircraft);
      const std::string text = (s.name.empty() ? s.source_id : s.name) + " (" + limit + ")";
      if (!limit.empty() && std::find(out.begin(), out.end(), text) == out.end()) out.push_back(text);
    }
    return listed(out);
  }

  std::optional<NoRoute> parts(const std::vector<NodeId>& from, const std::vector<NodeId>& to, const std::string& a,
                               const std::string& b) const {
    for (const NodeId f : from)
      for (const NodeId t : to)
        if (net_.component[index(f)] == net_.component[index(t)]) return std::nullopt;
    const auto size = [&](NodeId n) {
      double metres = 0.0;
      for (const auto& s : net_.segments)
        if (net_.component[index(s.from)] == net_.component[index(n)]) metres += s.length_m;
      char text[32];
      std::snprintf(text, sizeof text, "%.2f km", metres / 1000.0);
      return std::string(text);
    };
    const auto id = [&](NodeId n) {
      return net_.node(n).source_id.empty() ? "node:" + std::to_string(index(n)) : net_.node(n).source_id;
    };
    return NoRoute{
        (q_.via.empty() ? "the two" : a + " and " + b) + " lie on two parts of the network that nothing joins, of " +
            size(from.front()) + " and " + size(to.front()),
        {id(from.front()), id(to.front())},
        "the map may lack a line between them, or end there; a larger snapping distance, --snap, may join a gap"};
  }

  std::optional<NoRoute> leg(const std::vector<NodeId>& from, const std::vector<NodeId>& to, const std::string& a,
                             const std::string& b) const {
    if (auto why = parts(from, to, a, b)) return why;
    if (way(from, to, {})) return std::nullopt;
    // The ends of the whole way are known; those of a part of it are told.
    const std::string between = q_.via.empty() ? "" : " between " + a + " and " + b;
    Rules rules;
    rules.user_closed = false;
    if (way(from, to, rules)) {
      for (const std::string& name : q_.request->close) {
        Rules one;
        one.lifted = name;
        if (way(from, to, one))
          return NoRoute{"every way" + between + " is closed: " + name, {name}, "open it, or start elsewhere"};
      }
      return NoRoute{"every way" + between + " is closed by what was asked to be closed", q_.request->close,
                     "open one of them"};
    }
    rules.map_closed = false;
    if (auto found = way(from, to, rules)) {
      const auto names = lines_on(*found, [&](ArcId x) {
        const auto& s = net_.segment(x);
        return s.closed || (s.runway >= 0 && net_.runways[static_cast<std::size_t>(s.runway)].closed);
      });
      return NoRoute{"every way" + between + " is closed in the map: " + listed(names), names, "check the map"};
    }
    rules.limits = false;
    if (auto found = way(from, to, rules)) {
      const auto names =
          lines_on(*found, [&](ArcId x) { return table_.arc_verdict(x).reasons.has(motion::Reason::closed); });
      return NoRoute{"every way" + between + " is too narrow or small for this aircraft: " + with_limits(*found), names,
                     "another aircraft, or a map with other limits"};
    }
    rules.steering = false;
    if (auto found = way(from, to, rules)) {
      auto names = lines_on(*found, [&](ArcId x) { return table_.arc_verdict(x).verdict == Verdict::blocked; });
      for (std::size_t i = 1; i < found->size(); ++i) {
        const auto m = movement_index(net_, (*found)[i - 1], (*found)[i]);
        if (m && !net_.movements[*m].turn_round && table_.movement(*m).place.verdict == Verdict::blocked)
          names.push_back("node:" + std::to_string(index(net_.tail((*found)[i]))));
      }
      return NoRoute{"every way" + between + " has a place that cannot be driven even on every engine: " + listed(names),
                     names, "a turn tighter than the nose wheel steers, or a slope beyond the thrust limit"};
    }
    rules.turns = false;
    if (auto found = way(from, to, rules)) {
      std::vector<std::string> nodes;
      for (std::size_t i = 1; i < found->size(); ++i)
        if (!movement_index(net_, (*found)[i - 1], (*found)[i]))
          nodes.push_back("node:" + std::to_string(index(net_.tail((*found)[i]))));
      return NoRoute{"every way" + between + " needs a turn of more than 135 degrees, at " + listed(nodes), nodes,
                     "the map may lack the curve there"};
    }
    rules.one_way = false;
    if (auto found = way(from, to, rules)) {
      const auto names = lines_on(*found, [&](ArcId x) { return !net_.may_drive(x); });
      return NoRoute{"every way" + between + " goes against a one-way line: " + listed(names), names, "check the map"};
    }
    return NoRoute{q_.via.empty() ? "no way leads there" : "no way leads from " + a + " to " + b, {}, ""};
  }

  /// What was asked beyond a way from here to there, and without which there is one.
  [[nodiscard]] std::optional<NoRoute> lifted() const {
    const auto& closed = q_.request->close;
    RouteRequest request = *q_.request;
    motion::Conditions rolling = *q_.conditions;
    rolling.require = motion::Require::rolling;
    const bool standing = q_.conditions->require == motion::Require::standing;
    if (standing && has_way_(request, rolling))
      return NoRoute{"no way can be started from rest everywhere, even on every engine", {}, "ask for rolling"};
    for (std::size_t i = 0; i < closed.size(); ++i) {
      request.close = closed;
      request.close.erase(request.close.begin() + static_cast<std::ptrdiff_t>(i));
      if (has_way_(request, *q_.conditions))
        return NoRoute{"every way is closed: " + closed[i], {closed[i]}, "open it, or ask for another beginning or end"};
    }
    request.close.clear();
    if (!closed.empty() && has_way_(request, *q_.conditions))
      return NoRoute{"every way is closed by what was asked to be closed", closed, "open one of them"};
    if (standing && !closed.empty() && has_way_(request, rolling))
      return NoRoute{"what was asked to be closed leaves no way that can be started from rest everywhere", closed,
                     "open one of them, and ask for rolling"};
    return std::nullopt;
  }

  /// Each leg alone could be driven: what fails is their sum, or the beginning or end.
  NoRoute together(const std::vector<std::string>& names) const {
    if (auto why = lifted()) return *why;
    if (!q_.via.empty())
      return {"no way leads over " + listed(names) + " in this order without turning on the spot", names,
              "another order, or other places between"};
    if (q_.direction == Direction::arrival)
      return {"no exit of " + q_.from.place.text + " leads to " + q_.to.place.text +
                  ", and neither does a turn-round at the runway's end",
              {q_.from.place.text},
              "another runway end, or plain taxi from a node on the runway"};
    if (q_.to.runway >= 0)
      return {q_.to.place.text + " cannot be lined up on from any way that leads there",
              {q_.to.place.text},
              "another entry, written behind @"};
    return {"no way leads there under all rules together", {}, ""};
  }

  const Question& q_;
  const Network& net_;
  const CostTable& table_;
  const HasWay& has_way_;
  std::vector<std::vector<std::uint8_t>> closed_by_;
};

}  // namespace

NoRoute explain(const Question& q, const CostTable& every_engine, const HasWay& has_way) {
  return NoWayExplainer(q, every_engine, has_way).tell();
}

}  // namespace solotaxi::routing
