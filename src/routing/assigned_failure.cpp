// Why a clearance cannot be followed, and which nearly the same one can.
#include <fmt/format.h>

#include <algorithm>

#include "routing/assemble.hpp"
#include "routing/assigned_match.hpp"
#include "routing/spelling.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::routing {
namespace {

std::string words_of(const ClearanceItem& item) {
  switch (item.kind) {
    case ClearanceItem::Kind::taxiway:
      return item.at.name;
    case ClearanceItem::Kind::runway:
      return "runway " + item.at.name;
    case ClearanceItem::Kind::turn:
      return "a turn to the " + std::string(to_string(item.side)) + " at " + item.at.name;
  }
  return "";
}

std::string words_of(const Place& place) {
  switch (place.kind) {
    case Place::Kind::stand:
      return "stand " + (place.name.empty() ? place.id : place.name);
    case Place::Kind::runway:
      return "runway " + place.name;
    case Place::Kind::hold:
      return "holding point " + (place.name.empty() ? place.id : place.name);
    default:
      return place.text;
  }
}

class Explainer {
 public:
  Explainer(const MatchCase& asked, const Furthest& furthest) : asked_(asked), f_(furthest), c_(*asked.clearance) {}

  CannotFollow tell() {
    out_.meets = f_.meets;
    what_fails();
    if (!closed_as_asked() && !closed_in_map()) static_cast<void>(blocked());
    nearest();
    return std::move(out_);
  }

 private:
  [[nodiscard]] std::string before(std::size_t item) const {
    return item == 0 ? words_of(asked_.request.from) : words_of(c_.items[item - 1]);
  }

  void what_fails() {
    const auto& search = f_.search;
    if (search.goal_without_bindings) {
      for (std::size_t b = 0; b < c_.bindings.size(); ++b) {
        if (search.most & (1U << b)) continue;
        out_.binding = b;
        out_.quoted = c_.quoted(c_.bindings[b].span);
        const bool runway = c_.bindings[b].kind == ClearanceBinding::Kind::cross_runway ||
                            c_.bindings[b].kind == ClearanceBinding::Kind::hold_short_of_runway;
        out_.reason = fmt::format("the way does not come by {}{}", runway ? "runway " : "", c_.bindings[b].at.name);
        out_.meets.clear();
        return;
      }
    }
    if (search.items < c_.items.size() && !f_.needs_backtrack) {
      const std::size_t i = search.items;
      out_.item = i;
      out_.quoted = c_.quoted(c_.items[i].span);
      const std::string name = words_of(c_.items[i]);
      if (c_.items[i].kind == ClearanceItem::Kind::turn)
        out_.reason = fmt::format("there is no turn to the {} at {} from {}", to_string(c_.items[i].side),
                                  c_.items[i].at.name, before(i));
      else if (i == 0 && asked_.request.direction == Direction::arrival)
        out_.reason = fmt::format("{} is not left onto {} at least {:.0f} m past the threshold", before(i), name,
                                  asked_.request.landing_roll_m);
      else if (i == 0 && f_.touches)
        out_.reason = fmt::format("{} cannot be driven from {}", name, before(i));
      else if (f_.touches)
        out_.reason =
            fmt::format("{} and {} meet, but not where, or not in the direction, the way comes along", before(i), name);
      else
        out_.reason = fmt::format("{} does not meet {}", before(i), name);
      return;
    }
    const std::string end = words_of(asked_.ends.front().to);
    out_.quoted = c_.end.kind == ClearanceEnd::Kind::none ? "" : c_.quoted(c_.end.span);
    if (f_.needs_backtrack) {
      out_.reason = fmt::format("the full length of runway {} needs a backtrack, and none is given", c_.end.runway);
      out_.hint = "put in \"backtrack\", or name an intersection";
      out_.meets.clear();
    } else {
      out_.reason = fmt::format("{} does not lead to {}", before(c_.items.size()), end);
    }
  }

  [[nodiscard]] std::optional<Match> with(const MatchCase& other) const { return routing::match(other).match; }

  /// The item, if any, that an arc of a way belongs to.
  void blame(const FoundArc& arc) {
    if (arc.next == 0 || arc.line < 0) return;
    out_.item = arc.next - 1;
    out_.binding.reset();
    out_.quoted = c_.quoted(c_.items[arc.next - 1].span);
  }

