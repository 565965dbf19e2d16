// A matched way in the terms of the answer: stops, choices, warnings.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "routing/assemble.hpp"
#include "routing/assigned_match.hpp"
#include "routing/clearance_tokens.hpp"
#include "routing/spelling.hpp"

namespace solotaxi::routing {
namespace {

/// Where the map has no holding position: so far before a runway's or a taxiway's centreline along the way [m]; assumed
/// (the former as the network's own assumed holding positions, the latter about a taxiway strip's half width).
constexpr double kShortOfRunway_m = 90.0, kShortOfTaxiway_m = 45.0;
/// An intermediate holding position within this of a taxiway is where one holds short of it [m]; assumed.
constexpr double kHoldBefore_m = 150.0;
/// A runway is met at a taxiway that is driven within this of it [m]; assumed: a strip's half width.
constexpr double kAbout_m = 150.0;

std::string runway_name(const Network& net, int runway) {
  return "runway " + net.runways[static_cast<std::size_t>(runway)].name;
}

class WayTeller {
 public:
  explicit WayTeller(const Match& match)
      : m_(match), t_(*match.trial), net_(*t_.q.net), clearance_(*t_.asked.clearance), way_(match.way) {}

  AssignedWay tell() {
    if (clearance_.end.kind == ClearanceEnd::Kind::runway_hold) end_at_hold();
    Way way{way_.beginning, {}, {}, way_.turn_round_at_end};
    for (const FoundArc& a : way_.arcs) way.arcs.push_back(a.arc);
    const Telling telling{&t_.q, &way, &t_.table, &t_.table, false, 0.0};
    steps_ = lay_out(telling);
    out_.arcs = way.arcs;
    out_.pushed = way.beginning.pushed;
    out_.rolled_on = way.beginning.rolled_on;
    out_.turn_round_at_end = way.turn_round_at_end;
    out_.length_m = steps_.length_m;
    out_.from = t_.request.from;
    out_.to = end_;
    out_.direction = t_.q.direction;
    for (const FoundArc& a : way_.arcs) out_.item.push_back(item_of(a));
    Route route;
    add_runway_uses(telling, steps_, route);
    runways(route.runway_uses);
    for (std::size_t b = 0; b < clearance_.bindings.size(); ++b)
      if (clearance_.bindings[b].kind != ClearanceBinding::Kind::cross_runway) stop(b);
    std::stable_sort(out_.stops.begin(), out_.stops.end(),
                     [](const AssignedStop& a, const AssignedStop& b) { return a.at_m < b.at_m; });
    unnamed_pieces();
    end_warnings();
    out_.choices = tell_choices(m_, out_.length_m, net_.head(way_.arcs.back().arc));
    out_.warnings.insert(out_.warnings.end(), clearance_.notes.begin(), clearance_.notes.end());
    return std::move(out_);
  }

 private:
  void warn(std::string text) { out_.warnings.push_back(std::move(text)); }

  [[nodiscard]] std::optional<std::size_t> item_of(const FoundArc& a) const {
    const bool junction = t_.lines.of(network::segment_of(a.arc)).empty() && !t_.q.is_runway(a.arc);
    const bool crossing = t_.q.is_runway(a.arc) && a.line < kRunwayLine;
    if (junction || crossing || a.line < 0 || a.next == 0) return std::nullopt;
    return a.next - 1;
  }

  /// Cuts the way that lines up at its last holding position before the runway.
  void end_at_hold() {
    const int runway = t_.q.to.runway;
    const auto on = nodes_of_runway(net_, runway);
    const auto& arcs = way_.arcs;
    std::size_t i = arcs.size();
    while (i > 0 && on[index(net_.tail(arcs[i - 1].arc))]) --i;
    for (; i-- > 1;) {
      const NodeId node = net_.tail(arcs[i].arc);
      if (on[index(node)]) break;
      const network::HoldingPoint* here = hold_at(node, runway);
      if (!here) continue;
      way_.arcs.resize(i);
      way_.turn_round_at_end = false;
      end_ = parse_place("hold:" + here->ref + "#" + here->id);
      return;
    }
    no_hold_ = true;
  }

  /// The holding position of a runway (-1: of none) at a node, the mapped before the assumed.
  [[nodiscard]] const network::HoldingPoint* hold_at(NodeId node, int runway) const {
    const network::HoldingPoint* found = nullptr;
    for (const auto& h : net_.holding_points)
      if (h.node == node && h.runway == runway && (!found || (found->assumed && !h.assumed))) found = &h;
    return found;
  }

