#include "solotaxi/units/quantity.hpp"

#include <catch2/catch.hpp>
#include <type_traits>

using namespace solotaxi;

TEST_CASE("dimensions follow the algebra") {
  STATIC_REQUIRE(std::is_same_v<decltype(6_m / 2_s), MetresPerSecond>);
  STATIC_REQUIRE(std::is_same_v<decltype(60_kg * kGravity), Newtons>);
  STATIC_REQUIRE(std::is_same_v<decltype(5_N * 2_m), Joules>);
  STATIC_REQUIRE(std::is_same_v<decltype(5_N * 2_m / 1_s), Watts>);
  STATIC_REQUIRE(std::is_same_v<decltype(6_m / 2_m), double>);
  CHECK((6_m / 2_s).value() == Approx(3.0));
  CHECK(6_m / 2_m == Approx(3.0));
}

TEST_CASE("a quantity costs no more than a double") {
  STATIC_REQUIRE(sizeof(Metres) == sizeof(double));
  STATIC_REQUIRE(std::is_trivially_copyable_v<Metres>);
}

TEST_CASE("customary units are exact by definition") {
  // International agreement of 1959 on yard and pound; the nautical mile of 1929 [S:ISO80000-3].
  CHECK(knots(1).value() == Approx(0.514444444444).epsilon(1e-12));
  CHECK(in_knots(10_kt) == Approx(10.0));
  CHECK(feet(1000).value() == Approx(304.8));
  CHECK(in_feet(304.8_m) == Approx(1000.0));
  CHECK(pounds(1).value() == 0.45359237);
  CHECK(in_pounds(1_kg) == Approx(2.20462262185));
}

TEST_CASE("angles and grades keep their sign") {
  CHECK(Radians::degrees(-90).value() == Approx(-std::numbers::pi / 2));
  CHECK((1.5_pct).value() == Approx(0.015));
  CHECK((-Grade::percent(2)).in_percent() == Approx(-2.0));
}
