// The plan's JSON as an object, for reports that hold a plan.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "solotaxi/report/plan_report.hpp"

namespace solotaxi::report {

/// All keys of data/schema/plan.schema.json.
[[nodiscard]] nlohmann::ordered_json plan_object(const planning::Plan& plan, const PlanContext& context);

}  // namespace solotaxi::report
