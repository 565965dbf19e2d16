#include "preview_words.hpp"

#include <fmt/format.h>

#include <cmath>

#include "plan_words.hpp"
#include "sections.hpp"
#include "text_layout.hpp"

namespace solotaxi::report {

std::string designators(const routing::Route& route) {
  std::string out, last;
  for (const routing::Leg& leg : route.legs) {
    if (leg.push_back || leg.name.empty() || leg.name == last) continue;
    out += (out.empty() ? "" : ", ") + leg.name;
    last = leg.name;
  }
  return out.empty() ? "unnamed ways" : out;
}

std::string way_words(const planning::Plan& plan, const Measures& in) {
  const planning::DrivenPlan& driven = advised_plan(plan);
  return fmt::format("{}, {}, {} on {}, by {}", in.length(driven.route.length_m), duration(driven.route.time_s),
                     in.fuel(driven.route.fuel_kg), named_engines(driven.one ? driven.running_set : "all"),
                     designators(driven.route));
}

std::string difference_words(const planning::Preview& preview, const Measures& in) {
  if (!preview.free) return {};
  const routing::Route &here = advised_plan(preview.plan).route, &there = advised_plan(*preview.free).route;
  if (here.arcs == there.arcs) return {};
  const double m = here.length_m - there.length_m, s = here.time_s - there.time_s, kg = here.fuel_kg - there.fuel_kg;
  return fmt::format("{} {}, {} {}, {} {}", in.length(std::abs(m)), m < 0 ? "shorter" : "longer", duration(std::abs(s)),
                     s < 0 ? "less" : "more", in.fuel(std::abs(kg)), kg < 0 ? "less" : "more");
}

}  // namespace solotaxi::report
