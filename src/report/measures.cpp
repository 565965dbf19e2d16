#include "measures.hpp"

#include <cmath>

#include "solotaxi/units/quantity.hpp"
#include "text_layout.hpp"

namespace solotaxi::report {

std::string Measures::length(double metres) const {
  return us_ ? number(in_feet(Metres{metres}), 0) + " ft" : number(metres, 0) + " m";
}

std::string Measures::fuel(double kilograms) const {
  return us_ ? number(in_pounds(Kilograms{kilograms}), 1) + " lb" : number(kilograms, 1) + " kg";
}

std::string Measures::mass(double kilograms) const {
  return us_ ? number(in_pounds(Kilograms{kilograms}), 0) + " lb" : number(kilograms, 0) + " kg";
}

std::string Measures::speed(double metres_per_second) const {
  return us_ ? number(in_knots(MetresPerSecond{metres_per_second}), 1) + " kt" : number(metres_per_second, 1) + " m/s";
}

std::string grade_words(double grade) {
  if (!std::isfinite(grade)) return "not known";
  const std::string text = number(grade * 100.0, 1);
  return (grade > 0 && text != "0.0" ? "+" : "") + text + " %";
}

}  // namespace solotaxi::report
