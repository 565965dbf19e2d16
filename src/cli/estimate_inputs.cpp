#include "estimate_inputs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "estimate_digests.hpp"
#include "field.hpp"
#include "output.hpp"
#include "question.hpp"
#include "report/common.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/aircraft_file.hpp"
#include "solotaxi/io/spread_file.hpp"

namespace solotaxi::cli {
namespace {

/// "IDENT=FILE"
std::pair<std::string, std::string> named_file(const char* option, const std::string& text) {
  const std::size_t sign = text.find('=');
  if (sign == std::string::npos || sign == 0 || sign + 1 == text.size())
    throw Error(ErrorClass::usage, fmt::format("\"{}\" is not IDENT=FILE", text), {{}, {}, option},
                "IDENT is what the movements call the field");
  return {text.substr(0, sign), text.substr(sign + 1)};
}

/// The options of one field as other commands have them.
std::map<std::string, FieldOptions> fields_of(const EstimateOptions& options) {
  std::map<std::string, FieldOptions> fields;
  for (const std::string& text : options.fields) {
    const auto [ident, file] = named_file("--field", text);
    FieldOptions field;
    field.map = file;
    if (!fields.emplace(ident, std::move(field)).second)
      throw Error(ErrorClass::usage, fmt::format("the field \"{}\" is given twice", ident), {{}, {}, "--field"});
  }
  for (const std::string& text : options.dems) {
    const auto [ident, file] = named_file("--dem", text);
    const auto field = fields.find(ident);
    if (field == fields.end())
      throw Error(ErrorClass::usage, fmt::format("there is no field \"{}\"", ident), {{}, {}, "--dem"},
                  "write the name that --field gives");
    field->second.dems.push_back(file);
  }
  return fields;
}

void check_files(const EstimateOptions& options, const std::map<std::string, FieldOptions>& fields) {
  std::vector<std::string> inputs{options.movements};
  for (const auto& [ident, field] : fields)
    for (const std::string& file : inputs_of(field)) inputs.push_back(file);
  if (options.columns) inputs.push_back(*options.columns);
  if (options.fleet) inputs.push_back(*options.fleet);
  if (options.spread) inputs.push_back(*options.spread);
  std::vector<NamedOutput> outputs;
  if (options.per_flight) outputs.push_back({"--out", *options.per_flight, {".csv"}});
  if (options.rejects) outputs.push_back({"--rejects", *options.rejects, {".csv"}});
  if (options.checkpoint) outputs.push_back({"--checkpoint", *options.checkpoint, {ending_of(*options.checkpoint)}});
  if (options.totals) outputs.push_back({"--totals", *options.totals, {".csv"}});
  if (options.sums) outputs.push_back({"--sums", *options.sums, {".json"}});
  check_outputs(outputs, inputs);
}

std::optional<planning::Spreads> spreads_of(const EstimateOptions& options) {
  if (options.draws == 0) return std::nullopt;
  return options.spread ? io::read_spreads(*options.spread) : planning::usual_spreads();
}

}  // namespace

EstimateInputs::EstimateInputs(const EstimateOptions& options)
    : options_((check_files(options, fields_of(options)), options)),
      spreads_(spreads_of(options)),
      estimate_(options.mass_class_kg, spreads_) {
  if (options.columns) columns_ = io::read_columns(*options.columns);
  if (options.fleet) fleet_ = io::read_fleet(*options.fleet);
  read_fields();
  context_.movements_file = options.movements;
  context_.mass_class_kg = options.mass_class_kg;
  context_.oat_c = options.question.oat_c;
  context_.qnh_hpa = options.question.qnh_hpa;
  context_.surface = options.question.surface;
}

void EstimateInputs::read_fields() {
  for (const auto& [name, unused] : columns_.places)
    if (!fields_of(options_).contains(name))
      throw Error(ErrorClass::data, fmt::format("places of the field \"{}\", which is not given", name),
                  {options_.columns.value_or(""), {}, "places"}, "the fields are those of --field");
  for (const auto& [ident, field] : fields_of(options_)) {
    network::Network network = load_network(field);
    Findings findings;
    const double pressure = pressure_pa(options_.question, network, findings);
    for (Finding& f : findings) {
      f.where.id = ident;
      context_.findings.push_back(std::move(f));
    }
    if (std::string thanks = report::attribution(network, field.map); !thanks.empty())
      context_.attribution.push_back(ident + ": " + thanks);
    const auto places = columns_.places.find(ident);
    fields_.emplace(ident, estimate_.add_field(
                               ident, std::move(network), pressure,
                               places == columns_.places.end() ? std::map<std::string, std::string>{} : places->second));
  }
}

std::size_t EstimateInputs::add_aircraft(const std::string& name, const aircraft::Aircraft& aircraft, double mass_kg) {
  QuestionOptions question = options_.question;
  question.mass_kg = mass_kg;
  const std::size_t id = estimate_.add_aircraft(name, aircraft, conditions_of(question, aircraft));
  aircraft_.emplace(name, id);
  return id;
}

Digests EstimateInputs::digests() const {
  std::vector<std::pair<std::string, std::string>> files;
  for (const auto& [ident, field] : fields_of(options_)) {
    files.emplace_back("field " + ident + ", map", field.map);
    for (const std::string& raster : field.dems) files.emplace_back("field " + ident + ", raster", raster);
  }
  if (options_.columns) files.emplace_back("columns file", *options_.columns);
  if (options_.spread) files.emplace_back("spread file", *options_.spread);
  return digests_of(options_, files, fleet_);
}

std::optional<std::size_t> EstimateInputs::aircraft(std::string_view told) {
  const std::lock_guard lock(mutex_);
  if (const auto known = aircraft_.find(told); known != aircraft_.end()) return known->second;
  const std::string name(told);
  if (const auto entry = fleet_.find(name); entry != fleet_.end())
    return add_aircraft(name, entry->second.aircraft, entry->second.mass_kg);
  const std::vector<std::string> built_in = io::aircraft_names();  // files are the fleet file's to name
  if (std::find(built_in.begin(), built_in.end(), name) == built_in.end()) return std::nullopt;
  const aircraft::Aircraft aircraft = io::find_aircraft(name);
  return add_aircraft(name, aircraft, aircraft.mass_kg);
}

}  // namespace solotaxi::cli
