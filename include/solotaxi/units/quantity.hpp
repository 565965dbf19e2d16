// Strong types for the quantities the engine computes with.
//
// A quantity is one double in SI units with its dimension in the type, so that metres times metres are square metres and
// a time cannot be passed for a length. Everything is constexpr and compiles to the machine code of plain doubles.
// Bulk columns, files and JSON keys stay plain doubles with a unit suffix (`length_m`, `fuel_kg`).
//
// Construct with a literal (`35.8_m`) or the explicit constructor (`Metres{35.8}`); read with `.value()` (SI).
// No value is checked or clamped here: NaN and infinity pass through.
#pragma once

#include <compare>
#include <cmath>
#include <numbers>

namespace solotaxi {

/// A quantity of dimension mass^M length^L time^T, held in kg, m, s.
template <int M, int L, int T>
class Quantity {
 public:
  constexpr Quantity() = default;
  constexpr explicit Quantity(double si) : si_(si) {}
  /// The value in SI units.
  [[nodiscard]] constexpr double value() const { return si_; }

  constexpr auto operator<=>(const Quantity&) const = default;
  constexpr Quantity operator-() const { return Quantity{-si_}; }
  constexpr Quantity& operator+=(Quantity o) { si_ += o.si_; return *this; }
  constexpr Quantity& operator-=(Quantity o) { si_ -= o.si_; return *this; }
  constexpr Quantity& operator*=(double k) { si_ *= k; return *this; }
  constexpr Quantity& operator/=(double k) { si_ /= k; return *this; }
  friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity{a.si_ + b.si_}; }
  friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity{a.si_ - b.si_}; }
  friend constexpr Quantity operator*(Quantity a, double k) { return Quantity{a.si_ * k}; }
  friend constexpr Quantity operator*(double k, Quantity a) { return Quantity{a.si_ * k}; }
  friend constexpr Quantity operator/(Quantity a, double k) { return Quantity{a.si_ / k}; }

 private:
  double si_ = 0.0;
};

template <int M1, int L1, int T1, int M2, int L2, int T2>
constexpr auto operator*(Quantity<M1, L1, T1> a, Quantity<M2, L2, T2> b) {
  if constexpr (M1 + M2 == 0 && L1 + L2 == 0 && T1 + T2 == 0)
    return a.value() * b.value();
  else
    return Quantity<M1 + M2, L1 + L2, T1 + T2>{a.value() * b.value()};
}

template <int M1, int L1, int T1, int M2, int L2, int T2>
constexpr auto operator/(Quantity<M1, L1, T1> a, Quantity<M2, L2, T2> b) {
  if constexpr (M1 == M2 && L1 == L2 && T1 == T2)
    return a.value() / b.value();
  else
    return Quantity<M1 - M2, L1 - L2, T1 - T2>{a.value() / b.value()};
}

using Kilograms = Quantity<1, 0, 0>;
using Metres = Quantity<0, 1, 0>;
using Seconds = Quantity<0, 0, 1>;
using MetresPerSecond = Quantity<0, 1, -1>;
using MetresPerSecond2 = Quantity<0, 1, -2>;
using KilogramsPerSecond = Quantity<1, 0, -1>;
using Newtons = Quantity<1, 1, -2>;
using Joules = Quantity<1, 2, -2>;
using Watts = Quantity<1, 2, -3>;
using Pascals = Quantity<1, -1, -2>;

/// Standard acceleration of free fall [ISO 80000-3], m/s².
inline constexpr MetresPerSecond2 kGravity{9.80665};

