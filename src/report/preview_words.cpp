#include "preview_words.hpp"

#include <fmt/format.h>

#include <cmath>

#include "plan_words.hpp"
#include "sections.hpp"
#include "text_layout.hpp"

namespace solotaxi::report {

std::vector<WayNote> stop_notes(const planning::Preview& preview) {
  using Kind = routing::ClearanceBinding::Kind;
  std::vector<WayNote> notes;
  for (const routing::AssignedStop& stop : preview.way.stops) {
    const routing::ClearanceBinding& told = preview.clearance.bindings[stop.binding];
    const char* const what = told.kind == Kind::hold_short_of_runway ? "runway "
                             : told.kind == Kind::hold_short_of_hold ? "holding point "
                                                                     : "";
    notes.push_back({stop.at_m, fmt::format("HOLD SHORT of {}{}{}", what, told.at.name,
                                            stop.hold.empty() || stop.hold == told.at.name ? "" : " at " + stop.hold)});
  }
  return notes;
}

std::string by_words(const routing::Route& route) {
  const std::string by = routing::designators(route);
  return by.empty() ? "unnamed ways" : by;
}

std::string way_words(const planning::Plan& plan, const Measures& in) {
  const planning::DrivenPlan& driven = advised_plan(plan);
  return fmt::format("{}, {}, {} on {}, by {}", in.length(driven.route.length_m), duration(driven.route.time_s),
                     in.fuel(driven.route.fuel_kg), named_engines(driven.one ? driven.running_set : "all"),
                     by_words(driven.route));
}

std::string difference_words(const planning::Preview& preview, const Measures& in) {
  if (!preview.free) return {};
  const routing::Route &here = advised_plan(preview.plan).route, &there = advised_plan(*preview.free).route;
  if (here.arcs == there.arcs) return {};
  const double m = here.length_m - there.length_m, s = here.time_s - there.time_s, kg = here.fuel_kg - there.fuel_kg;
  return fmt::format("is {} {}, takes {} {} and burns {} {}", in.length(std::abs(m)), m < 0 ? "shorter" : "longer",
                     duration(std::abs(s)), s < 0 ? "less" : "more", in.fuel(std::abs(kg)), kg < 0 ? "less" : "more");
}

}  // namespace solotaxi::report
