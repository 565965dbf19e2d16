// The preview as a briefing: warnings, the clearance, what it leaves open, the best free route, then the plan.
#include <fmt/format.h>

#include "common.hpp"
#include "preview_words.hpp"
#include "sections.hpp"
#include "solotaxi/geo/geodesic.hpp"

namespace solotaxi::report {

namespace {

/// A place to hold short at that is a stop of the plan: the end is none.
std::string stands_words(const planning::Preview& preview, const routing::AssignedStop& stop) {
  for (const routing::Via& via : preview.request.route.via)
    if (via.place.position && geodesic_length(*via.place.position, stop.at).value() < 0.01)
      return "; the plan stands there for " + duration(via.stop_min * 60.0);
  return "";
}

}  // namespace

std::string preview_text(const planning::Preview& preview, const PlanContext& context, Units units) {
  const Measures in(units);
  Page page;
  page.title(context.route.network != nullptr ? "ASSIGNED ROUTE  " + aerodrome_title(*context.route.network)
                                              : "ASSIGNED ROUTE");
  page.line("", "Planning aid, not for navigation.");
  page.blank();
  for (const std::string& warning : preview.way.warnings) page.line("  WARNING  ", in.retold(warning));
  if (!preview.way.warnings.empty()) page.blank();
  page.item("Clearance", printable(preview.clearance.text));
  page.item("Understood", printable(to_text(preview.clearance)));
  for (const std::string& note : preview.clearance.notes) page.line("  - ", in.retold(note));
  for (const routing::AssignedStop& stop : preview.way.stops)
    page.item("Hold short", in.retold(stop.text) + stands_words(preview, stop));
  page.item("This route", way_words(preview.plan, in));
  if (!preview.free) {
    page.item("Free route", "there is none: " + preview.free_why_not);
  } else if (const std::string difference = difference_words(preview, in); difference.empty()) {
    page.item("Free route", "the same way");
  } else {
    page.item("Free route", way_words(*preview.free, in));
    page.item("Difference", "the assigned route " + difference);
  }
  if (!preview.way.choices.empty()) page.heading("WHAT THE CLEARANCE LEAVES OPEN");
  for (const routing::AssignedChoice& choice : preview.way.choices) page.line("  - ", in.retold(choice.text));
  page.blank();
  PlanContext noted = context;
  noted.notes = stop_notes(preview);
  return page.text() + plan_text(preview.plan, noted, units);
}

}  // namespace solotaxi::report
