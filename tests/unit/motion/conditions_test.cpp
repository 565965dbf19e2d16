#include "solotaxi/motion/conditions.hpp"

#include <catch2/catch.hpp>
#include <limits>

#include "solotaxi/base/error.hpp"

using namespace solotaxi;
using namespace solotaxi::motion;

namespace {
template <class Change>
std::string faulty(Change change) {
  Conditions c;
  change(c);
  try {
    check_ranges(c, aircraft::Aircraft{});
  } catch (const Error& e) {
    CHECK(e.error_class() == ErrorClass::usage);
    return e.where().feature;
  }
  return "";
}
}  // namespace

TEST_CASE("the default conditions are within every range") {
  CHECK(faulty([](Conditions&) {}).empty());
}

TEST_CASE("a mass outside the aircraft's is refused, its bounds are allowed") {
  CHECK(faulty([](Conditions& c) { c.mass_kg = 41999; }) == "mass_kg");
  CHECK(faulty([](Conditions& c) { c.mass_kg = 79001; }) == "mass_kg");
  CHECK(faulty([](Conditions& c) { c.mass_kg = std::numeric_limits<double>::quiet_NaN(); }) == "mass_kg");
  CHECK(faulty([](Conditions& c) { c.mass_kg = 42000; }).empty());
  CHECK(faulty([](Conditions& c) { c.mass_kg = 79000; }).empty());
}

TEST_CASE("air, limits and constants out of range are refused by name") {
  CHECK(faulty([](Conditions& c) { c.air.temperature_k = 0; }) == "oat_c");
  CHECK(faulty([](Conditions& c) { c.air.pressure_pa = 1013.25; }) == "pressure_hpa");
  CHECK(faulty([](Conditions& c) { c.n1_limit_pct = 19; }) == "n1_limit_pct");
  CHECK(faulty([](Conditions& c) { c.n1_limit_pct = 101; }) == "n1_limit_pct");
  CHECK(faulty([](Conditions& c) { c.mu_rolling = 0; }) == "mu_rolling");
  CHECK(faulty([](Conditions& c) { c.breakaway_factor = 0.9; }) == "breakaway_factor");
  CHECK(faulty([](Conditions& c) { c.braking_m_s2 = std::numeric_limits<double>::infinity(); }) == "braking_m_s2");
  CHECK(faulty([](Conditions& c) { c.unknown_grade_sigmas = -1; }) == "unknown_grade_sigmas");
}