  void runways(const std::vector<RunwayUse>& uses) {
    std::vector<std::vector<const ClearanceBinding*>> cleared(net_.runways.size());  // in the order said
    std::vector<std::size_t> crossed(net_.runways.size(), 0), held(net_.runways.size(), 0);
    for (const ClearanceBinding& b : clearance_.bindings) {
      if (b.kind == ClearanceBinding::Kind::cross_runway)
        cleared[static_cast<std::size_t>(runway_named(net_, b.at.name))].push_back(&b);
      if (b.kind == ClearanceBinding::Kind::hold_short_of_runway)
        ++held[static_cast<std::size_t>(runway_named(net_, b.at.name))];
    }
    bool along = false;
    for (const RunwayUse& use : uses) {
      along = along || use.kind == RunwayUse::Kind::along;
      const auto r = static_cast<std::size_t>(
          std::find_if(net_.runways.begin(), net_.runways.end(), [&](const auto& x) { return x.name == use.runway; }) -
          net_.runways.begin());
      if (use.kind == RunwayUse::Kind::along && !may_go_along(static_cast<int>(r)))
        warn(
            fmt::format("the way leads {:.0f} m along runway {} from {:.0f} m along, and the clearance does not name that "
                        "runway for it: hold short of it, and ask",
                        use.length_m, use.runway, use.at_m));
      if (use.kind == RunwayUse::Kind::line_up && !enters_as_told(static_cast<int>(r)))
        warn(
            fmt::format("the way enters runway {} {:.0f} m along, and the clearance does not say so: hold short of it, and "
                        "ask",
                        use.runway, use.at_m));
      if (use.kind != RunwayUse::Kind::crossing) continue;
      if (r < cleared.size() && crossed[r] < cleared[r].size()) {
        met_where(*cleared[r][crossed[r]++], use.at_m, use.hold);
        continue;
      }
      const bool holds = r < held.size() && held[r] > 0;
      warn(fmt::format("the way crosses runway {} {:.0f} m along, and the clearance does not say to cross it{}", use.runway,
                       use.at_m, holds ? ": hold short of it, and cross when cleared to" : ": hold short of it, and ask"));
    }
    if (clearance_.backtrack && !along) warn("the way needs no backtrack, though the clearance gives one");
  }

  /// The clearance has the runway as a part of the way, or gives a backtrack on it. A backtrack on a runway that is not
  /// named is one on the runway the way ends on or comes from.
  [[nodiscard]] bool may_go_along(int runway) const {
    for (const ClearanceItem& item : clearance_.items)
      if (item.kind == ClearanceItem::Kind::runway && runway_named(net_, item.at.name) == runway) return true;
    if (!clearance_.backtrack) return false;
    if (!clearance_.backtrack_runway.empty()) return runway_named(net_, clearance_.backtrack_runway) == runway;
    if (runway == t_.q.to.runway || runway == t_.q.from.runway) return true;
    return !clearance_.end.runway.empty() && runway_named(net_, clearance_.end.runway) == runway;
  }

  /// The end of the way on a runway is one the clearance names (what is said of it: end_warnings) or lines up on.
  [[nodiscard]] bool enters_as_told(int runway) const {
    using Kind = ClearanceEnd::Kind;
    if (runway != t_.q.to.runway) return false;
    return clearance_.line_up || clearance_.end.kind == Kind::runway || clearance_.end.kind == Kind::runway_hold;
  }

  /// Way back from a chainage: the arc there and the position.
  [[nodiscard]] LatLon position(double at_m) const {
    for (std::size_t k = steps_.steps.size(); k-- > 0;) {
      const auto& step = steps_.steps[k];
      const auto& s = net_.segment(step.arc);
      if (step.from_m > at_m && k > 0) continue;
      const double on = std::clamp(at_m - step.from_m, 0.0, s.length_m);
      return network::position_at(net_, s, network::is_along(step.arc) ? on : s.length_m - on);
    }
    return net_.node(way_.beginning.node).at;
  }

