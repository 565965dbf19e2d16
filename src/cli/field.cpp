#include "field.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>

#include "output.hpp"
#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/io/network_file.hpp"
#include "solotaxi/io/raster.hpp"
#include "solotaxi/io/survey_file.hpp"
#include "solotaxi/network/build.hpp"

namespace solotaxi::cli {

namespace {

/// Offsets by input file. Throws Error (usage) for one that is not read, or no number.
std::map<std::string, double> offsets_of(const FieldOptions& options) {
  const std::vector<std::string> inputs = inputs_of(options);
  std::map<std::string, double> offsets;
  for (const std::string& text : options.height_offsets) {
    const auto equals = text.rfind('=');
    const std::string file = text.substr(0, equals), number = equals == std::string::npos ? "" : text.substr(equals + 1);
    double value = 0.0;
    const char *first = number.data() + (number.starts_with('+') ? 1 : 0), *last = number.data() + number.size();
    const auto [end, fault] = std::from_chars(first, last, value);
    constexpr double kMost = 1000.0;
    if (fault != std::errc{} || end != last || !(std::abs(value) <= kMost))
      throw usage_error("--height-offset: \"" + text + "\" is not FILE=M with M from -1000 to 1000 m");
    if (std::find(inputs.begin(), inputs.end(), file) == inputs.end())
      throw usage_error("--height-offset: \"" + file + "\" is none of the inputs",
                        "write the file as it is given elsewhere");
    offsets[file] = value;
  }
  return offsets;
}

std::vector<std::unique_ptr<terrain::HeightSource>> open_sources(const FieldOptions& options,
                                                                 const std::map<std::string, double>& offsets) {
  const auto offset = [&](const std::string& file) {
    const auto found = offsets.find(file);
    return found == offsets.end() ? std::nullopt : std::optional(found->second);
  };
  std::vector<std::unique_ptr<terrain::HeightSource>> sources;
  for (const std::string& file : options.dems) {
    io::RasterOptions raster;
    if (options.dem_sigma_m) raster.noise.sigma_m = *options.dem_sigma_m;
    raster.offset_m = offset(file);
    sources.push_back(io::open_raster(file, raster));
  }
  for (const std::string& file : options.surveys) {
    io::SurveyOptions survey;
    survey.offset_m = offset(file);
    sources.push_back(io::open_survey(file, survey));
  }
  return sources;
}

/// A network that was built before: its heights and joins are in it.
network::Network read_built(const FieldOptions& options, const io::MapOptions& reading) {
  for (const auto& [name, given] : {std::pair{"--dem", !options.dems.empty()},
                                    {"--survey", !options.surveys.empty()},
                                    {"--height-offset", !options.height_offsets.empty()},
                                    {"--mapping", options.mapping.has_value()},
                                    {"--aerodrome", options.aerodrome.has_value()}})
    if (given)
      throw usage_error(std::string(name) + ": " + options.map + " is a network that was built already",
                        "give it with the map the network is built from");
  network::Network network = io::read_network(options.map);
  const Findings told = io::unused_time_findings(reading);
  network.findings.insert(network.findings.end(), told.begin(), told.end());
  return network;
}

}  // namespace

io::MapOptions map_options(const FieldOptions& options) {
  io::MapOptions reading;
  if (options.mapping) reading.mapping = *options.mapping;
  if (options.at) reading.at = parse_instant(*options.at);
  reading.notams.assign(options.notams.begin(), options.notams.end());
  return reading;
}

network::Network load_network(const FieldOptions& options, const std::vector<airfield::RawFeature>& lines) {
  const io::MapOptions reading = map_options(options);
  const std::map<std::string, double> offsets = offsets_of(options);
  const std::vector<std::unique_ptr<terrain::HeightSource>> opened = open_sources(options, offsets);
  std::vector<const terrain::HeightSource*> sources;
  for (const auto& source : opened) sources.push_back(source.get());
  if (io::is_network_file(options.map)) {
    if (!lines.empty())
      throw usage_error("new centrelines are drawn into a map, and " + options.map + " is a network that was built already",
                        "screen the map the network is built from, or draw the lines into the network");
    return read_built(options, reading);
  }
  try {
    airfield::InterpretOptions interpretation;
    interpretation.aerodrome = options.aerodrome;
    interpretation.access_no_is_closed = options.access_no == "closed";
    network::BuildOptions build;
    build.snap_m = options.snap_m;
    if (const auto of_map = offsets.find(options.map); of_map != offsets.end()) build.heights.map_offset_m = of_map->second;
    airfield::RawMap map = io::read_map(options.map, reading);
    map.features.insert(map.features.end(), lines.begin(), lines.end());
    return network::build_network(airfield::interpret(map, interpretation), build, sources);
  } catch (const Error& error) {
    throw error.in_file(options.map);
  }
}

}  // namespace solotaxi::cli
