// What a plan and a route put on a page.
#include "solotaxi/report/page.hpp"

#include <fmt/format.h>

#include "common.hpp"
#include "page_subject.hpp"
#include "page_words.hpp"
#include "plan_words.hpp"
#include "sections.hpp"

namespace solotaxi::report {
namespace {

void lay_way(PageSubject& subject) {
  subject.way = chained(*subject.route);
  if (subject.way.points.empty()) {
    // A route of no length still has two ends; without a drawn line they are taken at the frame's middle.
    subject.way.points = {{}, {}};
    subject.way.at_m = {0.0, subject.route->length_m};
  }
  subject.frame =
      subject.context.network != nullptr ? subject.context.network->frame : LocalFrame(subject.way.points.front().at);
}

PagePhase page_phase(const planning::PlanPhase& phase, const PlanContext& context) {
  const bool all = phase.phase == planning::Phase::all, start = phase.phase == planning::Phase::start;
  const bool one = phase.engines.find(',') == std::string::npos;
  return {phase_word(phase.phase),
          all     ? "EVERY ENGINE"
          : start ? "START"
          : one   ? "ONE ENGINE"
                  : "FEWER ENGINES",
          phase_engines(phase, context),
          phase.from_m,
          phase.to_m,
          phase.time_s};
}

std::vector<PagePlace> engine_places(const planning::DrivenPlan& plan, const PlanContext& context) {
  std::vector<PagePlace> places;
  const int engines = context.route.aircraft == nullptr ? 2 : context.route.aircraft->engines();
  const std::string others = named_engines(other_engines(plan.running_set, engines));
  if (const auto& start = plan.second_engine) {
    places.push_back({"engine", "START " + others, start->at_m, false});
    if (start->to_m - start->at_m >= 0.5) places.push_back({"engine", "every engine runs", start->to_m, false});
  }
  for (const WayNote& note : context.notes) places.push_back({"stop", note.text, note.at_m, false, note.text});
  if (const auto& stop = plan.shutdown) places.push_back({"engine", "SHUT DOWN " + others, stop->at_m, false});
  return places;
}

/// Where every engine runs no turn is toward the running one.
void settle_turns(PageSubject& subject) {
  for (PagePlace& place : subject.places) {
    if (place.mark != "toward" && place.mark != "away") continue;
    for (const PagePhase& phase : subject.phases)
      if (phase.style == "all" && place.at_m >= phase.from_m && place.at_m < phase.to_m) {
        place.mark = "turn";
        place.text.clear();
      }
  }
}

}  // namespace

std::string plan_page(const planning::Plan& plan, const PlanContext& context, Units units, const PageExtras& extras) {
  const planning::DrivenPlan& advised = advised_plan(plan);
  PageSubject subject;
  subject.route = &advised.route;
  subject.sim = &advised.sim;
  subject.driven_from_m = advised.driven_from_m;
  subject.context = context.route;
  subject.units = units;
  subject.extras = &extras;
  for (const planning::PlanPhase& phase : advised.phases) subject.phases.push_back(page_phase(phase, context));
  if (!subject.phases.empty()) subject.phases.front().from_m = 0.0;  // the push back is in it
  subject.places = route_places(advised.route, engine_places(advised, context));
  settle_turns(subject);
  if (advised.sim.stalled)
    subject.watch_first.push_back(fmt::format("At {} this plan cannot go on without every engine; its figures end there.",
                                              Measures(units).length(advised.driven_from_m + advised.sim.stalled->at_m)));
  for (const Finding& finding : plan_findings(plan, advised.route, context))
    if (finding.severity == Severity::serious) subject.watch_first.push_back(Measures(units).retold(finding.text));
  lay_way(subject);
  return set_page(subject, plan_briefing(plan, context, units), extras.heading.empty() ? "Taxi plan" : extras.heading);
}

std::string route_page(const routing::DrivenRoute& driven, const RouteContext& context, Units units,
                       const PageExtras& extras) {
  const routing::Route& route = driven.route;
  PageSubject subject;
  subject.route = &route;
  subject.sim = &driven.sim;
  subject.driven_from_m = driven.driven_from_m;
  subject.context = context;
  subject.units = units;
  subject.extras = &extras;
  const bool every = route.engines == "all" || route.every_engine_needed;
  const std::string set = every ? "all" : route.engines;
  const std::string engines = sentence(named_engines(set));
  const bool one = set.find(',') == std::string::npos;
  subject.phases = {{every ? "all" : "one",
                     every ? "EVERY ENGINE"
                     : one ? "ONE ENGINE"
                           : "FEWER ENGINES",
                     engines, 0.0, route.length_m, driven.sim.time_s()}};
  subject.places = route_places(route, {});
  settle_turns(subject);
  if (route.every_engine_needed)
    subject.watch_first.push_back(
        fmt::format("There is no way for {} alone: this one is taxied on every engine.", named_engines(route.engines)));
  for (const Finding& finding : route_findings(route, context))
    if (finding.severity == Severity::serious) subject.watch_first.push_back(Measures(units).retold(finding.text));
  lay_way(subject);
  return set_page(subject, route_briefing(route, context, units), extras.heading.empty() ? "Taxi route" : extras.heading);
}

}  // namespace solotaxi::report
