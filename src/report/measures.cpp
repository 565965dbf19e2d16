#include "measures.hpp"

#include <fmt/format.h>

#include <cmath>

#include "solotaxi/units/quantity.hpp"
#include "text_layout.hpp"

namespace solotaxi::report {

std::string Measures::length(double metres) const {
  return us_ ? with_unit(in_feet(Metres{metres}), 0, "ft") : with_unit(metres, 0, "m");
}

std::string Measures::fuel(double kilograms) const {
  return us_ ? with_unit(in_pounds(Kilograms{kilograms}), 1, "lb") : with_unit(kilograms, 1, "kg");
}

std::string Measures::mass(double kilograms) const {
  return us_ ? with_unit(in_pounds(Kilograms{kilograms}), 0, "lb") : with_unit(kilograms, 0, "kg");
}

std::string Measures::speed(double metres_per_second) const {
  return us_ ? with_unit(in_knots(MetresPerSecond{metres_per_second}), 1, "kt") : with_unit(metres_per_second, 1, "m/s");
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
