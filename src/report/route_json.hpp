// The route's JSON in parts, for reports that hold a route.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <vector>

#include "solotaxi/report/route_report.hpp"

namespace solotaxi::report {

/// All keys of data/schema/route.schema.json.
[[nodiscard]] nlohmann::ordered_json route_object(const routing::Route& route, const RouteContext& context);
[[nodiscard]] nlohmann::ordered_json conditions_json(const motion::Conditions& conditions);
/// Databank idle indices times the fuel of the main engines, all of it burnt near idle.
[[nodiscard]] nlohmann::ordered_json emissions_json(double engine_fuel_kg, const aircraft::Aircraft& aircraft);
/// [longitude, latitude, height or null] of every point.
[[nodiscard]] nlohmann::ordered_json geometry_json(const std::vector<routing::RoutePoint>& line);

}  // namespace solotaxi::report
