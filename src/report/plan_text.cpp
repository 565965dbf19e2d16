// The plan as a briefing: what is advised and what it saves, engines by phase, what a queue changes, what speaks against
// one engine, the way, what it all hangs on, other ways, and what is to be asked first.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "common.hpp"
#include "plan_words.hpp"
#include "sections.hpp"
#include "solotaxi/units/quantity.hpp"

namespace solotaxi::report {
namespace {

using planning::DrivenPlan;
using planning::EnginePoint;
using planning::Plan;

/// A number with as few decimals as tell it to a thousandth, at most four.
std::string plain_number(double value) {
  int decimals = 0;
  for (double scale = 1.0; decimals < 4 && std::abs(std::round(value * scale) / scale - value) > 1e-3 * std::abs(value);
       scale *= 10.0)
    ++decimals;
  return number(value, decimals);
}

std::string minutes(double seconds) {
  const double min = seconds / 60.0;
  return with_unit(min, std::abs(min - std::round(min)) < 0.05 ? 0 : 1, "min");
}

/// " and takes 25 s longer".
std::string longer(double extra_s) {
  if (std::abs(extra_s) < 0.5) return "as long";
  return duration(std::abs(extra_s)) + (extra_s > 0 ? " longer" : " shorter");
}

std::string without_end(std::string text) {
  while (text.ends_with('.') || text.ends_with(' ')) text.pop_back();
  return text;
}

class PlanBriefing {
 public:
  PlanBriefing(const Plan& plan, const PlanContext& context, Units units)
      : plan_(plan), context_(context), units_(units), in_(units), advised_(advised_plan(plan)) {}

  Page page() {
    add_title(page_, "TAXI PLAN", advised_.route, context_.route);
    advice();
    page_.blank();
    question();
    engines();
    saving();
    against();
    add_way(page_, advised_.route, context_.route, units_, events());
    add_runways(page_, advised_.route, context_.route, units_);
    hangs_on();
    other_ways();
    page_.heading("TO BE ASKED FIRST");
    for (const std::string& question : crew_questions(plan_, context_)) page_.line("  - ", question);
    add_findings(page_, plan_findings(plan_, advised_.route, context_), in_);
    add_cautions(page_, context_.route);
    return std::move(page_);
  }

 private:
  [[nodiscard]] bool departure() const { return plan_.direction == routing::Direction::departure; }
  [[nodiscard]] std::string others(const std::string& running_set) const {
    const aircraft::Aircraft* aircraft = context_.route.aircraft;
    return other_engines(running_set, aircraft == nullptr ? 2 : aircraft->engines());
  }

  void advice() {
    const bool one = one_engine_advised(plan_);
    const double reference_kg = plan_.reference.route.fuel_kg;
    if (one) {
      page_.item("Advised",
                 fmt::format("{}: taxi on {}",
                             advised_.running_set.find(',') == std::string::npos ? "ONE ENGINE" : "FEWER ENGINES",
                             named_engines(advised_.running_set)));
      page_.item("Saves", fmt::format("{} of {} ({}), CO2 {}; takes {}", in_.fuel(plan_.saving_kg), in_.fuel(reference_kg),
                                      with_unit(plan_.saving_kg / reference_kg * 100.0, 0, "%"),
                                      in_.fuel(plan_.saving_kg * kCo2PerFuel), longer(plan_.extra_s)));
    } else {
      page_.item("Advised", "EVERY ENGINE");
      page_.item("One engine",
                 !plan_.shown.one
                     ? "no plan is left (see AGAINST ONE ENGINE)"
                     : fmt::format("on {} {} {} of {}, and takes {}", named_engines(plan_.shown.running_set),
                                   plan_.saving_kg < 0 ? "burns more by" : "saves", in_.fuel(std::abs(plan_.saving_kg)),
                                   in_.fuel(reference_kg), longer(plan_.extra_s)));
    }
    if (advised_.second_engine) page_.item("Start", start_words(*advised_.second_engine));
    if (advised_.shutdown) page_.item("Shut down", shutdown_words(*advised_.shutdown));
    if (one) chance();
    page_.item("In all", fmt::format("{}, {}, {}", in_.length(advised_.route.length_m), duration(advised_.route.time_s),
                                     in_.fuel(advised_.route.fuel_kg)));
  }

  void chance() {
    const std::string& set = plan_.shown.running_set;
    page_.item("Chance", fmt::format("{} that thrust suffices wherever {} drive{} alone",
                                     with_unit(plan_.shown.probability * 100.0, 0, "%"), named_engines(set),
                                     set.find(',') == std::string::npos ? "s" : ""));
  }

