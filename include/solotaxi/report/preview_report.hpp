// The preview of an assigned route: the clearance as it was understood, warnings first, what it leaves open, what the best
// free route would take, and the plan of the route (plan_report.hpp).
#pragma once

#include <string>
#include <vector>

#include "solotaxi/planning/preview.hpp"
#include "solotaxi/report/plan_report.hpp"

namespace solotaxi::report {

/// `context.request` must be the preview's own.
[[nodiscard]] std::string preview_text(const planning::Preview& preview, const PlanContext& context, Units units);
/// Keys as in data/schema/preview.schema.json: those of the plan, and `assigned`; SI always; ends with a line break.
[[nodiscard]] std::string preview_json(const planning::Preview& preview, const PlanContext& context);
/// Layers of the plan; "hold_short": where the clearance says so; "free_route": the best free way.
[[nodiscard]] std::vector<io::FeatureLayer> preview_layers(const planning::Preview& preview, const PlanContext& context);

/// One HTML page (page.hpp) with warnings at the top, the clearance, what it leaves open, and the free route drawn beside.
[[nodiscard]] std::string preview_page(const planning::Preview& preview, const PlanContext& context, Units units);

}  // namespace solotaxi::report
