// The plan as feature layers: those of its route, its phases, its engine points, other ways.
#include "common.hpp"
#include "plan_words.hpp"
#include "route_line.hpp"

namespace solotaxi::report {
namespace {

void add_point(io::Feature& feature, const routing::RoutePoint& point) {
  feature.line.push_back(point.at);
  feature.height_m.push_back(point.height_m);
}

io::FeatureLayer phases_layer(const planning::DrivenPlan& plan, const PlanContext& context) {
  io::FeatureLayer layer{"phases", "", {"phase", "engines", "from_m", "to_m", "time_s", "fuel_kg"}, {}};
  type_columns(layer, {"from_m", "to_m", "time_s", "fuel_kg"}, {});
  const Chained way = chained(plan.route);
  if (way.points.empty()) return layer;
  for (const planning::PlanPhase& phase : plan.phases) {
    if (!(phase.to_m > phase.from_m)) continue;
    io::Feature& f = layer.features.emplace_back();
    for (const routing::RoutePoint& point : part(way, phase.from_m, phase.to_m)) add_point(f, point);
    f.values.push_back(text_value(phase_word(phase.phase)));
    f.values.push_back(text_value(phase_engines(phase, context)));
    f.values.push_back(rounded_value(phase.from_m, 1));
    f.values.push_back(rounded_value(phase.to_m, 1));
    f.values.push_back(rounded_value(phase.time_s, 1));
    f.values.push_back(rounded_value(phase.fuel_kg, 3));
  }
  return layer;
}

io::FeatureLayer points_layer(const planning::DrivenPlan& plan) {
  io::FeatureLayer layer{"engine_points", "", {"kind", "at_m", "place", "before_line_up_s", "after_landing_s"}, {}};
  type_columns(layer, {"at_m", "before_line_up_s", "after_landing_s"}, {});
  const auto add = [&](const char* kind, LatLon at, double at_m, const std::string& place, io::Value before,
                       io::Value after) {
    io::Feature& f = layer.features.emplace_back();
    f.line.push_back(at);
    f.values = {text_value(kind), rounded_value(at_m, 1), text_value(place), std::move(before), std::move(after)};
  };
  if (const auto& start = plan.second_engine) {
    add("start", start->at, start->at_m, start->place, rounded_value(start->before_line_up_s, 1), {});
    const Chained way = chained(plan.route);
    if (!way.points.empty()) add("running", between(way, start->to_m).at, start->to_m, "", {}, {});
  }
  if (const auto& stop = plan.shutdown)
    add("shutdown", stop->at, stop->at_m, stop->place, {}, rounded_value(stop->after_landing_s, 1));
  return layer;
}

io::FeatureLayer alternatives_layer(const planning::Plan& plan) {
  io::FeatureLayer layer{"alternatives", "", {"rank", "by", "engines", "length_m", "time_s", "fuel_kg", "overlap"}, {}};
  type_columns(layer, {"rank", "length_m", "time_s", "fuel_kg", "overlap"}, {});
  for (std::size_t i = 0; i < plan.alternatives.size(); ++i) {
    const planning::Alternative& a = plan.alternatives[i];
    for (const std::vector<routing::RoutePoint>& line : a.geometry) {
      if (line.size() < 2) continue;
      io::Feature& f = layer.features.emplace_back();
      for (const routing::RoutePoint& point : line) add_point(f, point);
      f.values = {rounded_value(static_cast<double>(i + 1), 0),
                  text_value(a.by),
                  text_value(a.one ? a.running_set : "all"),
                  rounded_value(a.length_m, 1),
                  rounded_value(a.time_s, 1),
                  rounded_value(a.fuel_kg, 3),
                  rounded_value(a.overlap, 4)};
    }
  }
  return layer;
}

}  // namespace

std::vector<io::FeatureLayer> plan_layers(const planning::Plan& plan, const PlanContext& context) {
  std::vector<io::FeatureLayer> layers = route_layers(plan.shown.route, context.route);
  const std::string description = layers.front().description;
  for (io::FeatureLayer layer : {phases_layer(plan.shown, context), points_layer(plan.shown), alternatives_layer(plan)}) {
    layer.description = description;
    layers.push_back(std::move(layer));
  }
  return layers;
}

}  // namespace solotaxi::report
