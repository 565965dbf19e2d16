#include "measures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <regex>

#include "solotaxi/units/quantity.hpp"
#include "text_layout.hpp"

namespace solotaxi::report {

namespace {

constexpr double kPoundForce_n = 4.4482216152605;  // exact: 0.45359237 kg × 9.80665 m/s²

std::string told(double value, const ToldUnit& unit) { return with_unit(value * unit.factor, unit.decimals, unit.name); }

}  // namespace

ToldUnit Measures::length_unit() const { return us_ ? ToldUnit{in_feet(Metres{1.0}), "ft", 0} : ToldUnit{1.0, "m", 0}; }

ToldUnit Measures::fuel_unit() const { return us_ ? ToldUnit{in_pounds(Kilograms{1.0}), "lb", 1} : ToldUnit{1.0, "kg", 1}; }

ToldUnit Measures::thrust_unit() const { return us_ ? ToldUnit{1.0 / kPoundForce_n, "lbf", 0} : ToldUnit{1e-3, "kN", 1}; }

std::string Measures::length(double metres) const { return told(metres, length_unit()); }

std::string Measures::fuel(double kilograms) const { return told(kilograms, fuel_unit()); }

std::string Measures::mass(double kilograms) const {
  return us_ ? with_unit(in_pounds(Kilograms{kilograms}), 0, "lb") : with_unit(kilograms, 0, "kg");
}

std::string Measures::speed(double metres_per_second) const {
  return us_ ? with_unit(in_knots(MetresPerSecond{metres_per_second}), 1, "kt") : with_unit(metres_per_second, 1, "m/s");
}

std::string Measures::retold(const std::string& sentence) const {
  // "260 m", "1.2 t", "358 of 1,054 m"
  static const std::regex kQuantity(
      R"((?:([0-9][0-9,]*) of )?([0-9][0-9,]*(?:\.([0-9]+))?)(?: |\xC2\xA0)(m|kg|t)(?![A-Za-z0-9/²³]))");
  const auto unit_of = [&](const std::string& unit, int decimals) -> ToldUnit {
    if (!us_) return {1.0, unit, decimals};
    if (unit == "m") return {in_feet(Metres{1.0}), "ft", decimals};
    if (unit == "kg") return {in_pounds(Kilograms{1.0}), "lb", decimals};
    return {in_pounds(Kilograms{1000.0}), "lb", 0};
  };
  const auto value_of = [](std::string digits) {
    std::erase(digits, ',');
    return std::stod(digits);
  };
  std::string out;
  auto from = sentence.cbegin();
  for (std::sregex_iterator found(sentence.begin(), sentence.end(), kQuantity), end; found != end; ++found) {
    const std::smatch& match = *found;
    out.append(from, match[0].first);
    from = match[0].second;
    const ToldUnit unit = unit_of(match[4], static_cast<int>(match[3].length()));
    if (match[1].matched) out += number(value_of(match[1]) * unit.factor, 0) + " of ";
    out += told(value_of(match[2]), unit);
  }
  return out.append(from, sentence.cend());
}

std::string grade_words(double grade) { return grade_words(grade, 0.0); }

std::string grade_words(double grade, double sd) {
  if (!std::isfinite(grade)) return "not known";
  const std::string percent = number(grade * 100.0, 1);
  const std::string sign = grade > 0 && !percent.starts_with("0.0") ? "+" : "";
  return sd > 0.0 ? fmt::format("{}{} ± {}", sign, percent, with_unit(sd * 100.0, 1, "%"))
                  : sign + with_unit(grade * 100.0, 1, "%");
}

}  // namespace solotaxi::report
