// What has to be said of a route: what the map's features on it gave cause for, and what this way of using them does.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "routing/assemble.hpp"
#include "solotaxi/terrain/heights.hpp"

namespace solotaxi::routing {
namespace {

class Teller {
 public:
  Teller(const Telling& t, const Steps& steps, Route& route)
      : t_(t), q_(*t.q), net_(*t.q->net), way_(*t.way), steps_(steps), route_(route) {}

  void tell() {
    engines();
    beginning();
    end();
    unknown_grade();
    tight_drawings();
    avoided();
    twice();
    turn_rounds();
    over_stands();
    positions();
    limits();
    of_the_map();
  }

 private:
  void add(NodeId node, const char* code, Severity severity, std::string text) {
    route_.findings.push_back(finding_at(net_, node, code, severity, std::move(text)));
  }
  void add(ArcId a, const char* code, Severity severity, std::string text) {
    Finding f = finding_at(net_, net_.tail(a), code, severity, std::move(text));
    f.where.id = net_.segment(a).source_id;
    route_.findings.push_back(std::move(f));
  }
  void add_for_all(const char* code, std::string text) {
    Finding f;
    f.code = code;
    f.severity = Severity::caution;
    f.text = std::move(text);
    route_.findings.push_back(std::move(f));
  }
  [[nodiscard]] NodeId node_before(std::size_t i) const { return net_.tail(way_.arcs[i]); }

  void engines() {
    if (t_.every_engine_needed)
      add_for_all(
          "every-engine-needed",
          fmt::format("no way {}can be driven on the engines asked for ({}){}; this is the way on all engines, with "
                      "the parts marked that need every one",
                      t_.along_m > 0.0 ? "off the runways " : "", route_.engines,
                      t_.along_m > 0.0 ? fmt::format(", only one with {:.0f} m along a runway", t_.along_m) : ""));
    // Where it starts or may stop, on every engine too: a heavy aircraft on a slope may not move off again.
    double zone = q_.conditions->start_zone_m;
    if (q_.direction != Direction::arrival) {
      Verdict worst = Verdict::standing;
      for (const Step& s : steps_.steps) {
        if (!(zone > 0.0)) break;
        if (s.movement && !s.turn_round) worst = std::max(worst, t_.asked->movement(*s.movement).place.verdict);
        worst = std::max(worst, zone_verdict(q_, *t_.asked, s.arc, std::min(zone, net_.segment(s.arc).length_m)));
        zone -= net_.segment(s.arc).length_m;
      }
      if (worst > Verdict::standing)
        add(node_before(0), "start-zone", Severity::caution,
            "the first " + std::to_string(std::lround(q_.conditions->start_zone_m)) +
                " m cannot be started from rest on these engines (" + std::string(motion::to_string(worst)) + ")");
    }
    for (std::size_t i = 1; i < steps_.steps.size(); ++i) {
      const Step& s = steps_.steps[i];
      if (!s.movement || s.turn_round || !is_stop_place(q_, net_.movements[*s.movement])) continue;
      const Verdict worst = std::max(t_.asked->movement(*s.movement).place.verdict,
                                     zone_verdict(q_, *t_.asked, s.arc, q_.conditions->start_zone_m));
      if (worst > Verdict::standing)
        add(node_before(i), "stop-place", Severity::caution,
            "do not stop here: these engines cannot start from rest again (" + std::string(motion::to_string(worst)) + ")");
    }
  }

