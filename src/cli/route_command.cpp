#include "commands.hpp"
#include "field.hpp"
#include "output.hpp"
#include "question.hpp"
#include "solotaxi/report/page.hpp"
#include "solotaxi/report/route_report.hpp"

namespace solotaxi::cli {
namespace {

routing::Objective objective_of(const RouteOptions& options) {
  return options.objective == "time"   ? routing::Objective::time
         : options.objective == "fuel" ? routing::Objective::fuel
                                       : routing::Objective::distance;
}

}  // namespace

void route_command(const RouteOptions& options, const Loader& load, std::ostream& out) {
  check_outputs_of(options);
  routing::RouteRequest request = request_of(options);
  request.objective = objective_of(options);
  const aircraft::Aircraft aircraft = aircraft_of(options);
  const aircraft::RunningSet set =
      for_option("--engines", [&] { return aircraft::parse_running_set(aircraft, options.engines); });
  motion::Conditions conditions = conditions_of(options, aircraft);

  const std::shared_ptr<const network::Network> loaded = load(options.field);
  const network::Network& network = *loaded;
  Findings findings;
  conditions.air.pressure_pa = pressure_pa(options, network, findings);
  std::variant<routing::DrivenRoute, routing::NoRoute> answer =
      about_map(options, [&] { return routing::find_driven_route(network, aircraft, set, conditions, request); });
  if (const auto* none = std::get_if<routing::NoRoute>(&answer)) throw no_route(options, *none);
  routing::DrivenRoute& driven = std::get<routing::DrivenRoute>(answer);
  routing::Route& route = driven.route;
  route.findings.insert(route.findings.end(), findings.begin(), findings.end());

  const report::RouteContext context{&network, &aircraft, &conditions, options.field.map};
  Outputs outputs;
  if (!options.output.files.empty()) {
    const std::vector<io::FeatureLayer> layers = report::route_layers(route, context);
    for (const std::string& file : options.output.files) outputs.add_layers(file, layers);
  }
  if (options.html) outputs.add_text(*options.html, report::route_page(driven, context, units_of(options)));
  outputs.release(out, options.output.format == "json" ? report::route_json(route, context)
                                                       : report::route_text(route, context, units_of(options)));
}

}  // namespace solotaxi::cli