  bool closed_as_asked() {
    if (asked_.request.close.empty()) return false;
    MatchCase open = asked_;
    open.request.close.clear();
    const auto found = with(open);
    if (!found) return false;
    std::vector<std::string> names;
    bool blamed = false;
    for (const FoundArc& a : found->way.arcs)
      for (const std::string& name : asked_.request.close) {
        const auto arcs = arcs_named(*asked_.net, name);
        if (std::find(arcs.begin(), arcs.end(), a.arc) == arcs.end()) continue;
        if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
        if (!blamed) blame(a);
        blamed = true;
      }
    if (names.empty()) return false;
    out_.reason = listed(names) + (names.size() > 1 ? " are closed, as asked" : " is closed, as asked");
    out_.hint = "another clearance, or open it";
    return true;
  }

  bool closed_in_map() {
    const auto shut = [](const auto& x) { return x.closed; };
    const bool any = std::any_of(asked_.net->segments.begin(), asked_.net->segments.end(), shut) ||
                     std::any_of(asked_.net->runways.begin(), asked_.net->runways.end(), shut);
    if (!any) return false;
    Network opened = *asked_.net;
    for (auto& s : opened.segments) s.closed = false;
    for (auto& r : opened.runways) r.closed = false;
    MatchCase open = asked_;
    open.net = &opened;
    const auto found = with(open);
    if (!found) return false;
    std::vector<std::string> names;
    bool blamed = false;
    for (const FoundArc& a : found->way.arcs) {
      const auto& s = asked_.net->segment(a.arc);
      if (!s.closed && (s.runway < 0 || !asked_.net->runways[static_cast<std::size_t>(s.runway)].closed)) continue;
      const std::string text = line_text(s, *asked_.net) + (s.name.empty() ? "" : " (" + s.source_id + ")");
      if (std::find(names.begin(), names.end(), text) == names.end()) names.push_back(text);
      if (!blamed) blame(a);
      blamed = true;
    }
    if (names.empty()) return false;
    out_.reason = listed(names) + (names.size() > 1 ? " are closed in the map" : " is closed in the map");
    out_.hint = "check the map, and ask for another way";
    return true;
  }

  /// Places of the way that the aircraft does not fit, or that no set of engines can drive.
  bool blocked() {
    MatchCase open = asked_;
    open.any_place = true;
    const auto found = with(open);
    if (!found) return false;
    const Network& net = *asked_.net;
    const auto& arcs = found->way.arcs;
    const CostTable& table = found->trial->table;
    for (std::size_t k = 0; k < arcs.size(); ++k) {
      const auto& s = net.segment(arcs[k].arc);
      const std::string limit = limit_text(s, *asked_.aircraft);
      if (!limit.empty()) {
        blame(arcs[k]);
        out_.reason = line_text(s, net) + " does not let this aircraft in: " + limit;
        out_.hint = "another clearance, or another aircraft";
        return true;
      }
      const auto m = k > 0 ? movement_index(net, arcs[k - 1].arc, arcs[k].arc) : std::nullopt;
      const bool turn = m && !net.movements[*m].turn_round && table.movement(*m).place.verdict == Verdict::blocked;
      if (!turn && table.arc_verdict(arcs[k].arc).verdict != Verdict::blocked) continue;
      blame(arcs[k]);
      out_.reason = turn ? "the turn onto " + line_text(s, net) + " cannot be driven even on every engine"
                         : line_text(s, net) + " has a place that cannot be driven even on every engine";
      out_.hint = "a turn tighter than the nose wheel steers, or a slope beyond the thrust limit";
      return true;
    }
    return false;
  }

  void nearest() {
    const auto edited = match_edited(asked_);
    if (!edited) {
      if (out_.hint.empty())
        out_.hint = "no other words help: as things are no way leads there; a route question tells why";
      return;
    }
    const std::string text = to_text(edited_clearance(*edited));
    try {
      const Clearance again = read_clearance(text, make_vocabulary(*asked_.net));
      MatchCase tried = asked_;
      tried.clearance = &again;
      if (routing::match(tried).match) out_.nearest = text;
    } catch (const Error&) {
      // A name of this field that cannot be said: there are no words to offer.
    }
  }

  const MatchCase& asked_;
  const Furthest& f_;
  const Clearance& c_;
  CannotFollow out_;
};

}  // namespace

CannotFollow tell_failure(const MatchCase& asked, const Furthest& furthest) { return Explainer(asked, furthest).tell(); }

}  // namespace solotaxi::routing