  void beginning() {
    const NodeId start = way_.beginning.node;
    if (q_.direction == Direction::departure && q_.from.stand < 0)
      add(start, "push-back-assumed", Severity::note,
          "a push back of " + std::to_string(std::lround(route_.push_back_s)) +
              " s is counted, though the route does not begin on a stand");
    if (q_.direction == Direction::taxi && q_.from.stand >= 0)
      add(start, "no-push-back", Severity::note, "plain taxi: driven off the stand, no push back is counted");
    if (q_.direction == Direction::taxi && q_.from.runway >= 0)
      add(start, "starts-on-runway", Severity::note,
          "plain taxi: starts at rest on the runway, no landing roll is counted");
    if (q_.from.stand >= 0 && net_.stands[static_cast<std::size_t>(q_.from.stand)].approximate)
      add(start, "approximate-stand", Severity::note,
          q_.from.place.text + " is placed by its gate; the map shows no stands");
    if (q_.direction == Direction::arrival && q_.from.entry) {
      const auto& r = net_.runways[static_cast<std::size_t>(q_.from.runway)];
      const double roll =
          from_end_m(r, r.entries[*q_.from.entry], q_.from.end) - r.displaced_m[static_cast<std::size_t>(q_.from.end)];
      if (roll < q_.request->landing_roll_m)
        add(q_.from.node, "short-landing-roll", Severity::caution,
            "the exit asked for lies " + std::to_string(std::lround(roll)) +
                " m past the threshold, less than the landing roll of " +
                std::to_string(std::lround(q_.request->landing_roll_m)) + " m");
    }
  }

  void end() {
    const NodeId at = net_.head(way_.arcs.back());
    if (q_.to.stand >= 0 && net_.stands[static_cast<std::size_t>(q_.to.stand)].approximate)
      add(at, "approximate-stand", Severity::note, q_.to.place.text + " is placed by its gate; the map shows no stands");
    if (!ends_on_runway(q_) || way_.turn_round_at_end) return;
    if (q_.to.entry) {
      const auto take_off = runway_arcs(net_, q_.to.runway, q_.to.end);
      const auto moves = net_.movements_from(way_.arcs.back());
      if (std::none_of(moves.begin(), moves.end(), [&](const Movement& m) {
            return std::find(take_off.begin(), take_off.end(), m.to) != take_off.end();
          }))
        add(at, "line-up-turn", Severity::caution, "from here the turn into the take-off direction is over 135 degrees");
      return;
    }
    const auto groups = line_up_nodes(q_);
    if (!groups.empty() && std::find(groups[0].begin(), groups[0].end(), at) == groups[0].end())
      add(at, "further-entry", Severity::caution,
          "the entry nearest to the end of the runway cannot be reached; this is another within " +
              std::to_string(std::lround(kFullLength_m)) + " m of the end");
  }

  void unknown_grade() {
    double unknown_m = 0.0, all_m = 0.0;
    for (const Step& s : steps_.steps)
      for (const auto& run : slice(net_, s.arc, 0.0, net_.segment(s.arc).length_m).runs) {
        all_m += run.length_m;
        if (std::isnan(run.grade)) unknown_m += run.length_m;
      }
    if (unknown_m <= 0.5) return;
    std::string text = fmt::format("the grade is unknown on {} of {} m driven", std::lround(unknown_m), std::lround(all_m));
    const bool some = t_.asked->running_set() != aircraft::all_engines(*q_.aircraft);
    if (some)
      text += fmt::format("; verdicts take it as {:.1f} % uphill",
                          100.0 * q_.conditions->unknown_grade_sigmas * terrain::kUnknownGradeSd);
    text += some ? "; give heights (--dem, --survey) or your own judgement (--unknown-grade)"
                 : "; give heights (--dem, --survey)";
    add_for_all("unknown-grade", std::move(text));
  }

  void tight_drawings() {
    for (const Turn& turn : route_.turns) {
      if (!turn.tight_drawing) continue;
      const double degrees = Radians{std::abs(turn.angle_rad)}.in_degrees();
      add_for_all("tight-drawing",
                  "a turn of " + std::to_string(std::lround(degrees)) +
                      " degrees is drawn tighter than the nose wheel steers; it is judged at a radius of " +
                      std::to_string(std::lround(turn.radius_m)) + " m");
      Finding& f = route_.findings.back();
      f.where.lat_deg = turn.at.lat_deg();
      f.where.lon_deg = turn.at.lon_deg();
      f.where.has_position = true;
      if (turn.at_steering_limit)
        f.text += std::string("; at the steering limit it would be: ") + motion::to_string(turn.at_steering_limit->verdict);
    }
  }

