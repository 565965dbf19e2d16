// The route as a briefing: what was asked, the totals, the way step by step, where the engines do not suffice, runways,
// what the map left open, and the cautions.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "common.hpp"
#include "measures.hpp"
#include "sections.hpp"
#include "text_layout.hpp"

namespace solotaxi::report {
namespace {

using motion::PlaceVerdict;
using motion::Verdict;
using routing::Leg;
using routing::Route;
using routing::RunwayUse;
using routing::Turn;

std::string joined(const std::vector<std::string>& words, const char* between = ", ") {
  return fmt::format("{}", fmt::join(words, between));
}

std::string because(motion::Reasons reasons) {
  const std::vector<std::string> list = motion::words(reasons);
  return list.empty() ? "" : " (" + joined(list) + ")";
}

std::string margin_words(double margin) {
  return std::isfinite(margin) ? "thrust margin " + with_unit(margin * 100.0, 0, "%") : "no thrust needed";
}

std::string with_name(const std::string& words, const std::string& name) {
  return name.empty() ? words : words + " " + name;
}

bool every_engine(const Route& route) { return route.engines == "all"; }

std::string suffice(const std::string& engines) {
  return engines == "all" || engines == "left" || engines == "right" || engines.find(',') == std::string::npos ? "suffices"
                                                                                                               : "suffice";
}

class Briefing {
 public:
  Briefing(Page& page, const Route& route, const RouteContext& context, Units units)
      : page_(page), route_(route), context_(context), in_(units) {}

  void all() {
    add_title(page_, "TAXI ROUTE", route_, context_);
    page_.item("Asked for",
               fmt::format("{}, least {}", direction_words(route_.direction), routing::to_string(route_.objective)));
    add_aircraft(page_, context_, in_);
    page_.item("Engines", engines_words(route_.engines) +
                              (route_.every_engine_needed ? " asked for, every engine needed (see ENGINES)" : ""));
    add_conditions(page_, context_);
    totals();
    way({});
    engines();
    runways();
    add_findings(page_, route_findings(route_, context_), in_);
    add_cautions(page_, context_);
  }

  /// Further events come behind the route's own of the same place.
  void way(const std::multimap<double, WayEvent>& more) {
    page_.heading("THE WAY");
    struct Event {
      std::string text, mark;
    };
    std::multimap<double, Event> events;
    const auto add = [&](double at_m, std::string text, const char* mark) {
      events.emplace(at_m, Event{std::move(text), mark});
    };
    std::set<std::pair<double, std::string>> holds;
    for (const RunwayUse& use : route_.runway_uses) {
      if (!std::isnan(use.hold_at_m) && use.kind != RunwayUse::Kind::exit &&
          holds.emplace(use.hold_at_m, use.runway).second)
        add(use.hold_at_m,
            fmt::format("{}, hold short of {}{}", with_name("holding position", use.hold), with_name("runway", use.runway),
                        use.hold_assumed ? " (not in the map, place assumed)" : ""),
            "hold");
      add(use.at_m, use_words(use), routing::to_string(use.kind));
    }
    for (const Turn& turn : route_.turns) add(turn.at_m, turn_words(turn), turn_mark(turn));
    for (const auto& [at_m, event] : more) add(at_m, event.text, event.mark);
    auto next = events.begin();
    const auto tell_until = [&](double end_m) {
      for (; next != events.end() && next->first <= end_m; ++next)
        page_.place("      ", fmt::format("at {}: {}", in_.length(next->first), next->second.text), next->first,
                    next->second.mark);
    };
    int step = 0;
    for (const Leg& leg : route_.legs) {
      tell_until(leg.from_m - 1e-6);
      page_.place(fmt::format("  {:>2}  ", ++step), leg_words(leg), leg.from_m,
                  leg.push_back ? "push-back" : motion::to_string(leg.place.verdict));
      tell_until(leg.from_m + leg.length_m - 1e-6);
    }
    tell_until(HUGE_VAL);
    page_.place("      ", fmt::format("at {}: {}, the end of the way", in_.length(route_.length_m), route_.to),
                route_.length_m, "end");
  }

  static const char* turn_mark(const Turn& turn) {
    if (turn.place.verdict > Verdict::standing) return motion::to_string(turn.place.verdict);
    return !turn.toward_running ? "turn" : *turn.toward_running ? "toward" : "away";
  }

