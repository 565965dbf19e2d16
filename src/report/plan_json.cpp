// The plan for programs; keys as in data/schema/plan.schema.json.
#include <nlohmann/json.hpp>

#include "common.hpp"
#include "plan_object.hpp"
#include "plan_words.hpp"
#include "route_json.hpp"
#include "solotaxi/units/quantity.hpp"

namespace solotaxi::report {
namespace {

using Json = nlohmann::ordered_json;

/// Samples of the simulation are told at most so far apart [m].
constexpr double kSampleWay_m = 10.0;

Json maybe(const std::optional<double>& value, int decimals) { return value ? rounded(*value, decimals) : Json(nullptr); }

Json phases_json(const planning::DrivenPlan& plan) {
  Json list = Json::array();
  for (const planning::PlanPhase& phase : plan.phases)
    list.push_back({{"phase", phase_word(phase.phase)},
                    {"from_m", rounded(phase.from_m, 1)},
                    {"to_m", rounded(phase.to_m, 1)},
                    {"time_s", rounded(phase.time_s, 1)},
                    {"fuel_kg", rounded(phase.fuel_kg, 3)}});
  return list;
}

Json point_json(const std::optional<planning::EnginePoint>& point, const char* when_key,
                double planning::EnginePoint::*when) {
  if (!point) return nullptr;
  return {{"at_m", rounded(point->at_m, 1)},
          {"lat", rounded(point->at.lat_deg(), 7)},
          {"lon", rounded(point->at.lon_deg(), 7)},
          {"place", point->place},
          {when_key, rounded((*point).*when, 1)}};
}

Json sample_json(const motion::Sample& sample, double driven_from_m) {
  return {{"at_m", rounded(driven_from_m + sample.at_m, 1)},
          {"time_s", rounded(sample.time_s, 1)},
          {"speed_kt", rounded(in_knots(MetresPerSecond{sample.speed_mps}), 2)},
          {"thrust_n", rounded(sample.thrust_n, 0)},
          {"n1_pct", rounded(sample.n1_pct, 2)},
          {"fuel_kg", rounded(sample.fuel_kg, 3)},
          {"brake_c", rounded(sample.brake_c, 1)}};
}

/// Both ends, every change of phase and both ends of every standing, and between them enough that no gap is over
/// kSampleWay_m.
Json sim_json(const planning::DrivenPlan& plan) {
  const std::vector<motion::Sample>& all = plan.sim.samples;
  Json list = Json::array();
  double told_m = 0.0;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const bool end = i == 0 || i + 1 == all.size();
    const auto differs = [&](const motion::Sample& a, const motion::Sample& b) {
      return a.phase != b.phase || a.at_m == b.at_m;
    };
    if (!end && all[i + 1].at_m - told_m <= kSampleWay_m && !differs(all[i], all[i + 1]) && !differs(all[i - 1], all[i]))
      continue;
    list.push_back(sample_json(all[i], plan.driven_from_m));
    told_m = all[i].at_m;
  }
  return list;
}

Json carried_json(const planning::DrivenPlan& plan) {
  Json list = Json::array();
  for (const motion::Carried& c : plan.sim.carried)
    list.push_back({{"from_m", rounded(plan.driven_from_m + c.from_m, 1)},
                    {"to_m", rounded(plan.driven_from_m + c.to_m, 1)},
                    {"needed_n", rounded(c.needed_n, 0)},
                    {"available_n", rounded(c.available_n, 0)}});
  return list;
}

Json sensitivity_json(const planning::Plan& plan) {
  Json list = Json::array();
  for (const planning::Sensitivity& s : plan.sensitivity)
    list.push_back({{"what", s.what},
                    {"unit", s.unit},
                    {"low", rounded(s.low, 6)},
                    {"high", rounded(s.high, 6)},
                    {"saving_low_kg", maybe(s.saving_low_kg, 3)},
                    {"saving_high_kg", maybe(s.saving_high_kg, 3)},
                    {"verdict_low", motion::to_string(s.verdict_low)},
                    {"verdict_high", motion::to_string(s.verdict_high)}});
  return list;
}

Json alternatives_json(const planning::Plan& plan) {
  Json list = Json::array();
  for (const planning::Alternative& a : plan.alternatives) {
    Json geometry = Json::array();
    for (const std::vector<routing::RoutePoint>& line : a.geometry) geometry.push_back(geometry_json(line));
    list.push_back({{"by", a.by},
                    {"length_m", rounded(a.length_m, 1)},
                    {"time_s", rounded(a.time_s, 1)},
                    {"fuel_kg", rounded(a.fuel_kg, 3)},
                    {"overlap", rounded(a.overlap, 4)},
                    {"one", a.one},
                    {"running_set", a.running_set},
                    {"geometry", geometry}});
  }
  return list;
}

}  // namespace

Json plan_object(const planning::Plan& plan, const PlanContext& context) {
  const planning::DrivenPlan& shown = plan.shown;
  Json json = route_object(shown.route, context.route);
  json["direction"] = routing::to_string(plan.direction);
  json["probability"] = rounded(shown.probability, 4);
  if (context.route.aircraft != nullptr)
    json["emissions"] =
        emissions_json(shown.route.fuel_kg - apu_fuel_kg(shown, plan.direction, context), *context.route.aircraft);
  json["findings"] = findings_json(plan_findings(plan, shown.route, context));
  json["running_set"] = shown.running_set;
  json["phases"] = phases_json(shown);
  json["second_engine"] = point_json(shown.second_engine, "before_line_up_s", &planning::EnginePoint::before_line_up_s);
  json["shutdown"] = point_json(shown.shutdown, "after_landing_s", &planning::EnginePoint::after_landing_s);
  json["reference"] = {{"time_s", rounded(plan.reference.route.time_s, 1)},
                       {"fuel_kg", rounded(plan.reference.route.fuel_kg, 3)}};
  json["saving_kg"] = rounded(plan.saving_kg, 3);
  json["advised"] = plan.advised;
  json["savings"] = Json::array();
  for (const planning::QueueSaving& s : plan.savings)
    json["savings"].push_back({{"queue_s", rounded(s.queue_s, 1)}, {"saving_kg", rounded(s.saving_kg, 3)}});
  json["pays_from_queue_s"] = maybe(plan.pays_from_queue_s, 1);
  json["why_not"] = plan.why_not;
  json["sensitivity"] = sensitivity_json(plan);
  json["search"] = {{"fuel_kg", rounded(plan.search.fuel_kg, 3)},
                    {"minimum_kg", rounded(plan.search.minimum_kg, 3)},
                    {"reference_kg", rounded(plan.search.reference_kg, 3)},
                    {"saving_kg", rounded(plan.search.saving_kg, 3)}};
  json["sim"] = sim_json(shown);
  json["carried"] = carried_json(shown);
  json["stalled_at_m"] = shown.sim.stalled ? rounded(shown.driven_from_m + shown.sim.stalled->at_m, 1) : Json(nullptr);
  json["brake_all_c"] = rounded(shown.brake_all_c, 1);
  json["alternatives"] = alternatives_json(plan);
  json["questions"] = crew_questions(plan, context);
  return json;
}

std::string plan_json(const planning::Plan& plan, const PlanContext& context) { return printed(plan_object(plan, context)); }

}  // namespace solotaxi::report
