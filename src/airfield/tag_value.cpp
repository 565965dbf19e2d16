#include "solotaxi/airfield/tag_value.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <string>

namespace solotaxi::airfield {
namespace {

std::string_view trim(std::string_view text) {
  const auto first = text.find_first_not_of(" \t\r\n");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1);
}

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return out;
}

/// Takes a number off the front of `text`.
std::optional<double> take_number(std::string_view& text) {
  text = trim(text);
  if (!text.empty() && text.front() == '+') text.remove_prefix(1);
  const std::size_t digit = !text.empty() && text.front() == '-' ? 1 : 0;
  // from_chars would take "inf" and "nan".
  if (text.size() <= digit || !((text[digit] >= '0' && text[digit] <= '9') || text[digit] == '.')) return std::nullopt;
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
  if (error != std::errc{} || !std::isfinite(value)) return std::nullopt;
  text = trim(text.substr(static_cast<std::size_t>(end - text.data())));
  return value;
}

struct Unit {
  std::string_view name;
  double si;
};

std::optional<double> unit_factor(std::string_view name, std::span<const Unit> units) {
  const std::string wanted = lower(name);
  for (const Unit& unit : units)
    if (unit.name == wanted) return unit.si;
  return std::nullopt;
}

constexpr double kFoot = 0.3048, kInch = 0.0254, kMile = 1609.344;  // exact by definition, m
constexpr Unit kLengths[] = {{"", 1.0},       {"m", 1.0},   {"metre", 1.0}, {"metres", 1.0}, {"meter", 1.0},
                             {"meters", 1.0}, {"cm", 0.01}, {"km", 1000.0}, {"ft", kFoot},   {"foot", kFoot},
                             {"feet", kFoot}, {"'", kFoot}, {"in", kInch},  {"\"", kInch},   {"mi", kMile}};
constexpr double kPound = 0.45359237;  // exact by definition, kg
constexpr Unit kMasses[] = {{"", 1000.0}, {"t", 1000.0}, {"kg", 1.0}, {"lbs", kPound}, {"lb", kPound}};
constexpr Unit kSpeeds[] = {
    {"", 1.0 / 3.6},           {"km/h", 1.0 / 3.6},        {"kmh", 1.0 / 3.6},       {"kph", 1.0 / 3.6},
    {"kmph", 1.0 / 3.6},       {"kt", 1852.0 / 3600.0},    {"kts", 1852.0 / 3600.0}, {"kn", 1852.0 / 3600.0},
    {"knot", 1852.0 / 3600.0}, {"knots", 1852.0 / 3600.0}, {"mph", kMile / 3600.0},  {"m/s", 1.0}};

constexpr auto kTags = std::to_array<std::string_view>({"aeroway",
                                                        "ref",
                                                        "name",
                                                        "ele",
                                                        "width",
                                                        "surface",
                                                        "maxspeed",
                                                        "oneway",
                                                        "access",
                                                        "bridge",
                                                        "tunnel",
                                                        "layer",
                                                        "maxwingspan",
                                                        "maxweight",
                                                        "grade",
                                                        "no_take_off",
                                                        "no_landing",
                                                        "parking_position",
                                                        "feature_id",
                                                        "from_node",
                                                        "to_node",
                                                        "area",
                                                        "closed",
                                                        "runway",
                                                        "taxiway",
                                                        "icao",
                                                        "iata",
                                                        "name:en",
                                                        "holding_position:type",
                                                        "holding_position",
                                                        "area:aeroway",
                                                        "disused:aeroway",
                                                        "abandoned:aeroway",
                                                        "construction:aeroway",
                                                        "proposed:aeroway",
                                                        "historic:aeroway",
                                                        "disused",
                                                        "abandoned",
                                                        "aerodrome:type",
                                                        "type",
                                                        "loc_name",
                                                        "alt_name",
                                                        "official_name"});

}  // namespace

std::optional<double> parse_number(std::string_view text) {
  const auto value = take_number(text);
  return text.empty() ? value : std::nullopt;
}

std::optional<Metres> parse_length(std::string_view text) {
  const auto value = take_number(text);
  if (!value) return std::nullopt;
  if (text.size() > 1 && text.front() == '\'') {  // feet and inches: 30'6"
    text.remove_prefix(1);
    const auto inches = take_number(text);
    if (!inches || text != "\"" || *inches < 0 || *inches >= 12) return std::nullopt;
    return Metres{*value * kFoot + std::copysign(*inches * kInch, *value)};
  }
  const auto factor = unit_factor(text, kLengths);
  if (!factor || !std::isfinite(*value * *factor)) return std::nullopt;
  return Metres{*value * *factor};
}

std::optional<Kilograms> parse_mass(std::string_view text) {
  const auto value = take_number(text);
  if (!value || *value <= 0) return std::nullopt;
  const auto factor = unit_factor(text, kMasses);
  if (!factor || !std::isfinite(*value * *factor)) return std::nullopt;
  return Kilograms{*value * *factor};
}

std::optional<double> parse_grade(std::string_view text) {
  const auto value = take_number(text);
  if (!value || (text != "" && text != "%") || std::abs(*value) > 50.0) return std::nullopt;
  return *value / 100.0;
}

std::optional<MetresPerSecond> parse_speed(std::string_view text) {
  const auto value = take_number(text);
  if (!value || *value <= 0) return std::nullopt;
  const auto factor = unit_factor(text, kSpeeds);
  if (!factor || !std::isfinite(*value * *factor)) return std::nullopt;
  return MetresPerSecond{*value * *factor};
}

std::optional<int> parse_layer(std::string_view text) {
  const auto value = parse_number(text);
  if (!value || std::abs(*value) > 10 || std::nearbyint(*value) != *value) return std::nullopt;
  return static_cast<int>(*value);
}

std::optional<OneWay> parse_one_way(std::string_view text) {
  const std::string value = lower(trim(text));
  if (value.empty() || value == "no" || value == "false" || value == "0") return OneWay::no;
  if (value == "yes" || value == "true" || value == "1") return OneWay::forward;
  if (value == "-1" || value == "reverse") return OneWay::backward;
  return std::nullopt;
}

bool is_set(std::string_view text) {
  const std::string value = lower(trim(text));
  return !(value.empty() || value == "no" || value == "false" || value == "0");
}

std::span<const std::string_view> tags_read() { return kTags; }

}  // namespace solotaxi::airfield