  std::string leg_words(const Leg& leg) const {
    if (leg.push_back)
      return fmt::format("Push back {} along the {}.", in_.length(leg.length_m),
                         leg.kind == network::LineKind::connector ? "connector (not drawn in the map)" : "stand line");
    std::string text = fmt::format("{}: {}, {}, {}", way_title(leg.kind, leg.name), in_.length(leg.length_m),
                                   duration(leg.time_s), in_.fuel(leg.fuel_kg));
    if (std::isnan(leg.grade_mean))
      text += ", grade not known";
    else
      text +=
          fmt::format(", mean {}, greatest {}", grade_words(leg.grade_mean), grade_words(leg.grade_max, leg.grade_max_sd));
    text += ".";
    switch (leg.place.verdict) {
      case Verdict::standing:
        break;
      case Verdict::rolling:
        text += fmt::format(" Keep rolling, no start from rest here{}; {}.", because(leg.place.reasons),
                            margin_words(leg.place.margin));
        break;
      case Verdict::carried:
        text += fmt::format(" Carried over by speed alone{}.", because(leg.place.reasons));
        break;
      case Verdict::all:
        text += fmt::format(" NEEDS EVERY ENGINE{}.", because(leg.place.reasons));
        break;
      case Verdict::blocked:
        text += fmt::format(" CANNOT BE TAXIED{}.", because(leg.place.reasons));
        break;
    }
    return text;
  }

  std::string turn_words(const Turn& turn) const {
    std::string text =
        fmt::format("{} {} {}°", turn.turn_round ? "turn round" : "turn", turn.angle_rad < 0 ? "left" : "right",
                    number(std::abs(turn.angle_rad) * 180.0 / std::numbers::pi, 0));
    text += fmt::format(" on a radius of {}", in_.length(turn.radius_m));
    if (turn.assumed) text += " (assumed)";
    if (turn.tight_drawing) text += " (drawn tighter than the steering limit)";
    if (turn.toward_running) {
      text += *turn.toward_running ? ", toward the running engine" : ", away from the running engine";
      if (std::isfinite(turn.thrust_factor)) text += fmt::format(", {} × thrust", number(turn.thrust_factor, 2));
    }
    if (turn.place.verdict == Verdict::rolling) text += "; do not stop in it";
    if (turn.place.verdict == Verdict::all) text += "; NEEDS EVERY ENGINE" + because(turn.place.reasons);
    if (turn.place.verdict == Verdict::blocked) text += "; CANNOT BE TAXIED" + because(turn.place.reasons);
    if (turn.at_steering_limit && turn.at_steering_limit->verdict > turn.place.verdict)
      text += fmt::format("; at the steering limit it would be: {}", verdict_words(turn.at_steering_limit->verdict));
    return text;
  }

  std::string hold_words(const RunwayUse& use) const {
    if (std::isnan(use.hold_at_m)) return "no holding position is known";
    return fmt::format("{} at {}{}", with_name("holding position", use.hold), in_.length(use.hold_at_m),
                       use.hold_assumed ? " (not in the map, place assumed)" : "");
  }

  std::string use_words(const RunwayUse& use) const {
    const std::string runway = with_name("runway", use.runway);
    switch (use.kind) {
      case RunwayUse::Kind::crossing:
        return "CROSS " + runway;
      case RunwayUse::Kind::line_up:
        return fmt::format("enter {} to line up", runway);
      case RunwayUse::Kind::exit:
        return "leave " + runway;
      case RunwayUse::Kind::along:
        return fmt::format("TAXI ALONG {} for {}", runway, in_.length(use.length_m));
    }
    return runway;
  }

  void runways() {
    page_.heading("RUNWAYS");
    if (route_.runway_uses.empty()) page_.line("  ", "No runway is crossed or used.");
    for (const RunwayUse& use : route_.runway_uses)
      page_.line("  - ", fmt::format("at {}: {}{}", in_.length(use.at_m), use_words(use),
                                     use.kind == RunwayUse::Kind::exit ? "" : "; " + hold_words(use)));
  }

 private:
  void totals() {
    page_.heading("TOTALS");
    page_.item("Length", in_.length(route_.length_m));
    double pushed = 0.0, steepest = 0.0;
    std::string steepest_on;
    bool unknown = false;
    for (const Leg& leg : route_.legs) {
      if (leg.push_back)
        pushed += leg.length_m;
      else if (std::isnan(leg.grade_max))
        unknown = true;
      else if (leg.grade_max > steepest)
        steepest = leg.grade_max, steepest_on = way_title(leg.kind, leg.name);
    }
    const double driven_s = route_.time_s - route_.push_back_s - route_.standing_s;
    page_.item("Time",
               duration(route_.time_s) +
                   (driven_s > 0 ? ", mean speed on the move " + in_.speed((route_.length_m - pushed) / driven_s) : ""));
    page_.item("Fuel", fmt::format("{}, CO2 {}", in_.fuel(route_.fuel_kg), in_.fuel(route_.fuel_kg * kCo2PerFuel)));
    if (route_.push_back_s > 0)
      page_.item("Push back", fmt::format("{}, {}, {} (counted in)", in_.length(pushed), duration(route_.push_back_s),
                                          in_.fuel(route_.push_back_fuel_kg)));
    if (route_.standing_s > 0) page_.item("Stops", duration(route_.standing_s) + " (counted in)");
    page_.item("Steepest", (steepest > 0 ? fmt::format("{} on {}", grade_words(steepest), steepest_on)
                            : unknown    ? "not known"
                                         : "nowhere uphill") +
                               (steepest > 0 && unknown ? "; in parts not known" : ""));
    if (!every_engine(route_) && !route_.every_engine_needed && std::isfinite(route_.probability))
      page_.item("Chance", fmt::format("{} that {} {} at every place", with_unit(route_.probability * 100.0, 0, "%"),
                                       engines_words(route_.engines), suffice(route_.engines)));
  }

