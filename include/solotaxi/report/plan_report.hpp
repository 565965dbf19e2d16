// A plan for people (a briefing of 80 columns), for programs (JSON) and for maps (feature layers).
//
// JSON and layers hold the plan shown (`Plan::shown`); the briefing tells the plan that is advised, with the other beside
// it.
#pragma once

#include <string>
#include <vector>

#include "solotaxi/planning/plan.hpp"
#include "solotaxi/report/route_report.hpp"

namespace solotaxi::report {

/// A place of the way to be told besides, such as one to hold short at.
struct WayNote {
  double at_m = 0.0;  ///< along the whole route
  std::string text;
};

struct PlanContext {
  RouteContext route;
  const planning::PlanRequest* request = nullptr;  ///< must be set
  std::vector<WayNote> notes{};                    ///< ascending
};

[[nodiscard]] std::string plan_text(const planning::Plan& plan, const PlanContext& context, Units units);
/// Keys as in data/schema/plan.schema.json; SI always; ends with a line break.
[[nodiscard]] std::string plan_json(const planning::Plan& plan, const PlanContext& context);
/// The layers of the route shown; "phases": its way by phase (phases that stand have no line); "engine_points": where START
/// begins and every engine runs, or the shutdown; "alternatives".
[[nodiscard]] std::vector<io::FeatureLayer> plan_layers(const planning::Plan& plan, const PlanContext& context);

}  // namespace solotaxi::report
