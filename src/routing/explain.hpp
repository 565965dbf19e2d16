// Why there is no route.
#pragma once

#include <functional>

#include "routing/question.hpp"

namespace solotaxi::routing {

/// Finds the rule that stands in the way by lifting one kind of rule after the other. `every_engine` is the table of all
/// engines. O(arcs) for each rule and leg tried. `has_way` asks the search itself whether there is a way under another
/// request or other conditions; it is asked only where every leg alone could be driven.
using HasWay = std::function<bool(const RouteRequest&, const motion::Conditions&)>;
[[nodiscard]] NoRoute explain(const Question& q, const CostTable& every_engine, const HasWay& has_way);

}  // namespace solotaxi::routing