  void engines() {
    if (every_engine(route_)) {
      const bool blocked = tell_short_places(Verdict::blocked, "ENGINES");
      if (!blocked) {
        page_.heading("ENGINES");
        page_.line("  ", "Every engine runs over the whole way.");
      }
      return;
    }
    const std::string set = engines_words(route_.engines);
    if (route_.every_engine_needed) {
      page_.heading("ENGINES");
      page_.line("  ",
                 fmt::format("There is no way {}that {} {} for{}. This is the way with every engine running, and its time "
                             "and fuel are for every engine.",
                             route_.set_along_m > 0.0 ? "off the runways " : "", set, suffice(route_.engines),
                             route_.set_along_m > 0.0
                                 ? fmt::format(", only one with {} along a runway", in_.length(route_.set_along_m))
                                 : ""));
    }
    if (tell_short_places(Verdict::all, route_.every_engine_needed ? "" : "ENGINES")) return;
    if (!route_.every_engine_needed) page_.heading("ENGINES");
    double rolling_m = 0.0;
    for (const Leg& leg : route_.legs)
      if (!leg.push_back && leg.place.verdict == Verdict::rolling) rolling_m += leg.length_m;
    std::string text = set;
    text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
    text += " " + suffice(route_.engines) + " over the whole way.";
    if (rolling_m > 0)
      text += fmt::format(" Legs of {} in all hold places that can be kept rolling only: do not stop there.",
                          in_.length(rolling_m));
    page_.line("  ", text);
  }

  /// Lists every leg and turn of at least that verdict; false where there is none.
  bool tell_short_places(Verdict least, const std::string& heading) {
    std::multimap<double, std::string> places;
    for (const Leg& leg : route_.legs)
      if (!leg.push_back && leg.place.verdict >= least)
        places.emplace(leg.from_m, fmt::format("{} ({}) {}", way_title(leg.kind, leg.name), in_.length(leg.length_m),
                                               short_words(leg.place)));
    for (const Turn& turn : route_.turns)
      if (turn.place.verdict >= least)
        places.emplace(turn.at_m, fmt::format("{} turn of {}° {}", turn.angle_rad < 0 ? "left" : "right",
                                              number(std::abs(turn.angle_rad) * 180.0 / std::numbers::pi, 0),
                                              short_words(turn.place)));
    if (places.empty()) return false;
    if (!heading.empty()) page_.heading(heading);
    page_.line("  ", "These parts are not for " + engines_words(route_.engines) + ":");
    for (const auto& [at_m, text] : places) page_.line("    - ", fmt::format("at {}: {}", in_.length(at_m), text));
    return true;
  }

  /// The margin is told only where it is what falls short; with a slippery surface or no grip it may be ample.
  [[nodiscard]] std::string short_words(const PlaceVerdict& place) const {
    const double asked = context_.conditions == nullptr ? 0.0 : context_.conditions->thrust_margin;
    std::string margin;
    if (place.margin < 0)
      margin = ", " + margin_words(place.margin);
    else if (place.margin < asked)
      margin = ", thrust margin under the " + with_unit(asked * 100.0, 0, "%") + " asked for";
    return verdict_words(place.verdict) + because(place.reasons) + margin;
  }

  Page& page_;
  const Route& route_;
  const RouteContext& context_;
  Measures in_;
};

}  // namespace

Page route_briefing(const routing::Route& route, const RouteContext& context, Units units) {
  Page page;
  Briefing(page, route, context, units).all();
  return page;
}

std::string route_text(const routing::Route& route, const RouteContext& context, Units units) {
  return route_briefing(route, context, units).text();
}

void add_way(Page& page, const routing::Route& route, const RouteContext& context, Units units,
             const std::multimap<double, WayEvent>& events) {
  Briefing(page, route, context, units).way(events);
}

void add_runways(Page& page, const routing::Route& route, const RouteContext& context, Units units) {
  Briefing(page, route, context, units).runways();
}

}  // namespace solotaxi::report
