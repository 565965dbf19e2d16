// Why there is no route.
#pragma once

#include "routing/question.hpp"

namespace solotaxi::routing {

/// Finds the rule that stands in the way by lifting one kind of rule after the other. `every_engine` is the table of all
/// engines. O(arcs) for each rule and leg tried.
[[nodiscard]] NoRoute explain(const Question& q, const CostTable& every_engine);

}  // namespace solotaxi::routing
