// The route for programs; keys as in data/schema/route.schema.json.
#include "route_json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>
#include <numbers>

#include "common.hpp"

namespace solotaxi::report {
namespace {

using Json = nlohmann::ordered_json;

double degrees(double radians) { return radians * 180.0 / std::numbers::pi; }

Json leg_json(const routing::Leg& leg) {
  return {{"name", leg.name},
          {"kind", airfield::to_string(leg.kind)},
          {"push_back", leg.push_back},
          {"from_m", rounded(leg.from_m, 1)},
          {"length_m", rounded(leg.length_m, 1)},
          {"grade_mean_pct", rounded(leg.grade_mean * 100.0, 2)},
          {"grade_max_pct", rounded(leg.grade_max * 100.0, 2)},
          {"grade_max_sd_pct", rounded(std::isnan(leg.grade_max) ? leg.grade_max : leg.grade_max_sd * 100.0, 2)},
          {"verdict", motion::to_string(leg.place.verdict)},
          {"reasons", motion::words(leg.place.reasons)},
          {"margin_pct", rounded(leg.place.margin * 100.0, 1)},
          {"probability", rounded(leg.place.probability, 4)},
          {"time_s", rounded(leg.time_s, 1)},
          {"fuel_kg", rounded(leg.fuel_kg, 3)},
          {"geometry", geometry_json(leg.geometry)}};
}

Json turn_json(const routing::Turn& turn) {
  Json json = {{"at_m", rounded(turn.at_m, 1)},
               {"lat", rounded(turn.at.lat_deg(), 7)},
               {"lon", rounded(turn.at.lon_deg(), 7)},
               {"angle_deg", rounded(degrees(turn.angle_rad), 1)},
               {"radius_m", rounded(turn.radius_m, 1)},
               {"assumed", turn.assumed},
               {"tight_drawing", turn.tight_drawing},
               {"turn_round", turn.turn_round},
               {"toward_running", nullptr},
               {"thrust_factor", rounded(turn.thrust_factor, 4)},
               {"verdict", motion::to_string(turn.place.verdict)},
               {"reasons", motion::words(turn.place.reasons)},
               {"margin_pct", rounded(turn.place.margin * 100.0, 1)},
               {"at_steering_limit", nullptr}};
  if (turn.toward_running) json["toward_running"] = *turn.toward_running;
  if (turn.at_steering_limit)
    json["at_steering_limit"] = {{"verdict", motion::to_string(turn.at_steering_limit->verdict)},
                                 {"reasons", motion::words(turn.at_steering_limit->reasons)},
                                 {"margin_pct", rounded(turn.at_steering_limit->margin * 100.0, 1)}};
  return json;
}

Json use_json(const routing::RunwayUse& use) {
  return {{"kind", routing::to_string(use.kind)},
          {"runway", use.runway},
          {"at_m", rounded(use.at_m, 1)},
          {"length_m", rounded(use.length_m, 1)},
          {"lat", rounded(use.at.lat_deg(), 7)},
          {"lon", rounded(use.at.lon_deg(), 7)},
          {"hold", use.hold},
          {"hold_assumed", use.hold_assumed},
          {"hold_at_m", rounded(use.hold_at_m, 1)}};
}

/// The APU runs where engines of the set are off.
double engine_fuel_kg(const routing::Route& route, const aircraft::Aircraft& aircraft,
                      const motion::Conditions& conditions) {
  const bool apu = conditions.apu_on && route.engines != "all" && !route.every_engine_needed;
  return route.fuel_kg - (apu ? aircraft.apu_run_kg_h / 3600.0 * route.time_s : 0.0);
}

}  // namespace

nlohmann::ordered_json emissions_json(double fuel_kg, const aircraft::Aircraft& aircraft) {
  return {{"engine_fuel_kg", rounded(fuel_kg, 3)},
          {"hc_g", rounded(aircraft.ei_hc_g_kg * fuel_kg, 1)},
          {"co_g", rounded(aircraft.ei_co_g_kg * fuel_kg, 1)},
          {"nox_g", rounded(aircraft.ei_nox_g_kg * fuel_kg, 1)}};
}

nlohmann::ordered_json geometry_json(const std::vector<routing::RoutePoint>& line) {
  Json geometry = Json::array();
  for (const routing::RoutePoint& point : line)
    geometry.push_back({rounded(point.at.lon_deg(), 7), rounded(point.at.lat_deg(), 7), rounded(point.height_m, 2)});
  return geometry;
}

nlohmann::ordered_json conditions_json(const motion::Conditions& c) {
  return {{"oat_c", rounded(c.air.temperature_k - 273.15, 2)},
          {"pressure_hpa", rounded(c.air.pressure_pa / 100.0, 2)},
          {"surface", c.surface == motion::Surface::dry   ? "dry"
                      : c.surface == motion::Surface::wet ? "wet"
                                                          : "contaminated"},
          {"n1_limit_pct", rounded(c.n1_limit_pct, 2)},
          {"require", c.require == motion::Require::standing ? "standing" : "rolling"}};
}

nlohmann::ordered_json route_object(const routing::Route& route, const RouteContext& context) {
  Json json;
  json["from"] = route.from;
  json["to"] = route.to;
  json["objective"] = routing::to_string(route.objective);
  json["direction"] = routing::to_string(route.direction);
  json["engines"] = route.engines;
  json["every_engine_needed"] = route.every_engine_needed;
  json["aerodrome"] = nullptr;
  if (context.network != nullptr) json["aerodrome"] = {{"name", context.network->name}, {"ident", context.network->ident}};
  json["aircraft"] = context.aircraft == nullptr ? Json(nullptr) : Json(context.aircraft->name);
  json["mass_kg"] = nullptr;
  json["conditions"] = nullptr;
  if (context.conditions != nullptr) {
    const motion::Conditions& c = *context.conditions;
    json["mass_kg"] = rounded(c.mass_kg, 1);
    json["conditions"] = conditions_json(c);
  }
  json["length_m"] = rounded(route.length_m, 1);
  json["time_s"] = rounded(route.time_s, 1);
  json["fuel_kg"] = rounded(route.fuel_kg, 3);
  json["co2_kg"] = rounded(route.fuel_kg * kCo2PerFuel, 3);
  json["push_back"] = nullptr;
  if (route.direction == routing::Direction::departure) {
    double length_m = 0.0;
    for (const routing::Leg& leg : route.legs) length_m += leg.push_back ? leg.length_m : 0.0;
    json["push_back"] = {{"length_m", rounded(length_m, 1)},
                         {"time_s", rounded(route.push_back_s, 1)},
                         {"fuel_kg", rounded(route.push_back_fuel_kg, 3)}};
  }
  json["standing_s"] = rounded(route.standing_s, 1);
  // Of the engines' thrust alone; it would mislead where other reasons (surface, grip) rule the running set out.
  json["probability"] = route.every_engine_needed ? Json(nullptr) : rounded(route.probability, 4);
  json["emissions"] = nullptr;
  if (context.aircraft != nullptr && context.conditions != nullptr)
    json["emissions"] = emissions_json(engine_fuel_kg(route, *context.aircraft, *context.conditions), *context.aircraft);
  json["legs"] = Json::array();
  for (const routing::Leg& leg : route.legs) json["legs"].push_back(leg_json(leg));
  json["turns"] = Json::array();
  for (const routing::Turn& turn : route.turns) json["turns"].push_back(turn_json(turn));
  json["runway_crossings"] = Json::array();
  json["runway_uses"] = Json::array();
  for (const routing::RunwayUse& use : route.runway_uses) {
    if (use.kind == routing::RunwayUse::Kind::crossing) json["runway_crossings"].push_back(use_json(use));
    json["runway_uses"].push_back(use_json(use));
  }
  json["findings"] = findings_json(route_findings(route, context));
  json["cautions"] = cautions();
  const std::string thanks = context.network == nullptr ? "" : attribution(*context.network, context.map_file);
  json["attribution"] = thanks.empty() ? Json(nullptr) : Json(thanks);
  return json;
}

std::string route_json(const routing::Route& route, const RouteContext& context) {
  return printed(route_object(route, context));
}

}  // namespace solotaxi::report
