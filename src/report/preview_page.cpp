#include "plan_words.hpp"
#include "preview_words.hpp"
#include "sections.hpp"
#include "solotaxi/report/page.hpp"

namespace solotaxi::report {

std::string preview_page(const planning::Preview& preview, const PlanContext& context, Units units) {
  PageExtras extras;
  extras.heading = "Assigned route";
  const Measures in(units);
  for (const std::string& warning : preview.way.warnings) extras.warnings.push_back(in.retold(warning));
  extras.clearance = preview.clearance.text;
  extras.understood = to_text(preview.clearance);
  for (const routing::AssignedChoice& choice : preview.way.choices) extras.choices.push_back(in.retold(choice.text));
  if (preview.free && !difference_words(preview, in).empty()) {
    const planning::DrivenPlan& driven = advised_plan(*preview.free);
    PageComparison& beside = extras.beside.emplace();
    beside.title = "Best free route";
    beside.by = by_words(driven.route);
    beside.engines = driven.one ? driven.running_set : "all";
    beside.length_m = driven.route.length_m;
    beside.time_s = driven.route.time_s;
    beside.fuel_kg = driven.route.fuel_kg;
    for (const routing::Leg& leg : driven.route.legs) beside.geometry.push_back(leg.geometry);
  }
  PlanContext noted = context;
  noted.notes = stop_notes(preview);
  return plan_page(preview.plan, noted, units, extras);
}

}  // namespace solotaxi::report
