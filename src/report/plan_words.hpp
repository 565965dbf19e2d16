// What the reports of a plan share: names of phases and engines, the crew's questions, the APU's share of the fuel.
#pragma once

#include <string>
#include <vector>

#include "solotaxi/report/plan_report.hpp"
#include "text_layout.hpp"

namespace solotaxi::report {

/// "one", "start", "all".
[[nodiscard]] const char* phase_word(planning::Phase phase);
/// Engines of the aircraft outside a running set, written like it: "right", "2", "2,3".
[[nodiscard]] std::string other_engines(const std::string& running_set, int engines);
/// The engines of a phase: "Left engine, starting right", "Engines 1 and 4", "Every engine".
[[nodiscard]] std::string phase_engines(const planning::PlanPhase& phase, const PlanContext& context);

[[nodiscard]] bool one_engine_advised(const planning::Plan& plan);
/// The plan shown or the reference, whichever is advised.
[[nodiscard]] const planning::DrivenPlan& advised_plan(const planning::Plan& plan);
/// Everything `plan_text` says.
[[nodiscard]] Page plan_briefing(const planning::Plan& plan, const PlanContext& context, Units units);
/// Findings of the route shown and of the plan.
[[nodiscard]] Findings plan_findings(const planning::Plan& plan, const routing::Route& route, const PlanContext& context);
/// The operator's notes on the engines left off, and the conditions in which engines are commonly not left off.
[[nodiscard]] std::vector<std::string> crew_questions(const planning::Plan& plan, const PlanContext& context);
/// The APU's part of a plan's fuel [kg].
[[nodiscard]] double apu_fuel_kg(const planning::DrivenPlan& plan, routing::Direction direction,
                                 const PlanContext& context);

}  // namespace solotaxi::report