  std::string start_words(const EnginePoint& start) const {
    std::string text = fmt::format("{} at {}, {}, {} before line-up", named_engines(others(advised_.running_set)),
                                   in_.length(start.at_m), start.place, duration(start.before_line_up_s));
    double start_s = 0.0;
    for (const planning::PlanPhase& phase : advised_.phases)
      if (phase.phase == planning::Phase::start) start_s += phase.time_s;
    return text + (start.to_m - start.at_m >= 0.5
                       ? fmt::format("; the start takes the way to {} ({})", in_.length(start.to_m), duration(start_s))
                       : fmt::format("; the start takes {}", duration(start_s)));
  }

  std::string shutdown_words(const EnginePoint& stop) const {
    return fmt::format("{} at {}, {}, {} after landing", named_engines(others(advised_.running_set)), in_.length(stop.at_m),
                       stop.place, duration(stop.after_landing_s));
  }

  void question() {
    const planning::PlanRequest& request = *context_.request;
    std::string asked = direction_words(plan_.direction) + ", least fuel";
    if (departure())
      asked += request.queue_s > 0 ? ", queue of " + duration(request.queue_s) + " before line-up" : ", no queue";
    if (request.queue_moves_per_min > 0)
      asked += fmt::format(", {} move{} a minute", plain_number(request.queue_moves_per_min),
                           request.queue_moves_per_min == 1.0 ? "" : "s");
    if (!departure()) asked += fmt::format(", {} since the landing roll", duration(request.since_landing_s));
    page_.item("Asked for", asked);
    add_aircraft(page_, context_.route, in_);
    add_conditions(page_, context_.route);
    if (context_.route.aircraft != nullptr && context_.route.conditions != nullptr) {
      const aircraft::Aircraft& aircraft = *context_.route.aircraft;
      const motion::Conditions& c = *context_.route.conditions;
      page_.item("Times", departure() ? fmt::format("push back {}, start {}, warm-up {}", duration(c.push_back_s),
                                                    duration(aircraft.start_s), duration(aircraft.warm_up_s))
                                      : fmt::format("cool-down {}", duration(aircraft.cool_down_s)));
      page_.item("APU", c.apu_on ? "runs while an engine is off" : departure() ? "off: cross-bleed start" : "off");
    }
    std::string rules;
    for (const planning::Rule& rule : request.rules) rules += (rules.empty() ? "" : ", ") + rule.text;
    if (!rules.empty()) page_.item("Rules", rules);
  }

  void row(const std::string& what, const std::string& from, const std::string& to, const std::string& time,
           const std::string& fuel) {
    page_.row({{what, 34}, {from, -10}, {to, -10}, {time, -12}, {fuel, -12}});
  }

  void engines() {
    page_.heading("ENGINES");
    row("", "from", "to", "time", "fuel");
    for (const planning::PlanPhase& phase : advised_.phases)
      row(phase_engines(phase, context_), in_.length(phase.from_m), in_.length(phase.to_m), duration(phase.time_s),
          in_.fuel(phase.fuel_kg));
    const double from_m = advised_.driven_from_m;
    if (advised_.sim.stalled)
      page_.line("  ", fmt::format("SERIOUS: at {} this plan cannot go on without every engine; its figures end there.",
                                   in_.length(from_m + advised_.sim.stalled->at_m)));
    for (const motion::Carried& c : advised_.sim.carried)
      page_.line("  ", fmt::format("From {} to {} thrust falls short and the speed brought carries over: do not slow down.",
                                   in_.length(from_m + c.from_m), in_.length(from_m + c.to_m)));
    const double caution_c = motion::Drive{}.brake_caution_c;
    const std::string most = with_unit(advised_.sim.brake_most_c, 0, "°C");
    page_.item(
        "Brakes",
        fmt::format("at most {}{}; caution from {}{}", most,
                    one_engine_advised(plan_) ? ", on every engine " + with_unit(advised_.brake_all_c, 0, "°C") : "",
                    with_unit(caution_c, 0, "°C"), advised_.sim.brake_most_c >= caution_c ? ": CAUTION, TOO HOT" : ""));
  }

  std::string saving_words(double kg) const { return (kg < 0 ? "burns more by " : "saves ") + in_.fuel(std::abs(kg)); }

  void saving() {
    const planning::SearchFigures& search = plan_.search;
    page_.heading(plan_.savings.empty() ? "RECKONING" : "SAVING BY QUEUE BEFORE LINE-UP");
    for (const planning::QueueSaving& s : plan_.savings)
      page_.item(minutes(s.queue_s),
                 saving_words(s.saving_kg) + (std::abs(s.queue_s - context_.request->queue_s) < 0.5 ? " (asked for)" : ""));
    if (departure() && plan_.shown.one)
      page_.item("Pays", !plan_.pays_from_queue_s       ? "not even with a queue of 60 min"
                         : *plan_.pays_from_queue_s > 0 ? "from a queue of " + duration(*plan_.pays_from_queue_s)
                                                        : "without any queue");
    const double gap = search.fuel_kg > 0 ? plan_.shown.route.fuel_kg / search.fuel_kg - 1.0 : 0.0;
    page_.item(
        "Search",
        fmt::format("{} ({} {}), {} when driven ({}{}); least {}, on every engine {}", in_.fuel(search.fuel_kg),
                    plan_.shown.one ? "on" : "with", named_engines(plan_.shown.one ? plan_.shown.running_set : "all"),
                    in_.fuel(plan_.shown.route.fuel_kg), gap > 0 ? "+" : "", with_unit(gap * 100.0, 1, "%"),
                    in_.fuel(search.minimum_kg), in_.fuel(search.reference_kg)));
  }

