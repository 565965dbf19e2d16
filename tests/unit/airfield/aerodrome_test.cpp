// Several aerodromes in one file, and none: rule 13 of real maps.
#include <catch2/catch.hpp>

#include "sketch.hpp"
#include "solotaxi/base/error.hpp"

using namespace solotaxi;
using namespace solotaxi::test;

namespace {
/// Two invented aerodromes 8 km apart, the first with an area, the second a point; a helipad beside.
Sketch two() {
  Sketch sketch;
  sketch.least().area(
      "way/3", {{-500, -500}, {2500, -500}, {2500, 1000}, {-500, 1000}},
      {{"aeroway", "aerodrome"}, {"icao", "XXQA"}, {"iata", "XQA"}, {"name", "Førde Øst Field"}, {"ele", "150 ft"}});
  sketch.runway("way/11", {{8000, 0}, {8000, 1500}}, {{"ref", "18/36"}})
      .taxiway("way/12", {{8000, 0}, {8200, 0}})
      .point("node/13", {8000, 700}, {{"aeroway", "aerodrome"}, {"ref", "SB"}, {"name", "South Bay Strip"}})
      .point("node/14", {1000, 3000}, {{"aeroway", "heliport"}, {"name", "Clinic"}})
      .point("node/15", {1000, 3100}, {{"aeroway", "aerodrome"}, {"aerodrome:type", "heliport"}});
  return sketch;
}
std::string ident(const std::string& asked) {
  airfield::InterpretOptions options;
  options.aerodrome = asked;
  return two().read(options).ident;
}
}  // namespace

TEST_CASE("Several aerodromes and none chosen is an error of the data that lists them") {
  try {
    (void)two().read();
    FAIL("no error");
  } catch (const Error& error) {
    CHECK(error.error_class() == ErrorClass::data);
    CHECK(error.hint().find("XXQA (Førde Øst Field)") != std::string::npos);
    CHECK(error.hint().find("SB (South Bay Strip)") != std::string::npos);
    CHECK(error.hint().find("Clinic") == std::string::npos);
  }
}

TEST_CASE("An aerodrome is chosen by code, name, part of a name or position") {
  CHECK(ident("XXQA") == "XXQA");
  CHECK(ident("xqa") == "XXQA");
  CHECK(ident("sb") == "SB");
  CHECK(ident("South bay strip") == "SB");
  CHECK(ident("bay") == "SB");
  CHECK(ident("Førde") == "XXQA");
  const auto frame = two().frame;
  const auto position = [&](LocalXY p) {
    const LatLon at = frame.to_geodetic(p);
    return std::to_string(at.lat_deg()) + ", " + std::to_string(at.lon_deg());
  };
  CHECK(ident(position({100, 100})) == "XXQA");
  CHECK(ident(position({7000, 100})) == "SB");
  CHECK_THROWS_WITH(ident(position({40000, 100})), Catch::Contains("no aerodrome within"));
  CHECK_THROWS_AS(ident("95,10"), Error);
  CHECK_THROWS_WITH(ident("QQQQ"), Catch::Contains("no aerodrome \"QQQQ\""));
  CHECK_THROWS_AS(ident(""), Error);
}

TEST_CASE("Only what belongs to the chosen aerodrome is kept") {
  airfield::InterpretOptions options;
  options.aerodrome = "XXQA";
  const auto field = two().read(options);
  CHECK(field.name == "Førde Øst Field");
  CHECK(field.elevation->value() == Approx(45.72));
  REQUIRE(field.runways.size() == 1);
  CHECK(field.runways[0].id == "way/1");
  REQUIRE(field.centrelines.size() == 1);
  CHECK(has(field.findings, "other-aerodrome", "way/12"));
  options.aerodrome = "SB";
  CHECK(two().read(options).runways[0].id == "way/11");
}

TEST_CASE("Without an aerodrome feature everything is taken, with a finding") {
  const auto field = Sketch().least().read();
  CHECK(field.ident == "");
  CHECK(field.runways.size() == 1);
  CHECK(count(field.findings, "no-aerodrome") == 1);
}

TEST_CASE("Leftovers far from the only aerodrome are left out with a finding") {
  Sketch sketch;
  sketch.least()
      .area("way/3", {{-500, -500}, {2500, -500}, {2500, 1000}, {-500, 1000}}, {{"aeroway", "aerodrome"}, {"icao", "XXQA"}})
      .taxiway("way/4", {{9000, 0}, {9100, 0}})
      .taxiway("way/5", {{2600, 0}, {2700, 0}});
  const auto field = sketch.read();
  CHECK(field.centrelines.size() == 2);
  CHECK(has(field.findings, "beyond-aerodrome", "way/4"));
}

TEST_CASE("The node and the area of one aerodrome are one") {
  Sketch sketch;
  sketch.least()
      .point("node/1", {1000, 100}, {{"aeroway", "aerodrome"}, {"icao", "XXQA"}, {"ele", "12"}})
      .area("way/3", {{-500, -500}, {2500, -500}, {2500, 1000}, {-500, 1000}},
            {{"aeroway", "aerodrome"}, {"icao", "XXQA"}});
  const auto field = sketch.read();
  CHECK(field.ident == "XXQA");
  CHECK(field.elevation->value() == 12.0);
  CHECK(count(field.findings, "aerodrome-repeated") == 1);
}
