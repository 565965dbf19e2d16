#include <fmt/format.h>

#include "commands.hpp"
#include "field.hpp"
#include "output.hpp"
#include "plan_question.hpp"
#include "solotaxi/planning/preview.hpp"
#include "solotaxi/report/preview_report.hpp"

namespace solotaxi::cli {
namespace {

/// What fails, what is met there, and what would work.
Error cannot_follow(const PreviewOptions& options, const routing::CannotFollow& fault) {
  const std::string item = fault.quoted.empty() ? "" : fmt::format("at \"{}\": ", fault.quoted);
  std::string hint;
  const auto add = [&](const std::string& text) { hint += (hint.empty() ? "" : "; ") + text; };
  if (!fault.hint.empty()) add(fault.hint);
  if (!fault.meets.empty()) add(fmt::format("met there: {}", fmt::join(fault.meets, ", ")));
  if (!fault.nearest.empty()) add(fmt::format("this works: \"{}\"", fault.nearest));
  return {ErrorClass::no_route, fmt::format("the clearance cannot be followed {}{}", item, fault.reason),
          {options.field.map, {}, "--clearance"}, hint};
}

}  // namespace

void preview_command(const PreviewOptions& options, const Loader& load, std::ostream& out) {
  check_outputs_of(options);
  const aircraft::Aircraft aircraft = aircraft_told(options);
  planning::PreviewRequest request;
  request.plan = plan_request(options, aircraft);
  if (!options.to.empty()) request.to = request.plan.route.to;
  constexpr double kMinute = 60.0;
  request.hold_short_s = options.hold_short_min * kMinute;
  motion::Conditions conditions = conditions_told(options, aircraft);

  const std::shared_ptr<const network::Network> loaded = load(options.field);
  const network::Network& network = *loaded;
  Findings findings;
  conditions.air.pressure_pa = pressure_pa(options, network, findings);
  const routing::Clearance clearance = about_map(options, [&] {
    return for_option("--clearance",
                      [&] { return routing::read_clearance(options.clearance, routing::make_vocabulary(network)); });
  });
  auto answer =
      about_map(options, [&] { return planning::make_preview(network, aircraft, conditions, clearance, request); });
  if (const auto* fault = std::get_if<routing::CannotFollow>(&answer)) throw cannot_follow(options, *fault);
  if (const auto* none = std::get_if<routing::NoRoute>(&answer)) throw no_route(options, *none);
  planning::Preview& preview = std::get<planning::Preview>(answer);
  preview.plan.findings.insert(preview.plan.findings.end(), findings.begin(), findings.end());

  const report::PlanContext context{{&network, &aircraft, &conditions, options.field.map}, &preview.request};
  Outputs outputs;
  if (!options.output.files.empty()) {
    const std::vector<io::FeatureLayer> layers = report::preview_layers(preview, context);
    for (const std::string& file : options.output.files) outputs.add_layers(file, layers);
  }
  if (options.html) outputs.add_text(*options.html, report::preview_page(preview, context, units_of(options)));
  outputs.release(out, options.output.format == "json" ? report::preview_json(preview, context)
                                                       : report::preview_text(preview, context, units_of(options)));
}

}  // namespace solotaxi::cli
