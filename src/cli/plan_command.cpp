#include "commands.hpp"
#include "field.hpp"
#include "output.hpp"
#include "plan_question.hpp"
#include "solotaxi/planning/plan.hpp"
#include "solotaxi/report/page.hpp"
#include "solotaxi/report/plan_report.hpp"

namespace solotaxi::cli {

void plan_command(const PlanOptions& options, const Loader& load, std::ostream& out) {
  check_outputs_of(options);
  const aircraft::Aircraft aircraft = aircraft_told(options);
  const planning::PlanRequest request = plan_request(options, aircraft);
  motion::Conditions conditions = conditions_told(options, aircraft);

  const std::shared_ptr<const network::Network> loaded = load(options.field);
  const network::Network& network = *loaded;
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
