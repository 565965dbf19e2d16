// The preview for programs (data/schema/preview.schema.json) and for maps.
#include <nlohmann/json.hpp>

#include "common.hpp"
#include "plan_object.hpp"
#include "plan_words.hpp"
#include "preview_words.hpp"
#include "route_json.hpp"

namespace solotaxi::report {
namespace {

using Json = nlohmann::ordered_json;

Json stops_json(const planning::Preview& preview) {
  Json list = Json::array();
  for (const routing::AssignedStop& s : preview.way.stops)
    list.push_back({{"at_m", rounded(s.at_m, 1)},
                    {"lat", rounded(s.at.lat_deg(), 7)},
                    {"lon", rounded(s.at.lon_deg(), 7)},
                    {"hold", s.hold},
                    {"assumed", s.assumed},
                    {"text", s.text}});
  return list;
}

Json choices_json(const planning::Preview& preview) {
  Json list = Json::array();
  for (const routing::AssignedChoice& c : preview.way.choices)
    list.push_back({{"text", c.text}, {"longer_m", rounded(c.longer_m, 1)}});
  return list;
}

/// Of the plan advised.
Json way_json(const planning::Plan& plan) {
  const planning::DrivenPlan& driven = advised_plan(plan);
  Json geometry = Json::array();
  for (const routing::Leg& leg : driven.route.legs) geometry.push_back(geometry_json(leg.geometry));
  return {{"by", by_words(driven.route)},
          {"engines", driven.one ? driven.running_set : "all"},
          {"length_m", rounded(driven.route.length_m, 1)},
          {"time_s", rounded(driven.route.time_s, 1)},
          {"fuel_kg", rounded(driven.route.fuel_kg, 3)},
          {"geometry", geometry}};
}

}  // namespace

std::string preview_json(const planning::Preview& preview, const PlanContext& context) {
  Json json = plan_object(preview.plan, context);
  Json assigned = {{"clearance", preview.clearance.text},
                   {"understood", to_text(preview.clearance)},
                   {"warnings", preview.way.warnings},
                   {"notes", preview.clearance.notes},
                   {"hold_short", stops_json(preview)},
                   {"choices", choices_json(preview)}};
  assigned["way"] = way_json(preview.plan);
  assigned["free"] = preview.free ? way_json(*preview.free) : Json(nullptr);
  assigned["free_why_not"] = preview.free_why_not;
  json["assigned"] = std::move(assigned);
  return printed(json);
}

std::vector<io::FeatureLayer> preview_layers(const planning::Preview& preview, const PlanContext& context) {
  std::vector<io::FeatureLayer> layers = plan_layers(preview.plan, context);
  io::FeatureLayer stops{"hold_short", layers.front().description, {"at_m", "hold", "text"}, {}};
  type_columns(stops, {"at_m"}, {});
  for (const routing::AssignedStop& s : preview.way.stops) {
    io::Feature& f = stops.features.emplace_back();
    f.line.push_back(s.at);
    f.values = {rounded_value(s.at_m, 1), text_value(s.hold), text_value(s.text)};
  }
  io::FeatureLayer free{"free_route", layers.front().description, {"name", "length_m"}, {}};
  type_columns(free, {"length_m"}, {});
  if (preview.free)
    for (const routing::Leg& leg : advised_plan(*preview.free).route.legs) {
      if (leg.geometry.size() < 2) continue;
      io::Feature& f = free.features.emplace_back();
      for (const routing::RoutePoint& p : leg.geometry) {
        f.line.push_back(p.at);
        f.height_m.push_back(p.height_m);
      }
      f.values = {text_value(leg.name), rounded_value(leg.length_m, 1)};
    }
  layers.push_back(std::move(stops));
  layers.push_back(std::move(free));
  return layers;
}

}  // namespace solotaxi::report
