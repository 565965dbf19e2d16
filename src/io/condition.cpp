#include "io/condition.hpp"

#include <fmt/format.h>

#include <array>

#include "io/availability.hpp"
#include "io/timesheet.hpp"
#include "solotaxi/airfield/tag_value.hpp"

namespace solotaxi::io {
namespace {

/// Least wingspans of the classes I to VI and of what lies above [m]: the FAA's airplane design groups, from memory.
constexpr std::array<double, 7> kClasses_m{0.0, 15.0, 24.0, 36.0, 52.0, 65.0, 80.0};
constexpr std::array<std::string_view, 6> kClassNames{"I", "II", "III", "IV", "V", "VI"};

std::optional<std::size_t> class_of(const std::string& name) {
  for (std::size_t i = 0; i < kClassNames.size(); ++i)
    if (name == kClassNames[i]) return i;
  return std::nullopt;
}

std::optional<double> metres(const XmlElement& e) {
  const auto value = airfield::parse_number(e.text);
  const std::string& unit = e.attribute("uom");
  if (!value || (unit != "M" && unit != "FT" && !unit.empty())) return std::nullopt;
  return *value * (unit == "FT" ? 0.3048 : 1.0);
}

std::optional<double> kilograms(const XmlElement& e) {
  const auto value = airfield::parse_number(e.text);
  const std::string& unit = e.attribute("uom");
  if (!value) return std::nullopt;
  if (unit == "T") return *value * 1000.0;
  if (unit == "KG") return *value;
  if (unit == "LB") return *value * 0.45359237;
  return std::nullopt;
}

Truth compare(double value, std::optional<double> limit, const std::string& interpretation) {
  if (!limit) return Truth::unknown;
  if (interpretation == "ABOVE") return truth(value > *limit);
  if (interpretation == "AT_OR_ABOVE") return truth(value >= *limit);
  if (interpretation == "BELOW") return truth(value < *limit);
  if (interpretation == "AT_OR_BELOW") return truth(value <= *limit);
  return Truth::unknown;
}

Truth is_type(const std::string& type) {
  if (type == "LANDPLANE" || type == "ALL") return Truth::yes;
  for (const char* other : {"SEAPLANE", "AMPHIBIAN", "HELICOPTER", "GYROCOPTER", "TILT_WING", "GLIDER", "HANGGLIDER",
                            "PARAGLIDER", "ULTRA_LIGHT", "BALLOON", "UAV"})
    if (type == other) return Truth::no;
  return Truth::unknown;
}

Truth has_engine(const std::string& engine) {
  if (engine == "JET" || engine == "ALL") return Truth::yes;
  return engine == "PISTON" || engine == "TURBOPROP" ? Truth::no : Truth::unknown;
}

Truth property(const XmlElement& of, const XmlElement& p, const Aeroplane& aeroplane, std::set<std::string>& unknown) {
  Truth answer = Truth::unknown;
  if (p.name == "type" && of.name == "AircraftCharacteristic")
    answer = is_type(p.text);
  else if (p.name == "engine")
    answer = has_engine(p.text);
  else if (p.name == "wingSpan")
    answer = compare(aeroplane.wingspan_m, metres(p), of.value("wingSpanInterpretation"));
  else if (p.name == "weight")
    answer = compare(aeroplane.mass_kg, kilograms(p), of.value("weightInterpretation"));
  else if (const auto c = class_of(p.text); p.name == "classWingSpan" && c)
    answer = truth(aeroplane.wingspan_m >= kClasses_m[*c] && aeroplane.wingspan_m < kClasses_m[*c + 1]);
  else if (p.text == "ALL")
    answer = Truth::yes;
  if (answer == Truth::unknown) unknown.insert(fmt::format("{} {}", p.name, p.text));
  return answer;
}

bool is_told_of(const XmlElement& p) { return !p.is_nil() && !p.text.empty() && !p.name.ends_with("Interpretation"); }

/// Every property of an aircraft, flight or weather.
Truth characteristic(const XmlElement& holder, const Aeroplane& aeroplane, std::set<std::string>& unknown) {
  Truth all = Truth::yes;
  for (const XmlElement& object : holder.children)
    for (const XmlElement& p : object.children)
      if (is_told_of(p)) all = both(all, property(object, p, aeroplane, unknown));
  return all;
}

bool is_operand(const XmlElement& e) {
  return !e.is_nil() && !e.children.empty() &&
         (e.name == "aircraft" || e.name == "flight" || e.name == "weather" || e.name == "subCondition");
}

}  // namespace

Truth meets(const XmlElement& condition, const Aeroplane& aeroplane, std::optional<Instant> at,
            std::set<std::string>& unknown) {
  const XmlElement* combination = condition.child("ConditionCombination");
  if (combination == nullptr) return Truth::yes;
  const std::string& logic = combination->value("logicalOperator");
  Truth all = Truth::yes, any = Truth::no;
  bool operands = false;
  for (const XmlElement& e : combination->children) {
    if (!is_operand(e)) continue;
    operands = true;
    const Truth one = e.name == "subCondition" ? meets(e, aeroplane, at, unknown) : characteristic(e, aeroplane, unknown);
    all = both(all, one);
    any = either(any, one);
  }
  Truth result = !operands ? Truth::yes : logic == "OR" ? any : all;
  if (logic == "NOT") result = negated(result);
  std::string why;
  const Truth now = holds(*combination, at, why);
  if (now == Truth::unknown) unknown.insert(why);
  return both(result, now);
}

void add_thresholds(const XmlElement& element, Thresholds& thresholds) {
  for (const XmlElement& e : element.children) {
    if (e.is_nil()) continue;
    if (e.name == "wingSpan")
      if (const auto m = metres(e)) thresholds.wingspans_m.insert(*m);
    if (e.name == "weight")
      if (const auto kg = kilograms(e)) thresholds.masses_kg.insert(*kg);
    if (e.name == "classWingSpan")
      if (const auto c = class_of(e.text)) thresholds.wingspans_m.insert({kClasses_m[*c], kClasses_m[*c + 1]});
    add_thresholds(e, thresholds);
  }
}

std::string words_of(const XmlElement& condition) {
  const XmlElement* combination = condition.child("ConditionCombination");
  if (combination == nullptr) return "all";
  const std::string& logic = combination->value("logicalOperator");
  std::string text;
  int count = 0;
  for (const XmlElement& e : combination->children) {
    if (!is_operand(e)) continue;
    std::string one;
    if (e.name == "subCondition") {
      one = words_of(e);
    } else {
      for (const XmlElement& object : e.children)
        for (const XmlElement& p : object.children) {
          if (!is_told_of(p)) continue;
          std::string how = object.value(p.name + "Interpretation");
          for (char& c : how) c = c == '_' ? ' ' : c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
          one +=
              fmt::format("{}{} {}{}{}{}", one.empty() ? (e.name == "flight" ? "flight " : "") : ", ", p.name,
                          how.empty() ? "" : how + " ", p.text, p.attribute("uom").empty() ? "" : " ", p.attribute("uom"));
        }
    }
    if (one.empty()) continue;
    text += (text.empty() ? "" : logic == "OR" ? " or " : " and ") + one;
    ++count;
  }
  if (text.empty()) return "all";
  if (logic == "NOT") return "not " + text;
  return count > 1 ? "(" + text + ")" : text;
}

}  // namespace solotaxi::io