  void avoided() {
    double length = 0.0;
    std::optional<ArcId> first;
    for (const ArcId a : way_.arcs) {
      if (!q_.user_avoids[index(a)]) continue;
      length += net_.segment(a).length_m;
      if (!first) first = a;
    }
    if (first)
      add(*first, "avoided-used", Severity::caution,
          "no way avoids all that was asked: " + std::to_string(std::lround(length)) + " m of it are used, from " +
              line_text(net_.segment(*first), net_) + " on");
  }

  void twice() {
    std::set<ArcId> seen;
    for (const ArcId a : way_.arcs)
      if (!seen.insert(a).second) {
        add(a, "arc-twice", Severity::caution,
            "the places between make the route use " + line_text(net_.segment(a), net_) + " twice in the same direction");
        return;
      }
  }

  void turn_rounds() {
    const auto say = [&](ArcId a) {
      add(net_.head(a), "runway-turn-round", Severity::caution,
          "the aircraft turns round on " + line_text(net_.segment(a), net_) +
              "; whether the pavement is wide enough is not known");
    };
    for (const Step& s : steps_.steps)
      if (s.turn_round) say(s.before);
    if (way_.turn_round_at_end) say(way_.arcs.back());
  }

  void over_stands() {
    for (std::size_t i = 1; i < way_.arcs.size(); ++i)
      for (const auto& s : net_.stands)
        if (s.node == node_before(i) && net_.segment(way_.arcs[i]).kind == LineKind::stand_line) {
          add(s.node, "over-stand", Severity::caution, "the route passes over stand " + (s.ref.empty() ? s.id : s.ref));
          break;
        }
  }

  void positions() {
    const auto say = [&](const ResolvedPlace& p) {
      if (p.place.kind == Place::Kind::position && p.off_m > 1.0)
        add(p.node, "position-moved", Severity::note,
            p.place.text + " is taken as the nearest point of the network, " + std::to_string(std::lround(p.off_m)) +
                " m away");
      if (p.hold >= 0 && net_.holding_points[static_cast<std::size_t>(p.hold)].assumed)
        add(p.node, "assumed-hold", Severity::note,
            p.place.text + " is an assumed holding position; the map shows none there");
    };
    say(q_.from);
    for (const auto& v : q_.via) say(v);
    say(q_.to);
  }

  /// Lines shut to this aircraft, wherever they lie: they may be why the route goes round.
  void limits() {
    std::set<std::string> said;
    for (std::uint32_t i = 0; i < net_.segments.size(); ++i) {
      const auto& s = net_.segments[i];
      if (s.closed || (!s.width && !s.wingspan_limit && !s.mass_limit)) continue;
      const ArcId a = network::arc_along(network::SegmentId{i});
      const auto& place = t_.driven->arc_verdict(a);
      if (place.verdict != Verdict::blocked || !place.reasons.has(motion::Reason::closed)) continue;
      if (said.insert(s.source_id).second)
        add(a, "shut-to-aircraft", Severity::note,
            line_text(s, net_) + " is shut to this aircraft: " + limit_text(s, *q_.aircraft));
    }
  }

  void of_the_map() {
    std::set<std::string> used;
    const auto use = [&](ArcId a) {
      used.insert(net_.segment(a).source_id);
      used.insert(net_.node(net_.tail(a)).source_id);
      used.insert(net_.node(net_.head(a)).source_id);
    };
    for (const ArcId a : way_.arcs) use(a);
    for (const ArcId a : way_.beginning.pushed) use(a);
    for (const auto* p : {&q_.from, &q_.to})
      if (p->stand >= 0) used.insert(net_.stands[static_cast<std::size_t>(p->stand)].id);
    used.erase("");
    for (const Finding& f : net_.findings)
      // What became of each NOTAM is told whatever the way: one that was not applied may lie on it.
      if (used.contains(f.where.id) || f.code.starts_with("notam-")) route_.findings.push_back(f);
  }

  const Telling& t_;
  const Question& q_;
  const Network& net_;
  const Way& way_;
  const Steps& steps_;
  Route& route_;
};

}  // namespace

void add_findings(const Telling& t, const Steps& steps, Route& route) { Teller(t, steps, route).tell(); }

}  // namespace solotaxi::routing
