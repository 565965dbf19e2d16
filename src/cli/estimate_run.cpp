#include "estimate_run.hpp"

#include <fmt/format.h>

#include <chrono>
#include <filesystem>
#include <ostream>
#include <utility>

#include "field.hpp"
#include "question.hpp"
#include "report/common.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/aircraft_file.hpp"

namespace solotaxi::cli {
namespace {

constexpr std::int64_t kRowsBetweenLooks = 4096;
constexpr double kProgressEvery_s = 0.5;

double now_s() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

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
  std::vector<NamedOutput> outputs;
  if (options.per_flight) outputs.push_back({"--out", *options.per_flight, {".csv"}});
  if (options.rejects) outputs.push_back({"--rejects", *options.rejects, {".csv"}});
  check_outputs(outputs, inputs);
}

}  // namespace

EstimateRun::EstimateRun(const EstimateOptions& options, std::ostream* progress)
    : options_(options), progress_(progress), estimate_(options.mass_class_kg) {
  check_files(options, fields_of(options));
  if (options.columns) columns_ = io::read_columns(*options.columns);
  if (options.fleet) fleet_ = io::read_fleet(*options.fleet);
  reader_.emplace(options.movements, columns_);
  read_fields();
  context_.movements_file = options.movements;
  context_.mass_class_kg = options.mass_class_kg;
  context_.oat_c = options.question.oat_c;
  context_.qnh_hpa = options.question.qnh_hpa;
  context_.surface = options.question.surface;
  if (options.per_flight) {
    per_flight_.emplace(*options.per_flight);
    per_flight_->text() += report::movement_heading();
  }
  if (options.rejects) {
    rejects_.emplace(*options.rejects);
    rejects_->text() += "row,line,reason\n";
  }
}

void EstimateRun::read_fields() {
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

std::size_t EstimateRun::add_aircraft(const std::string& name, const aircraft::Aircraft& aircraft, double mass_kg) {
  QuestionOptions question = options_.question;
  question.mass_kg = mass_kg;
  const std::size_t id = estimate_.add_aircraft(name, aircraft, conditions_of(question, aircraft));
  aircraft_.emplace(name, id);
  return id;
}

/// An aircraft of the fleet, else one of the data directory; files are the fleet file's to name.
std::optional<std::size_t> EstimateRun::aircraft_of_row() {
  const std::string_view told = reader_->movement().aircraft;
  if (const auto known = aircraft_.find(told); known != aircraft_.end()) return known->second;
  const std::string name(told);
  if (const auto entry = fleet_.find(name); entry != fleet_.end())
    return add_aircraft(name, entry->second.aircraft, entry->second.mass_kg);
  std::error_code ignored;
  if (name.empty() || name.find('/') != std::string::npos ||
      !std::filesystem::is_regular_file(io::data_directory() / "aircraft" / (name + ".toml"), ignored))
    return std::nullopt;
  const aircraft::Aircraft aircraft = io::find_aircraft(name);
  return add_aircraft(name, aircraft, aircraft.mass_kg);
}

void EstimateRun::reject(const std::string& reason) {
  ++rejected_;
  if (context_.first_reject.empty())
    context_.first_reject = fmt::format("row {} (line {}): {}", reader_->number(), reader_->line(), reason);
  if (!rejects_) return;
  std::string& text = rejects_->text();
  io::append_fixed(text, static_cast<std::int64_t>(reader_->number()), 0);
  text += ',';
  io::append_fixed(text, static_cast<std::int64_t>(reader_->line()), 0);
  text += ',';
  io::append_csv(text, reason);
  text += '\n';
  rejects_->pass_on();
}

void EstimateRun::read_row() {
  if (!reader_->fault().empty()) return reject(reader_->fault());
  const io::Movement& m = reader_->movement();
  const auto field = fields_.find(m.field);
  if (field == fields_.end()) return reject(fmt::format("the field \"{:.40}\" is none of --field", m.field));
  const std::optional<std::size_t> aircraft = aircraft_of_row();
  if (!aircraft)
    return reject(
        fmt::format("the aircraft \"{:.40}\" is neither in the fleet file nor in the data directory", m.aircraft));
  std::string refusal;
  const planning::MovementFigures* figures = estimate_.add(
      {field->second, *aircraft, m.stand, m.runway, m.departure, m.mass_kg, m.queue_s, m.taxi_time_s, m.hour, m.month},
      refusal);
  if (figures == nullptr) return reject(refusal);
  if (!per_flight_) return;
  report::append_movement(per_flight_->text(),
                          {reader_->number(), m.time, m.field, m.stand, m.runway, m.aircraft, m.departure}, *figures);
  per_flight_->pass_on();
}

void EstimateRun::tell_progress(bool last) {
  if (progress_ == nullptr) return;
  const double now = now_s();
  if (!last && now - told_s_ < kProgressEvery_s) return;
  told_s_ = now;
  *progress_ << fmt::format("\r{} rows, {:.0f} a second, {} plans made{}", rows_,
                            static_cast<double>(rows_) / std::max(1e-3, now - began_s_), estimate_.plans(),
                            last ? "\n" : "   ")
             << std::flush;
}

void EstimateRun::run() {
  began_s_ = told_s_ = now_s();
  while (reader_->next()) {
    ++rows_;
    read_row();
    if (rows_ % kRowsBetweenLooks == 0) tell_progress(false);
  }
  tell_progress(true);
  if (rows_ == 0)
    throw data_error("has a heading and no rows", Where{options_.movements, {}, {}}, "one row a movement is expected");
  totals_ = estimate_.totals();
  totals_.rows = rows_;
  totals_.rejected = rejected_;
  constexpr double kPercent = 100.0;
  if (static_cast<double>(rejected_) * kPercent > options_.reject_share_pct * static_cast<double>(rows_)) {
    if (rejects_) rejects_->finish().commit();
    throw data_error(fmt::format("{} of {} rows cannot be used, over {} %; {}", rejected_, rows_, options_.reject_share_pct,
                                 context_.first_reject),
                     Where{options_.movements, {}, {}},
                     rejects_ ? "the reasons are in " + *options_.rejects + "; nothing else was written"
                              : "--rejects FILE tells the reasons, --reject-share PCT allows more");
  }
}

void EstimateRun::release(std::ostream& out, const std::string& text) {
  Outputs outputs;
  if (per_flight_) outputs.add(per_flight_->finish());
  if (rejects_) outputs.add(rejects_->finish());
  outputs.release(out, text);
}

}  // namespace solotaxi::cli
