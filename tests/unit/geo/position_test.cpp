#include "solotaxi/geo/position.hpp"

#include <catch2/catch.hpp>

#include "solotaxi/base/error.hpp"

using namespace solotaxi;

TEST_CASE("a heading is clockwise from north and a right turn is positive") {
  CHECK(heading({0, 0}, {0, 1}).in_degrees() == Approx(0.0));
  CHECK(heading({0, 0}, {1, 0}).in_degrees() == Approx(90.0));
  CHECK(heading({0, 0}, {-1, 0}).in_degrees() == Approx(-90.0));
  CHECK(deflection(Radians::degrees(170), Radians::degrees(-170)).in_degrees() == Approx(20.0));
  CHECK(deflection(Radians::degrees(0), Radians::degrees(-90)).in_degrees() == Approx(-90.0));
  CHECK(deflection(Radians::degrees(0), Radians::degrees(180)).in_degrees() == Approx(180.0));
}

TEST_CASE("a position off the Earth or not a number is refused, not wrapped") {
  CHECK_THROWS_AS(LatLon::degrees(90.1, 0), Error);
  CHECK_THROWS_AS(LatLon::degrees(0, 180.1), Error);
  CHECK_THROWS_AS(LatLon::degrees(std::nan(""), 0), Error);
}
