// The columns file and the fleet file.
#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>

#include "solotaxi/base/error.hpp"
#include "solotaxi/io/aircraft_file.hpp"
#include "solotaxi/io/movement_file.hpp"

namespace solotaxi::io {
namespace {

constexpr std::array<std::string_view, kColumns> kColumnKeys{"time",      "field", "stand", "runway",   "aircraft",
                                                             "direction", "mass",  "queue", "taxi_time"};

Error refusal(const std::filesystem::path& file, const toml::node& node, const std::string& key, const std::string& message,
              const std::string& hint = {}) {
  return data_error(message, Where{file.string(), static_cast<long>(node.source().begin.line), key}, hint);
}

toml::table parse(const std::filesystem::path& file) {
  std::error_code ignored;
  std::ifstream in(file, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  if (!in || std::filesystem::is_directory(file, ignored))
    throw data_error("cannot be read", Where{file.string(), {}, {}}, "check the path");
  try {
    return toml::parse(text.view());
  } catch (const toml::parse_error& e) {
    throw data_error("is not valid TOML: " + std::string(e.description()),
                     Where{file.string(), static_cast<long>(e.source().begin.line), {}});
  }
}

std::string filled_text(const std::filesystem::path& file, const toml::node& node, const std::string& key) {
  const auto text = node.value_exact<std::string>();
  if (!text || text->empty()) throw refusal(file, node, key, "a text in quotes is expected");
  return *text;
}

const toml::table& settings_table(const std::filesystem::path& file, const toml::node& node, const std::string& key) {
  if (!node.is_table()) throw refusal(file, node, key, "a table is expected");
  return *node.as_table();
}

}  // namespace

MovementColumns read_columns(const std::filesystem::path& file) {
  MovementColumns out;
  for (const auto& [section, node] : parse(file)) {
    const std::string name(section.str());
    if (name == "separator") {
      const std::string text = filled_text(file, node, name);
      if (text != "," && text != ";" && text != "\t" && text != "|")
        throw refusal(file, node, name, "is no separator", "a comma, semicolon, tabulator or upright stroke");
      out.separator = text.front();
      continue;
    }
    if (name != "columns" && name != "directions" && name != "places")
      throw refusal(file, node, name, "unknown key", "separator, and the sections columns, directions, places");
    for (const auto& [key_of, entry] : settings_table(file, node, name)) {
      const std::string key(key_of.str()), path = name + "." + key;
      if (name == "places") {
        for (const auto& [area, place] : settings_table(file, entry, path))
          out.places[key][std::string(area.str())] = filled_text(file, place, path + "." + std::string(area.str()));
        continue;
      }
      const std::string text = filled_text(file, entry, path);
      const auto column = std::find(kColumnKeys.begin(), kColumnKeys.end(), key);
      if (name == "columns" && column != kColumnKeys.end())
        out.names[static_cast<std::size_t>(column - kColumnKeys.begin())] = text;
      else if (name == "directions" && (key == "out" || key == "in"))
        (key == "out" ? out.out : out.in) = text;
      else
        throw refusal(file, entry, path, "unknown key",
                      name == "columns" ? fmt::format("{}", fmt::join(kColumnKeys, ", ")) : "out and in");
    }
  }
  if (out.in == out.out)
    throw data_error("out and in are the same word", Where{file.string(), {}, "directions"}, "they must differ");
  return out;
}

std::map<std::string, FleetEntry> read_fleet(const std::filesystem::path& file) {
  std::map<std::string, FleetEntry> fleet;
  for (const auto& [type, node] : parse(file)) {
    const std::string name(type.str());
    std::optional<std::string> aircraft;
    std::optional<double> mass_kg;
    for (const auto& [key, value] : settings_table(file, node, name)) {
      if (key.str() == "aircraft")
        aircraft = filled_text(file, value, name + ".aircraft");
      else if (key.str() == "mass_kg" && value.is_number())
        mass_kg = value.value<double>();
      else
        throw refusal(file, value, name + "." + std::string(key.str()), "unknown key, or no number",
                      "aircraft (a text) and mass_kg (a number)");
    }
    if (!aircraft) throw refusal(file, node, name, "aircraft is missing", "a name or a file");
    const bool path = aircraft->find('/') != std::string::npos || aircraft->ends_with(".toml");
    FleetEntry entry;
    try {
      entry.aircraft = find_aircraft(path ? (file.parent_path() / *aircraft).string() : *aircraft);
    } catch (const Error& e) {
      throw refusal(file, node, name, e.message(), e.hint());
    }
    entry.mass_kg = mass_kg.value_or(entry.aircraft.mass_kg);
    if (!(entry.mass_kg >= entry.aircraft.mass_min_kg && entry.mass_kg <= entry.aircraft.mass_max_kg))
      throw refusal(file, node, name + ".mass_kg",
                    fmt::format("{} kg is out of range {} to {} kg of {}", entry.mass_kg, entry.aircraft.mass_min_kg,
                                entry.aircraft.mass_max_kg, entry.aircraft.name));
    fleet.emplace(name, std::move(entry));
  }
  if (fleet.empty()) throw data_error("names no aircraft", Where{file.string(), {}, {}}, "one table for each name");
  return fleet;
}

}  // namespace solotaxi::io
