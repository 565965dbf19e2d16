#include <deque>

#include "commands.hpp"
#include "field.hpp"
#include "output.hpp"
#include "plan_question.hpp"
#include "solotaxi/io/change_file.hpp"
#include "solotaxi/io/traffic_file.hpp"
#include "solotaxi/planning/screen.hpp"
#include "solotaxi/report/screen_report.hpp"

namespace solotaxi::cli {
namespace {

/// One aircraft asked about; the first's request stands for all in reports.
struct Asked {
  aircraft::Aircraft aircraft;
  motion::Conditions conditions;
  planning::ScreenRequest request;
};

void check_screen_outputs(const ScreenOptions& options) {
  std::vector<std::string> inputs = inputs_of(options.field), endings = io::layer_endings();
  std::vector<NamedOutput> outputs;
  inputs.insert(inputs.end(), options.fleet.begin(), options.fleet.end());
  for (const auto& file : {options.traffic, options.what_if})
    if (file) inputs.push_back(*file);
  endings.push_back(".csv");
  for (const std::string& file : options.output.files) outputs.push_back({"--out", file, endings});
  if (options.html) outputs.push_back({"--html", *options.html, {".html"}});
  check_outputs(outputs, inputs);
}

std::deque<Asked> fleet_asked(const ScreenOptions& options, const std::vector<planning::Change>& changes) {
  std::deque<Asked> out;
  for (const std::string& name : options.fleet.empty() ? std::vector<std::string>{options.aircraft} : options.fleet) {
    PlanOptions of_one = options;
    of_one.aircraft = name;
    Asked& asked = out.emplace_back();
    asked.aircraft = aircraft_told(of_one);
    asked.conditions = conditions_told(of_one, asked.aircraft);
    asked.request.plan = plan_request(of_one, asked.aircraft, field_request_of(options));
    asked.request.movements_a_year = options.movements;
    asked.request.mend = options.mend;
    asked.request.changes = changes;
    asked.request.standard_routes = options.standard_routes;
    asked.request.trunk_kg_m = options.trunk_kg_m;
  }
  return out;
}

report::AircraftScreen screened(const network::Network& network, const std::optional<network::Network>& changed,
                                const Asked& asked) {
  planning::ScreenRequest as_it_is = asked.request;
  as_it_is.changes.clear();
  report::AircraftScreen out{&asked.aircraft, &asked.conditions,
                             planning::screen(network, asked.aircraft, asked.conditions, as_it_is), std::nullopt};
  if (!changed) return out;
  // The same movements before and after, whatever has a way then.
  planning::ScreenRequest after = asked.request;
  after.traffic.clear();
  for (const planning::ScreenPair& p : out.now.pairs)
    if (p.movements > 0.0) after.traffic.push_back({p.move, p.movements});
  out.changed = planning::screen(*changed, asked.aircraft, asked.conditions, after);
  for (Finding& f : out.changed->findings) f.text = "with the changes, " + f.text;
  return out;
}

network::Network changed_field(const FieldOptions& options, const network::Network& network, const io::ChangeFile& what_if,
                               report::ScreenContext& context) {
  if (what_if.centrelines.empty()) return planning::changed_network(network, what_if.changes);
  const network::Network with_lines = load_network(options, what_if.centrelines);
  for (const airfield::RawFeature& line : what_if.centrelines) context.new_lines.push_back(line.id);
  const Findings found = planning::check_new_lines(network, with_lines, context.new_lines);
  context.findings.insert(context.findings.end(), found.begin(), found.end());
  return planning::changed_network(with_lines, what_if.changes);
}

}  // namespace

void screen_command(const ScreenOptions& options, const Loader& load, std::ostream& out) {
  check_screen_outputs(options);
  const auto what_if = options.what_if ? io::read_changes(*options.what_if) : io::ChangeFile{};
  std::deque<Asked> fleet = fleet_asked(options, what_if.changes);

  const std::shared_ptr<const network::Network> loaded = load(options.field);
  const network::Network& network = *loaded;
  report::ScreenContext context{&network, &fleet.front().request, options.field.map, {}};
  const double at_field_pa = pressure_pa(options, network, context.findings);
  const auto traffic = options.traffic ? io::read_traffic(*options.traffic, network) : std::vector<planning::Traffic>{};
  std::optional<network::Network> changed;
  if (options.what_if) {
    try {
      changed = changed_field(options.field, network, what_if, context);
    } catch (const Error& error) {
      throw error.in_file(*options.what_if);
    }
  }
  if (!what_if.centrelines.empty()) context.changed_network = &*changed;
  std::vector<report::AircraftScreen> screens;
  for (Asked& asked : fleet) {
    asked.conditions.air.pressure_pa = at_field_pa;
    asked.request.traffic = traffic;
    screens.push_back(about_map(options, [&] { return screened(network, changed, asked); }));
  }

  Outputs outputs;
  std::vector<io::FeatureLayer> layers;
  for (const std::string& file : options.output.files) {
    if (ending_of(file) == ".csv") {
      outputs.add_text(file, report::screen_csv(screens, context));
      continue;
    }
    if (layers.empty()) layers = report::screen_layers(screens, context);
    outputs.add_layers(file, layers);
  }
  if (options.html) outputs.add_text(*options.html, report::screen_page(screens, context, units_of(options)));
  outputs.release(out, options.output.format == "json" ? report::screen_json(screens, context)
                                                       : report::screen_text(screens, context, units_of(options)));
}

}  // namespace solotaxi::cli
