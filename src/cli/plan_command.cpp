#include "commands.hpp"
#include "field.hpp"
#include "output.hpp"
#include "question.hpp"
#include "solotaxi/planning/plan.hpp"
#include "solotaxi/report/page.hpp"
#include "solotaxi/report/plan_report.hpp"

namespace solotaxi::cli {
namespace {

/// The aircraft with the times told on the command line.
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

aircraft::RunningSet set_to_try(const aircraft::Aircraft& aircraft, const std::string& text) {
  const aircraft::RunningSet set = aircraft::parse_running_set(aircraft, text);
  if (set == aircraft::all_engines(aircraft))
    throw usage_error("every engine is no set to try; it is what the plan is compared with",
                      "leave --engines out to try every set the aircraft may taxi on");
  return set;
}

planning::PlanRequest plan_request(const PlanOptions& options, const aircraft::Aircraft& aircraft) {
  planning::PlanRequest request;
  request.route = request_of(options);
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

}  // namespace

void plan_command(const PlanOptions& options, std::ostream& out) {
  check_outputs_of(options);
  const aircraft::Aircraft aircraft = aircraft_told(options);
  const planning::PlanRequest request = plan_request(options, aircraft);
  motion::Conditions conditions = conditions_told(options, aircraft);

  const network::Network network = load_network(options.field);
  Findings findings;
  conditions.air.pressure_pa = pressure_pa(options, network, findings);
  std::variant<planning::Plan, routing::NoRoute> answer =
      about_map(options, [&] { return planning::make_plan(network, aircraft, conditions, request); });
  if (const auto* none = std::get_if<routing::NoRoute>(&answer)) throw no_route(options, *none);
  planning::Plan& plan = std::get<planning::Plan>(answer);
  plan.findings.insert(plan.findings.end(), findings.begin(), findings.end());

  const report::PlanContext context{{&network, &aircraft, &conditions, options.field.map}, &request};
  Outputs outputs;
  if (!options.output.files.empty()) {
    const std::vector<io::FeatureLayer> layers = report::plan_layers(plan, context);
    for (const std::string& file : options.output.files) outputs.add_layers(file, layers);
  }
  if (options.html) outputs.add_text(*options.html, report::plan_page(plan, context, units_of(options)));
  outputs.release(out, options.output.format == "json" ? report::plan_json(plan, context)
                                                       : report::plan_text(plan, context, units_of(options)));
}

}  // namespace solotaxi::cli
