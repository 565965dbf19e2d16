#include "plan_question.hpp"

#include <utility>

namespace solotaxi::cli {
namespace {

aircraft::RunningSet set_to_try(const aircraft::Aircraft& aircraft, const std::string& text) {
  const aircraft::RunningSet set = aircraft::parse_running_set(aircraft, text);
  if (set == aircraft::all_engines(aircraft))
    throw usage_error("every engine is no set to try; it is what the plan is compared with",
                      "leave --engines out to try every set the aircraft may taxi on");
  return set;
}

}  // namespace

aircraft::Aircraft aircraft_told(const PlanOptions& options) {
  aircraft::Aircraft aircraft = aircraft_of(options);
  aircraft.start_s = options.start_s.value_or(aircraft.start_s);
  aircraft.warm_up_s = options.warm_up_s.value_or(aircraft.warm_up_s);
  aircraft.cool_down_s = options.cool_down_s.value_or(aircraft.cool_down_s);
  return aircraft;
}

motion::Conditions conditions_told(const PlanOptions& options, const aircraft::Aircraft& aircraft) {
  motion::Conditions conditions = conditions_of(options, aircraft);
  conditions.push_back_s = options.push_back_s.value_or(conditions.push_back_s);
  conditions.apu_on = options.apu == "on";
  return conditions;
}

planning::PlanRequest plan_request(const PlanOptions& options, const aircraft::Aircraft& aircraft) {
  return plan_request(options, aircraft, request_of(options));
}

planning::PlanRequest plan_request(const PlanOptions& options, const aircraft::Aircraft& aircraft,
                                   routing::RouteRequest route) {
  planning::PlanRequest request;
  request.route = std::move(route);
  request.route.objective = routing::Objective::fuel;
  for (const std::string& text : options.engines)
    request.sets.push_back(for_option("--engines", [&] { return set_to_try(aircraft, text); }));
  constexpr double kMinute = 60.0;
  request.queue_s = options.queue_min * kMinute;
  request.queue_moves_per_min = options.queue_moves_per_min;
  request.since_landing_s = options.since_landing_s;
  request.brake_start_c = options.brake_c;
  for (const std::string& text : options.rules)
    request.rules.push_back(for_option("--rule", [&] { return planning::parse_rule(text); }));
  request.alternatives = options.alternatives;
  request.seed = options.seed;
  return request;
}

}  // namespace solotaxi::cli
