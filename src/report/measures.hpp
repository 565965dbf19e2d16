// Quantities in words, in SI or US units.
#pragma once

#include <string>

#include "solotaxi/report/route_report.hpp"

namespace solotaxi::report {

/// A unit quantities are told in: the SI value times the factor.
struct ToldUnit {
  double factor = 1.0;
  std::string name;
  int decimals = 0;
};

class Measures {
 public:
  explicit Measures(Units units) : us_(units == Units::us) {}
  [[nodiscard]] ToldUnit length_unit() const;                       ///< m or ft
  [[nodiscard]] ToldUnit fuel_unit() const;                         ///< kg or lb
  [[nodiscard]] ToldUnit thrust_unit() const;                       ///< kN or lbf
  [[nodiscard]] std::string length(double metres) const;            ///< "1,234 m" or "4,049 ft"
  [[nodiscard]] std::string fuel(double kilograms) const;           ///< "62.3 kg" or "137.3 lb"
  [[nodiscard]] std::string mass(double kilograms) const;           ///< "60,000 kg" or "132,277 lb"
  /// A sentence written elsewhere, its lengths and masses ("260 m", "5.6 kg", "1.2 t") told like the others.
  [[nodiscard]] std::string retold(const std::string& sentence) const;
  [[nodiscard]] std::string speed(double metres_per_second) const;  ///< "5.4 m/s" or "10.5 kt"

 private:
  bool us_;
};

/// Rise over run as "+1.2 %"; "not known" for NaN.
[[nodiscard]] std::string grade_words(double grade);
/// With its standard deviation, "+1.2 ± 0.4 %"; without one where it is not known or 0.
[[nodiscard]] std::string grade_words(double grade, double sd);

}  // namespace solotaxi::report