  void stop(std::size_t b) {
    const ClearanceBinding& binding = clearance_.bindings[b];
    const auto bit = static_cast<Mask>(1U << b);
    std::size_t k = 0;
    while (k < way_.arcs.size() && !(t_.rules.reach[index(way_.arcs[k].arc)] & bit)) ++k;
    if (k == way_.arcs.size()) return;  // cut off behind a holding position
    if (!(t_.rules.all & bit) && (k + 1 == way_.arcs.size() || crosses_as_told(binding))) return;  // it is the end itself
    const double meets_m = steps_.steps[k].from_m + net_.segment(way_.arcs[k].arc).length_m;
    AssignedStop stop;
    stop.binding = b;
    stop.at_m = meets_m;
    stop.at = net_.node(net_.head(way_.arcs[k].arc)).at;
    std::string of = binding.at.name;
    if (binding.kind == ClearanceBinding::Kind::hold_short_of_hold) {
      stop.hold = binding.at.name;
      of = "holding point " + of;
    } else {
      const bool of_runway = binding.kind == ClearanceBinding::Kind::hold_short_of_runway;
      const int runway = of_runway ? runway_named(net_, binding.at.name) : -1;
      if (of_runway) of = runway_name(net_, runway);
      place_stop(stop, k, meets_m, runway);
    }
    met_where(binding, stop.at_m, stop.hold);
    stop.text = fmt::format("hold short of {}{}, {:.0f} m along{}", of, stop.hold.empty() ? "" : " at " + stop.hold,
                            stop.at_m, stop.assumed ? " (the map has no holding position there)" : "");
    out_.stops.push_back(std::move(stop));
  }

  /// Warns where a runway is met elsewhere than the clearance says.
  void met_where(const ClearanceBinding& told, double at_m, const std::string& hold) {
    if (!told.by) return;
    const auto& names = told.by->spellings;
    const std::vector<LineId> wanted = t_.lines.find(names);
    if (std::find(names.begin(), names.end(), hold) != names.end()) return;
    for (const auto& step : steps_.steps) {
      const double to_m = step.from_m + net_.segment(step.arc).length_m;
      if (to_m < at_m - kAbout_m || step.from_m > at_m + kAbout_m) continue;
      for (const LineId line : t_.lines.of(network::segment_of(step.arc)))
        if (has(wanted, line)) return;
    }
    warn(fmt::format("\"{}\" is said, and the way meets runway {} elsewhere, {:.0f} m along{}", clearance_.quoted(told.span),
                     told.at.name, at_m, hold.empty() ? "" : " at " + hold));
  }

  /// The clearance also says to cross the runway that it says to hold short of.
  [[nodiscard]] bool crosses_as_told(const ClearanceBinding& held) const {
    return held.kind == ClearanceBinding::Kind::hold_short_of_runway &&
           std::any_of(clearance_.bindings.begin(), clearance_.bindings.end(), [&](const ClearanceBinding& b) {
             return b.kind == ClearanceBinding::Kind::cross_runway &&
                    runway_named(net_, b.at.name) == runway_named(net_, held.at.name);
           });
  }

  /// Sets the stop back from where the way meets the runway or taxiway, to the last holding position before it.
  void place_stop(AssignedStop& stop, std::size_t k, double meets_m, int runway) {
    const auto on = nodes_of_runway(net_, runway);
    for (std::size_t j = k + 1; j-- > 0;) {
      const NodeId node = net_.tail(way_.arcs[j].arc);
      const double at = steps_.steps[j].from_m;
      if (on[index(node)] || (runway < 0 && meets_m - at > kHoldBefore_m)) break;
      const network::HoldingPoint* here = hold_at(node, runway);
      if (!here) continue;
      stop.at_m = at;
      stop.at = net_.node(node).at;
      stop.hold = here->ref;
      stop.assumed = here->assumed;
      return;
    }
    stop.assumed = true;
    stop.at_m = std::max(steps_.steps.front().from_m, meets_m - (runway >= 0 ? kShortOfRunway_m : kShortOfTaxiway_m));
    stop.at = position(stop.at_m);
  }

  /// Tells stretches of the way between its ends that the clearance has no words for.
  void unnamed_pieces() {
    Stretch unnamed{kJunctionPieces_m, "over taxiways without a name, which the clearance cannot tell"};
    Stretch stands{0.0, "over stand lines, for there is no other way under the clearance"};
    for (std::size_t k = 0; k < way_.arcs.size(); ++k) {
      const FoundArc& a = way_.arcs[k];
      const auto& s = net_.segment(a.arc);
      const double from = steps_.steps[k].from_m;
      tell(unnamed, s.kind == LineKind::taxiway && t_.lines.of(network::segment_of(a.arc)).empty(), from, s.length_m);
      tell(stands, s.kind == LineKind::stand_line && a.line >= 0, from, s.length_m);
    }
    tell(unnamed, false, 0.0, 0.0);
    tell(stands, false, 0.0, 0.0);
  }

  struct Stretch {
    double told_over_m;
    const char* text;
    double from_m = 0.0, length_m = 0.0;
  };
  void tell(Stretch& stretch, bool goes_on, double from_m, double length_m) {
    if (!goes_on) {
      if (stretch.length_m > stretch.told_over_m)
        warn(fmt::format("{:.0f} m from {:.0f} m along lead {}", stretch.length_m, stretch.from_m, stretch.text));
      stretch.length_m = 0.0;
      return;
    }
    if (stretch.length_m == 0.0) stretch.from_m = from_m;
    stretch.length_m += length_m;
  }

