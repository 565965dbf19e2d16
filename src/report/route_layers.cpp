// The route as feature layers: legs, turns, runway uses, and its two ends.
#include <fmt/format.h>

#include <numbers>

#include "common.hpp"

namespace solotaxi::report {
namespace {

io::Feature point(LatLon at) {
  io::Feature feature;
  feature.line.push_back(at);
  return feature;
}

std::string reason_words(const motion::PlaceVerdict& place) {
  return fmt::format("{}", fmt::join(motion::words(place.reasons), ", "));
}

io::FeatureLayer legs_layer(const routing::Route& route) {
  io::FeatureLayer layer{"legs",
                         "",
                         {"name", "kind", "push_back", "from_m", "length_m", "grade_mean_pct", "grade_max_pct", "verdict",
                          "reasons", "margin_pct", "time_s", "fuel_kg"},
                         {}};
  type_columns(layer, {"grade_mean_pct", "grade_max_pct", "margin_pct"}, {});
  for (const routing::Leg& leg : route.legs) {
    io::Feature& f = layer.features.emplace_back();
    for (const routing::RoutePoint& p : leg.geometry) {
      f.line.push_back(p.at);
      f.height_m.push_back(p.height_m);
    }
    f.values.push_back(text_value(leg.name));
    f.values.push_back(text_value(airfield::to_string(leg.kind)));
    f.values.push_back(flag_value(leg.push_back));
    f.values.push_back(rounded_value(leg.from_m, 1));
    f.values.push_back(rounded_value(leg.length_m, 1));
    f.values.push_back(rounded_value(leg.grade_mean * 100.0, 2));
    f.values.push_back(rounded_value(leg.grade_max * 100.0, 2));
    f.values.push_back(text_value(motion::to_string(leg.place.verdict)));
    f.values.push_back(text_value(reason_words(leg.place)));
    f.values.push_back(rounded_value(leg.place.margin * 100.0, 1));
    f.values.push_back(rounded_value(leg.time_s, 1));
    f.values.push_back(rounded_value(leg.fuel_kg, 3));
  }
  return layer;
}

io::FeatureLayer turns_layer(const routing::Route& route) {
  io::FeatureLayer layer{"turns",
                         "",
                         {"at_m", "angle_deg", "radius_m", "assumed", "tight_drawing", "toward_running", "thrust_factor",
                          "verdict", "reasons"},
                         {}};
  type_columns(layer, {"at_m", "angle_deg", "radius_m", "thrust_factor"}, {"assumed", "tight_drawing", "toward_running"});
  for (const routing::Turn& turn : route.turns) {
    io::Feature& f = layer.features.emplace_back(point(turn.at));
    f.values.push_back(rounded_value(turn.at_m, 1));
    f.values.push_back(rounded_value(turn.angle_rad * 180.0 / std::numbers::pi, 1));
    f.values.push_back(rounded_value(turn.radius_m, 1));
    f.values.push_back(flag_value(turn.assumed));
    f.values.push_back(flag_value(turn.tight_drawing));
    f.values.push_back(turn.toward_running ? flag_value(*turn.toward_running) : io::Value{});
    f.values.push_back(rounded_value(turn.thrust_factor, 4));
    f.values.push_back(text_value(motion::to_string(turn.place.verdict)));
    f.values.push_back(text_value(reason_words(turn.place)));
  }
  return layer;
}

io::FeatureLayer runways_layer(const routing::Route& route) {
  io::FeatureLayer layer{"runway_uses", "", {"kind", "name", "at_m", "length_m", "hold", "hold_assumed"}, {}};
  type_columns(layer, {"at_m", "length_m"}, {"hold_assumed"});
  for (const routing::RunwayUse& use : route.runway_uses) {
    io::Feature& f = layer.features.emplace_back(point(use.at));
    f.values.push_back(text_value(routing::to_string(use.kind)));
    f.values.push_back(text_value(use.runway));
    f.values.push_back(rounded_value(use.at_m, 1));
    f.values.push_back(rounded_value(use.length_m, 1));
    f.values.push_back(text_value(use.hold));
    f.values.push_back(flag_value(use.hold_assumed));
  }
  return layer;
}

io::FeatureLayer ends_layer(const routing::Route& route) {
  io::FeatureLayer layer{"ends", "", {"name", "kind", "length_m", "time_s", "fuel_kg"}, {}};
  if (route.legs.empty() || route.legs.front().geometry.empty() || route.legs.back().geometry.empty()) return layer;
  io::Feature& from = layer.features.emplace_back(point(route.legs.front().geometry.front().at));
  from.values.push_back(text_value(route.from));
  from.values.push_back(text_value("from"));
  io::Feature& to = layer.features.emplace_back(point(route.legs.back().geometry.back().at));
  to.values.push_back(text_value(route.to));
  to.values.push_back(text_value("to"));
  to.values.push_back(rounded_value(route.length_m, 1));
  to.values.push_back(rounded_value(route.time_s, 1));
  to.values.push_back(rounded_value(route.fuel_kg, 3));
  return layer;
}

}  // namespace

std::vector<io::FeatureLayer> route_layers(const routing::Route& route, const RouteContext& context) {
  std::vector<io::FeatureLayer> layers{legs_layer(route), turns_layer(route), runways_layer(route), ends_layer(route)};
  std::string description = cautions().front();
  if (context.network != nullptr) {
    const std::string thanks = attribution(*context.network, context.map_file);
    if (!thanks.empty()) description += " " + thanks;
  }
  for (io::FeatureLayer& layer : layers) layer.description = description;
  return layers;
}

}  // namespace solotaxi::report
