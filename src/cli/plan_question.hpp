// What a plan is asked on the command line; shared by plan, preview and screen.
#pragma once

#include "question.hpp"
#include "solotaxi/planning/plan.hpp"

namespace solotaxi::cli {

/// The aircraft with the times told on the command line.
[[nodiscard]] aircraft::Aircraft aircraft_told(const PlanOptions& options);
/// All but the pressure, which needs the field.
[[nodiscard]] motion::Conditions conditions_told(const PlanOptions& options, const aircraft::Aircraft& aircraft);
[[nodiscard]] planning::PlanRequest plan_request(const PlanOptions& options, const aircraft::Aircraft& aircraft);
/// The same on a way asked elsewhere.
[[nodiscard]] planning::PlanRequest plan_request(const PlanOptions& options, const aircraft::Aircraft& aircraft,
                                                 routing::RouteRequest route);

}  // namespace solotaxi::cli
