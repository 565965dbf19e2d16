// What an operator's rules come to on a field and for an aircraft. Shared by the parts of make_plan and screen; not public.
#pragma once

#include <vector>

#include "planning/phase_field.hpp"

namespace solotaxi::planning {

[[nodiscard]] motion::Conditions with_rules(motion::Conditions conditions, const PlanRequest& request);
/// Running sets tried in ONE; may be empty.
[[nodiscard]] std::vector<aircraft::RunningSet> sets_of(const aircraft::Aircraft& aircraft, const PlanRequest& request);
/// Throws Error (usage) for a rule that names nothing on the field.
[[nodiscard]] Barred barred_by_rules(const routing::Question& q, const std::vector<Rule>& rules);

}  // namespace solotaxi::planning