/// An angle in radians. In plan right is positive (clockwise seen from above), as everywhere in solotaxi.
class Radians {
 public:
  constexpr Radians() = default;
  constexpr explicit Radians(double rad) : rad_(rad) {}
  static constexpr Radians degrees(double deg) { return Radians{deg * std::numbers::pi / 180.0}; }
  [[nodiscard]] constexpr double value() const { return rad_; }
  [[nodiscard]] constexpr double in_degrees() const { return rad_ * 180.0 / std::numbers::pi; }
  constexpr auto operator<=>(const Radians&) const = default;
  constexpr Radians operator-() const { return Radians{-rad_}; }
  friend constexpr Radians operator+(Radians a, Radians b) { return Radians{a.rad_ + b.rad_}; }
  friend constexpr Radians operator-(Radians a, Radians b) { return Radians{a.rad_ - b.rad_}; }
  friend constexpr Radians operator*(Radians a, double k) { return Radians{a.rad_ * k}; }

 private:
  double rad_ = 0.0;
};

/// A longitudinal grade, rise over run; uphill is positive, 0.015 is 1.5 %.
class Grade {
 public:
  constexpr Grade() = default;
  constexpr explicit Grade(double rise_over_run) : tan_(rise_over_run) {}
  static constexpr Grade percent(double pct) { return Grade{pct / 100.0}; }
  [[nodiscard]] constexpr double value() const { return tan_; }
  [[nodiscard]] constexpr double in_percent() const { return tan_ * 100.0; }
  constexpr auto operator<=>(const Grade&) const = default;
  constexpr Grade operator-() const { return Grade{-tan_}; }
  friend constexpr Grade operator+(Grade a, Grade b) { return Grade{a.tan_ + b.tan_}; }
  friend constexpr Grade operator*(Grade a, double k) { return Grade{a.tan_ * k}; }

 private:
  double tan_ = 0.0;
};

/// One international knot is 1852 m an hour [ISO 80000-3 / 1929 conference, exact].
constexpr MetresPerSecond knots(double kt) { return MetresPerSecond{kt * 1852.0 / 3600.0}; }
constexpr double in_knots(MetresPerSecond v) { return v.value() * 3600.0 / 1852.0; }
/// One international foot is 0.3048 m [exact].
constexpr Metres feet(double ft) { return Metres{ft * 0.3048}; }
constexpr double in_feet(Metres h) { return h.value() / 0.3048; }
/// One avoirdupois pound is 0.45359237 kg [exact].
constexpr Kilograms pounds(double lb) { return Kilograms{lb * 0.45359237}; }
constexpr double in_pounds(Kilograms m) { return m.value() / 0.45359237; }

inline namespace literals {
constexpr Metres operator""_m(long double v) { return Metres{static_cast<double>(v)}; }
constexpr Metres operator""_m(unsigned long long v) { return Metres{static_cast<double>(v)}; }
constexpr Seconds operator""_s(long double v) { return Seconds{static_cast<double>(v)}; }
constexpr Seconds operator""_s(unsigned long long v) { return Seconds{static_cast<double>(v)}; }
constexpr Kilograms operator""_kg(long double v) { return Kilograms{static_cast<double>(v)}; }
constexpr Kilograms operator""_kg(unsigned long long v) { return Kilograms{static_cast<double>(v)}; }
constexpr Newtons operator""_N(long double v) { return Newtons{static_cast<double>(v)}; }
constexpr Newtons operator""_N(unsigned long long v) { return Newtons{static_cast<double>(v)}; }
constexpr MetresPerSecond operator""_mps(long double v) { return MetresPerSecond{static_cast<double>(v)}; }
constexpr MetresPerSecond operator""_kt(long double v) { return knots(static_cast<double>(v)); }
constexpr MetresPerSecond operator""_kt(unsigned long long v) { return knots(static_cast<double>(v)); }
constexpr Radians operator""_deg(long double v) { return Radians::degrees(static_cast<double>(v)); }
constexpr Radians operator""_deg(unsigned long long v) { return Radians::degrees(static_cast<double>(v)); }
constexpr Grade operator""_pct(long double v) { return Grade::percent(static_cast<double>(v)); }
}  // namespace literals

}  // namespace solotaxi
