#include "question.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "output.hpp"
#include "solotaxi/io/aircraft_file.hpp"
#include "solotaxi/terrain/heights.hpp"

namespace solotaxi::cli {
namespace {

routing::Place place(const char* option, const std::string& text) {
  return for_option(option, [&] { return routing::parse_place(text); });
}

/// "PLACE" or "PLACE=STOP_MIN".
routing::Via via(const std::string& text) {
  constexpr double kMost = 1440.0;
  const std::size_t sign = text.rfind('=');
  if (sign == std::string::npos) return {place("--via", text), 0.0};
  double minutes = 0.0;
  const char* last = text.data() + text.size();
  const auto [end, fault] = std::from_chars(text.data() + sign + 1, last, minutes);
  if (fault != std::errc{} || end != last || !(minutes >= 0.0 && minutes <= kMost))
    throw Error(ErrorClass::usage, fmt::format("\"{}\" is no stop in minutes", text.substr(sign + 1)), {{}, {}, "--via"},
                fmt::format("write PLACE=STOP_MIN with 0 to {} minutes, or PLACE alone", kMost));
  return {place("--via", text.substr(0, sign)), minutes};
}

/// A value that must lie in a range the aircraft sets.
double within(const char* option, double value, double least, double most, const char* unit, const std::string& aircraft) {
  if (value >= least && value <= most) return value;
  throw Error(ErrorClass::usage, fmt::format("{} is out of range {} to {} {} of {}", value, least, most, unit, aircraft),
              {{}, {}, option});
}

/// Elevation for the pressure: the map's, else the mean height of the network, else sea level; the latter two are findings.
Metres field_elevation(const network::Network& network, Findings& findings) {
  if (network.elevation) return *network.elevation;
  double sum = 0.0;
  std::size_t known = 0;
  for (const network::Node& node : network.nodes)
    if (std::isfinite(node.height_m)) sum += node.height_m, ++known;
  const bool any = known > 0;
  const double mean_m = any ? sum / static_cast<double>(known) : 0.0;
  Finding finding;
  finding.code = any ? "elevation-from-heights" : "elevation-unknown";
  finding.severity = any ? Severity::note : Severity::caution;
  finding.text =
      any ? fmt::format(
                "the map gives no elevation of the aerodrome; air pressure is that of the network's mean "
                "height, {:.0f} m",
                mean_m)
          : "neither map nor raster gives an elevation; air pressure is taken as at sea level, which flatters the "
            "thrust at a high field (give --pressure-altitude, or a raster with --dem)";
  findings.push_back(finding);
  return Metres{mean_m};
}

}  // namespace

void check_outputs_of(const QuestionOptions& options) {
  std::vector<std::string> inputs = inputs_of(options.field);
  inputs.push_back(options.aircraft);
  std::vector<NamedOutput> outputs;
  for (const std::string& file : options.output.files) outputs.push_back({"--out", file, io::layer_endings()});
  if (options.html) outputs.push_back({"--html", *options.html, {".html"}});
  check_outputs(outputs, inputs);
}

routing::RouteRequest field_request_of(const QuestionOptions& options) {
  routing::RouteRequest request;
  request.close = options.close;
  request.avoid = options.avoid;
  request.landing_roll_m = options.landing_roll_m;
  return request;
}

routing::RouteRequest request_of(const QuestionOptions& options) {
  routing::RouteRequest request = field_request_of(options);
  request.from = place("--from", options.from);
  if (!options.to.empty()) request.to = place("--to", options.to);
  for (const std::string& text : options.via) request.via.push_back(via(text));
  if (options.direction)
    request.direction = *options.direction == "departure" ? routing::Direction::departure : routing::Direction::arrival;
  return request;
}

aircraft::Aircraft aircraft_of(const QuestionOptions& options) {
  return for_option("--aircraft", [&] { return io::find_aircraft(options.aircraft); });
}

motion::Conditions conditions_of(const QuestionOptions& options, const aircraft::Aircraft& aircraft) {
  motion::Conditions c;
  c.mass_kg = within("--mass", options.mass_kg.value_or(aircraft.mass_kg), aircraft.mass_min_kg, aircraft.mass_max_kg, "kg",
                     aircraft.name);
  c.n1_limit_pct = within("--n1-limit", options.n1_limit_pct.value_or(aircraft.n1_limit_pct), aircraft.idle_n1_pct, 100.0,
                          "%", aircraft.name);
  c.air.temperature_k = options.oat_c + 273.15;
  c.surface = options.surface == "wet"            ? motion::Surface::wet
              : options.surface == "contaminated" ? motion::Surface::contaminated
                                                  : motion::Surface::dry;
  c.unknown_grade_sigmas = options.unknown_grade_pct / 100.0 / terrain::kUnknownGradeSd;
  c.require = options.require == "standing" ? motion::Require::standing : motion::Require::rolling;
  return c;
}

double pressure_pa(const QuestionOptions& options, const network::Network& network, Findings& findings) {
  return (options.pressure_altitude_ft ? aircraft::pressure_from_pressure_altitude(*options.pressure_altitude_ft)
                                       : aircraft::pressure_from_qnh(options.qnh_hpa, field_elevation(network, findings)))
      .value();
}

report::Units units_of(const QuestionOptions& options) {
  return options.units == "us" ? report::Units::us : report::Units::si;
}

Error no_route(const QuestionOptions& options, const routing::NoRoute& none) {
  std::string hint = none.hint;
  const bool said = std::all_of(none.blocking.begin(), none.blocking.end(),
                                [&](const std::string& name) { return none.reason.find(name) != std::string::npos; });
  if (!said) {
    constexpr std::size_t kShown = 8;
    const std::size_t shown = std::min(kShown, none.blocking.size());
    hint += fmt::format("{}in the way: {}", hint.empty() ? "" : "; ",
                        fmt::join(none.blocking.begin(), none.blocking.begin() + static_cast<std::ptrdiff_t>(shown), ", "));
    if (shown < none.blocking.size()) hint += fmt::format(" and {} more", none.blocking.size() - shown);
  }
  return {ErrorClass::no_route,
          fmt::format("no route from {} to {}: {}", options.from, options.to, none.reason),
          {options.field.map, {}, {}},
          hint};
}

}  // namespace solotaxi::cli