  void against() {
    if (plan_.why_not.empty()) return;
    page_.heading("AGAINST ONE ENGINE");
    for (const std::string& reason : plan_.why_not) page_.line("  - ", in_.retold(without_end(reason) + "."));
  }

  std::multimap<double, WayEvent> events() const {
    std::multimap<double, WayEvent> events;
    for (const WayNote& note : context_.notes) events.emplace(note.at_m, WayEvent{note.text, "stop"});
    const std::string engines = named_engines(others(advised_.running_set));
    if (const auto& start = advised_.second_engine) {
      events.emplace(start->at_m, WayEvent{"START " + engines});
      events.emplace(start->to_m, WayEvent{"every engine runs, warm-up begins"});
    }
    if (const auto& stop = advised_.shutdown) events.emplace(stop->at_m, WayEvent{"SHUT DOWN " + engines});
    return events;
  }

  /// Factor and name of the unit a value is told in.
  [[nodiscard]] std::pair<double, std::string> told_in(const std::string& unit) const {
    if (units_ == Units::us && unit == "kg") return {in_pounds(Kilograms{1.0}), "lb"};
    if (units_ == Units::us && unit == "kg/h") return {in_pounds(Kilograms{1.0}), "lb/h"};
    return {1.0, unit};
  }

  std::string sensitive_words(const std::optional<double>& saving_kg) const {
    return saving_kg ? in_.fuel(*saving_kg) : "not possible";
  }

  void hangs_on() {
    const bool told_already = one_engine_advised(plan_) || !plan_.shown.one;
    if (told_already && plan_.sensitivity.empty()) return;
    page_.heading("WHAT IT HANGS ON");
    if (!told_already) chance();
    if (plan_.sensitivity.empty()) return;
    const auto line = [&](const std::string& what, const std::string& low, const std::string& saving_low,
                          const std::string& high, const std::string& saving_high) {
      page_.row({{what, 32}, {low, -10}, {saving_low, -13}, {high, -10}, {saving_high, -13}});
    };
    line("", "low", "saving", "high", "saving");
    for (const planning::Sensitivity& s : plan_.sensitivity) {
      const auto [factor, unit] = told_in(s.unit);
      line(unit.empty() ? s.what : fmt::format("{} ({})", s.what, unit), plain_number(s.low * factor),
           sensitive_words(s.saving_low_kg), plain_number(s.high * factor), sensitive_words(s.saving_high_kg));
    }
    const auto enough = context_.route.conditions->require == motion::Require::standing ? motion::Verdict::standing
                                                                                  : motion::Verdict::rolling;
    for (const planning::Sensitivity& s : plan_.sensitivity) {
      const auto [factor, unit] = told_in(s.unit);
      for (const auto& [value, verdict] : {std::pair{s.low, s.verdict_low}, std::pair{s.high, s.verdict_high}})
        if (verdict > enough)
          page_.line("  ", fmt::format("With {} {}{}{}, {} on this way.", s.what, plain_number(value * factor),
                                       unit.empty() ? "" : " ", unit,
                                       verdict == motion::Verdict::blocked ? "not even every engine will do"
                                                                           : named_engines(plan_.shown.running_set) +
                                                                                 " alone will not do"));
    }
  }

  void other_ways() {
    if (context_.request->alternatives == 0) return;
    page_.heading("OTHER WAYS");
    if (plan_.alternatives.empty()) page_.line("  ", "There is no really different way.");
    int rank = 0;
    for (const planning::Alternative& a : plan_.alternatives)
      page_.line(fmt::format("  {:>2}  ", ++rank),
                 fmt::format("by {}: {}, {}, {}, on {}; {} of it shared", a.by.empty() ? "unnamed ways" : a.by,
                             in_.length(a.length_m), duration(a.time_s), in_.fuel(a.fuel_kg),
                             named_engines(a.one ? a.running_set : "all"), with_unit(a.overlap * 100.0, 0, "%")));
  }

  const Plan& plan_;
  const PlanContext& context_;
  Units units_;
  Measures in_;
  const DrivenPlan& advised_;
  Page page_;
};

}  // namespace

Page plan_briefing(const planning::Plan& plan, const PlanContext& context, Units units) {
  return PlanBriefing(plan, context, units).page();
}

std::string plan_text(const planning::Plan& plan, const PlanContext& context, Units units) {
  return plan_briefing(plan, context, units).text();
}

}  // namespace solotaxi::report