  void end_warnings() {
    using Kind = ClearanceEnd::Kind;
    const ClearanceEnd& end = clearance_.end;
    if (end.kind == Kind::hold) {
      const auto& hold = net_.holding_points[static_cast<std::size_t>(t_.q.to.hold)];
      const int runway = end.runway.empty() ? -1 : runway_named(net_, end.runway);
      if (runway >= 0 && hold.runway != runway)
        warn(fmt::format("holding point {} is before {} in the map, not before runway {}", end.at.name,
                         hold.runway < 0 ? std::string("no runway") : runway_name(net_, hold.runway), end.runway));
      else if (runway >= 0)
        length_left(hold, net_.runways[static_cast<std::size_t>(runway)]);
      named_by_end_only(end.at.name);
    }
    if (no_hold_)
      warn("no holding position lies before runway " + end.runway + " on the way; it is shown up to line-up: hold short");
    if (end.kind == Kind::runway && !clearance_.line_up)
      warn("entering runway " + end.runway + " needs a clearance of its own; without one hold short of it");
    if (!m_.short_entry) return;
    const auto& runway = net_.runways[static_cast<std::size_t>(t_.q.to.runway)];
    const double behind = from_end_m(runway, runway.entries[*t_.q.to.entry], t_.q.to.end);
    warn(fmt::format("runway {} is entered {:.0f} m from where take-off at full length begins; {:.0f} m are left",
                     runway.designators[static_cast<std::size_t>(t_.q.to.end)], behind, runway.length_m - behind));
  }

  /// Warns where take-off from behind a holding point leaves much of the runway unused.
  void length_left(const network::HoldingPoint& hold, const network::Runway& runway) {
    if (runway.entries.empty()) return;
    const LocalXY at = net_.node(hold.node).xy;
    const auto apart = [&](const network::RunwayEntry& e) { return distance_m(net_.node(e.node).xy, at); };
    const auto entry = std::min_element(runway.entries.begin(), runway.entries.end(),
                                        [&](const auto& a, const auto& b) { return apart(a) < apart(b); });
    const std::string& end = clearance_.end.runway;
    const double behind = from_end_m(runway, *entry, end == runway.designators[0] ? 0 : 1);
    if (behind <= kFullLength_m) return;
    warn(fmt::format("holding point {} is {:.0f} m from where take-off at full length on runway {} begins; {:.0f} m are left",
                     clearance_.end.at.name, behind, end, runway.length_m - behind));
  }

  /// The last stretch along a taxiway that only the holding point names.
  void named_by_end_only(const std::string& hold) {
    double along_m = 0.0;
    std::string name;
    for (const FoundArc& a : way_.arcs) {
      const auto& own = t_.lines.of(network::segment_of(a.arc));
      if (a.line != kEndLine || own.empty()) continue;
      along_m += net_.segment(a.arc).length_m;
      name = t_.lines.name(own.front());
    }
    if (name.empty() || reading_of(name) == reading_of(hold)) return;
    warn(fmt::format("the last {:.0f} m to holding point {} are along {}, which the clearance does not name", along_m, hold,
                     name));
  }

  const Match& m_;
  const Trial& t_;
  const Network& net_;
  const Clearance& clearance_;
  FoundWay way_;
  Place end_ = t_.request.to;
  bool no_hold_ = false;
  Steps steps_;
  AssignedWay out_;
};

}  // namespace

AssignedWay tell_way(const Match& match) { return WayTeller(match).tell(); }

Clearance edited_clearance(const Match& match) {
  const Clearance& asked = *match.trial->asked.clearance;
  Clearance out = asked;
  out.items.clear();
  const auto keep = [&](std::size_t i) { out.items.push_back(asked.items[i]); };
  for (const FoundArc& a : match.way.arcs) {
    if (a.turn > 0) keep(a.turn - 1);
    if (a.begins) keep(a.next - 1);
    if (!a.put_in) continue;
    const std::string& name = match.trial->lines.name(a.line);
    out.items.push_back({ClearanceItem::Kind::taxiway, {name, {name}}, Side::left, {}});
  }
  out.bindings.clear();
  for (std::size_t b = 0; b < asked.bindings.size(); ++b)
    if ((match.way.mask | ~match.trial->rules.all) & (1U << b)) out.bindings.push_back(asked.bindings[b]);
  if (match.way.mask & kBacktrackAny) {
    out.backtrack = true;
    out.backtrack_runway.clear();
  }
  return out;
}

}  // namespace solotaxi::routing
