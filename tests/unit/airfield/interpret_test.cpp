#include "solotaxi/airfield/interpret.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "sketch.hpp"
#include "solotaxi/base/error.hpp"

using namespace solotaxi;
using namespace solotaxi::airfield;
using namespace solotaxi::test;

TEST_CASE("Tags of a taxiway become its limits") {
  Sketch sketch;
  sketch.least().taxiway("way/3", {{0, 300}, {500, 300}},
                         {{"ref", "A;B"},
                          {"name", "not used"},
                          {"width", "75 ft"},
                          {"maxspeed", "20 knots"},
                          {"maxwingspan", "36"},
                          {"oneway", "-1"},
                          {"layer", "1"},
                          {"bridge", "yes"},
                          {"surface", "asphalt"}});
  const Airfield field = sketch.read();
  REQUIRE(field.centrelines.size() == 2);
  const Centreline& line = field.centrelines[1];
  CHECK(line.id == "way/3");
  CHECK(line.kind == LineKind::taxiway);
  CHECK(line.name == "A;B");
  CHECK(line.width->value() == Approx(22.86));
  CHECK(in_knots(*line.speed_limit) == Approx(20.0));
  CHECK(line.wingspan_limit->value() == 36.0);
  CHECK(line.one_way == OneWay::backward);
  CHECK(line.layer == 1);
  CHECK(line.bridge);
  CHECK_FALSE(line.tunnel);
  CHECK_FALSE(line.closed);
  CHECK(line.surface == "asphalt");
}

TEST_CASE("Values that cannot be read are left out and reported") {
  Sketch sketch;
  sketch.least().taxiway(
      "way/3", {{0, 300}, {500, 300}},
      {{"width", "wide"}, {"maxspeed", "walk"}, {"maxwingspan", "-5"}, {"oneway", "alternating"}, {"layer", "1;2"}});
  const Airfield field = sketch.read();
  const Centreline& line = field.centrelines[1];
  CHECK_FALSE(line.width);
  CHECK_FALSE(line.speed_limit);
  CHECK_FALSE(line.wingspan_limit);
  CHECK(line.one_way == OneWay::no);
  CHECK(line.layer == 0);
  CHECK(count(field.findings, "tag-not-understood") == 5);
  CHECK(has(field.findings, "tag-not-understood", "way/3"));
}

TEST_CASE("Taxilanes are known by either tag, names in any script stay as they are") {
  Sketch sketch;
  sketch.least()
      .line("way/3", {{0, 300}, {500, 300}}, {{"aeroway", "taxilane"}, {"ref", "滑行道甲"}})
      .taxiway("way/4", {{0, 400}, {500, 400}}, {{"taxiway", "apron"}, {"name", "O Inner"}});
  const Airfield field = sketch.read();
  CHECK(field.centrelines[1].kind == LineKind::taxilane);
  CHECK(field.centrelines[1].name == "滑行道甲");
  CHECK(field.centrelines[2].kind == LineKind::taxilane);
  CHECK(field.centrelines[2].name == "O Inner");
}

TEST_CASE("A name holds no control characters, so that it can be typed as it is shown") {
  Sketch sketch;
  sketch.least().taxiway("way/3", {{0, 200}, {0, 400}}, {{"ref", " 1\r\n2\t"}});
  sketch.taxiway("way/4", {{0, 400}, {0, 500}}, {{"ref", "Ä  \x1b[31m 滑\x7f"}});
  const auto field = sketch.read();
  CHECK(field.centrelines[1].name == "1 2");
  CHECK(field.centrelines[2].name == "Ä [31m 滑");
}

TEST_CASE("Closed lines are shut, access=no only where it is asked for") {
  Sketch sketch;
  sketch.least()
      .taxiway("way/3", {{0, 300}, {500, 300}}, {{"closed", "yes"}})
      .taxiway("way/4", {{0, 400}, {500, 400}}, {{"access", "no"}})
      .taxiway("way/5", {{0, 500}, {500, 500}}, {{"disused", "yes"}});
  const Airfield open = sketch.read();
  CHECK(open.centrelines[1].closed);
  CHECK_FALSE(open.centrelines[2].closed);
  CHECK(open.centrelines[3].closed);
  CHECK(has(open.findings, "access-no", "way/4"));
  CHECK(has(open.findings, "closed-in-map", "way/3"));
  InterpretOptions options;
  options.access_no_is_closed = true;
  CHECK(sketch.read(options).centrelines[2].closed);
}

TEST_CASE("Disused and planned features are out unless the live key is there") {
  Sketch sketch;
  sketch.least()
      .line("way/3", {{0, 300}, {500, 300}}, {{"disused:aeroway", "taxiway"}})
      .line("way/4", {{0, 400}, {500, 400}}, {{"aeroway", "construction"}, {"construction", "taxiway"}})
      .taxiway("way/5", {{0, 500}, {500, 500}}, {{"historic:aeroway", "runway"}, {"ref", "F"}});
  const Airfield field = sketch.read();
  REQUIRE(field.centrelines.size() == 2);
  CHECK(field.centrelines[1].name == "F");
  CHECK(has(field.findings, "lifecycle", "way/3"));
  CHECK(has(field.findings, "lifecycle", "way/4"));
}

TEST_CASE("Pavement areas are never network") {
  Sketch sketch;
  sketch.least()
      .area("way/3", {{0, 300}, {500, 300}, {500, 330}, {0, 330}}, {{"area:aeroway", "taxiway"}})
      .area("way/4", {{0, 400}, {500, 400}, {500, 430}, {0, 430}}, {{"aeroway", "taxiway"}, {"area", "yes"}});
  const Airfield field = sketch.read();
  CHECK(field.centrelines.size() == 1);
  CHECK(has(field.findings, "area-aeroway", "way/3"));
  CHECK(has(field.findings, "taxiway-area", "way/4"));
}

TEST_CASE("A map with taxiways only as areas is refused with that reason") {
  Sketch sketch;
  sketch.runway("way/1", {{0, 0}, {2000, 0}})
      .area("way/4", {{0, 400}, {500, 400}, {500, 430}, {0, 430}}, {{"aeroway", "taxiway"}});
  try {
    (void)sketch.read();
    FAIL("no error");
  } catch (const Error& error) {
    CHECK(error.error_class() == ErrorClass::data);
    CHECK(error.message().find("taxiways only as areas") != std::string::npos);
    CHECK(error.where().file == "sketch");
    CHECK(error.where().feature == "way/4");
  }
}

TEST_CASE("A map without taxiways, or without a runway, is refused") {
  Sketch no_taxiway, no_runway;
  no_taxiway.runway("way/1", {{0, 0}, {2000, 0}});
  no_runway.taxiway("way/1", {{0, 0}, {2000, 0}});
  CHECK_THROWS_WITH(no_taxiway.read(), Catch::Contains("no taxiways"));
  CHECK_THROWS_WITH(no_runway.read(), Catch::Contains("no runway"));
  CHECK_THROWS_AS(Sketch().read(), Error);
}

TEST_CASE("A taxiway loop without area=yes stays a line") {
  Sketch sketch;
  sketch.least().taxiway("way/3", {{0, 300}, {100, 300}, {100, 400}, {0, 400}, {0, 300}});
  const Airfield field = sketch.read();
  REQUIRE(field.centrelines.size() == 2);
  CHECK(field.centrelines[1].line.size() == 5);
  CHECK(length_m(field.centrelines[1].line) == Approx(400).margin(0.01));
}

TEST_CASE("Stands come as lines, points and areas, and gates are not stands") {
  Sketch sketch;
  sketch.least()
      .line("way/3", {{100, 200}, {100, 260}}, {{"aeroway", "parking_position"}, {"ref", "3"}})
      .line("way/4", {{200, 200}, {200, 260}}, {{"aeroway", "parking_position"}, {"ref", "3"}})
      .point("node/5", {300, 260}, {{"aeroway", "parking_position"}, {"name", "Remote 5"}})
      .area("way/6", {{400, 240}, {440, 240}, {440, 280}, {400, 280}}, {{"aeroway", "parking_position"}, {"ref", "6"}})
      .point("node/7", {100, 300}, {{"aeroway", "gate"}, {"ref", "B1"}});
  const Airfield field = sketch.read();
  REQUIRE(field.stands.size() == 4);
  CHECK(field.stands[0].id == "way/3");
  CHECK(field.stands[0].ref == "3");
  REQUIRE(field.stands[0].line);
  CHECK(field.centrelines[*field.stands[0].line].kind == LineKind::stand_line);
  CHECK(distance_m(sketch.frame.to_local(field.stands[0].at), {100, 260}) < 0.01);
  CHECK(field.stands[1].ref == "3");
  CHECK(field.stands[2].ref == "Remote 5");
  CHECK_FALSE(field.stands[2].line);
  CHECK(distance_m(sketch.frame.to_local(field.stands[3].at), {420, 260}) < 0.01);
  CHECK(has(field.findings, "stand-area", "way/6"));
  CHECK(count(field.findings, "gates-as-stands") == 0);
  CHECK(count(field.findings, "gates-beside-stands") == 1);
}

TEST_CASE("Stands know the apron they lie on by its name, the smaller of two, and none where it has no name") {
  Sketch sketch;
  sketch.least()
      .area("way/8", {{50, 210}, {350, 210}, {350, 300}, {50, 300}}, {{"aeroway", "apron"}, {"name", "Main"}})
      .area("way/9", {{250, 230}, {320, 230}, {320, 290}, {250, 290}}, {{"aeroway", "apron"}, {"ref", "2"}})
      .area("way/10", {{550, 210}, {650, 210}, {650, 300}, {550, 300}}, {{"aeroway", "apron"}})
      .line("way/3", {{100, 200}, {100, 260}}, {{"aeroway", "parking_position"}, {"ref", "3"}})
      .point("node/5", {300, 260}, {{"aeroway", "parking_position"}, {"ref", "5"}})
      .point("node/6", {600, 260}, {{"aeroway", "parking_position"}, {"ref", "6"}});
  const Airfield field = sketch.read();
  REQUIRE(field.stands.size() == 3);
  CHECK(field.stands[0].apron == "Main");
  CHECK(field.stands[1].apron == "2");
  CHECK(field.stands[2].apron.empty());
}

TEST_CASE("Gates stand for stands only where there are none") {
  Sketch sketch;
  sketch.least().point("node/7", {100, 300}, {{"aeroway", "gate"}, {"ref", "B1"}});
  const Airfield field = sketch.read();
  REQUIRE(field.stands.size() == 1);
  CHECK(field.stands[0].approximate);
  CHECK(field.stands[0].ref == "B1");
  CHECK(has(field.findings, "gates-as-stands", "node/7"));
}

TEST_CASE("A parking node on a stand line is that line's stand") {
  Sketch sketch;
  sketch.least()
      .line("way/3", {{100, 200}, {100, 260}}, {{"aeroway", "parking_position"}})
      .point("node/77", {100, 260}, {{"aeroway", "parking_position"}, {"ref", "12"}});
  sketch.map.features[2].vertices.back().ref = sketch.map.features[3].vertices.front().ref = 77;
  const Airfield field = sketch.read();
  REQUIRE(field.stands.size() == 1);
  CHECK(field.stands[0].id == "way/3");
  CHECK(field.stands[0].ref == "12");
  CHECK(field.stands[0].vertex_ref == 77);
}

TEST_CASE("Holding positions keep their ref and type") {
  Sketch sketch;
  sketch.least()
      .point("node/5", {0, 100}, {{"aeroway", "holding_position"}, {"ref", "A1"}, {"holding_position:type", "runway"}})
      .point("node/6", {2000, 100}, {{"aeroway", "holding_position"}, {"holding_position", "odd"}})
      .line("way/7", {{-10, 120}, {10, 120}}, {{"aeroway", "holding_position"}, {"holding_position", "ILS"}});
  const Airfield field = sketch.read();
  REQUIRE(field.holding_positions.size() == 3);
  CHECK(field.holding_positions[0].ref == "A1");
  CHECK(field.holding_positions[0].type == "runway");
  CHECK(field.holding_positions[1].type == "");
  CHECK(field.holding_positions[2].type == "ILS");
  CHECK(distance_m(sketch.frame.to_local(field.holding_positions[2].at.at), {0, 120}) < 0.01);
  CHECK(has(field.findings, "holding-position-line", "way/7"));
}

TEST_CASE("Lines drawn twice are kept once, in either direction") {
  Sketch sketch;
  sketch.least()
      .taxiway("way/3", {{0, 300}, {500, 300}, {600, 400}}, {{"ref", "A"}})
      .taxiway("way/4", {{600, 400}, {500, 300}, {0, 300}}, {{"ref", "A"}})
      .taxiway("way/5", {{0, 300}, {500, 300}}, {{"ref", "A"}});
  const Airfield field = sketch.read();
  CHECK(field.centrelines.size() == 3);
  CHECK(has(field.findings, "duplicate", "way/4"));
  CHECK_FALSE(has(field.findings, "duplicate", "way/5"));
}

TEST_CASE("Repeated vertices are merged, lines without length left out, both reported") {
  Sketch sketch;
  sketch.least().taxiway("way/3", {{0, 300}, {0, 300}, {500, 300}}).taxiway("way/4", {{0, 400}, {0, 400}});
  const Airfield field = sketch.read();
  REQUIRE(field.centrelines.size() == 2);
  CHECK(field.centrelines[1].line.size() == 2);
  CHECK(has(field.findings, "repeated-vertex", "way/3"));
  CHECK(has(field.findings, "line-without-length", "way/4"));
}

TEST_CASE("A coordinate that is no number, or off the globe, is refused with the feature's id") {
  for (const double bad : {double(NAN), double(INFINITY), 95.0}) {
    Sketch sketch;
    sketch.least();
    sketch.map.features[1].vertices[2].lat_deg = bad;
    try {
      (void)sketch.read();
      FAIL("no error");
    } catch (const Error& error) {
      CHECK(error.error_class() == ErrorClass::data);
      CHECK(error.where().feature == "way/2");
    }
  }
}

TEST_CASE("A position far from the rest of the field is refused with the feature's id, across the date line too") {
  for (const LatLon origin : {LatLon::degrees(-30.5, -20.25), LatLon::degrees(20, 179.995)}) {
    Sketch sketch(origin);
    sketch.least().taxiway("way/3", {{1000, 200}, {1000, 30000}});
    CHECK(sketch.read().centrelines.size() == 2);
    sketch.map.features[2].vertices[1].lat_deg = 40;
    try {
      (void)sketch.read();
      FAIL_CHECK("no error");
    } catch (const Error& error) {
      CHECK(error.error_class() == ErrorClass::data);
      CHECK(error.where().feature == "way/3");
      CHECK(error.message().find("km from the rest of the field") != std::string::npos);
    }
  }
}

TEST_CASE("A feature without geometry and an unknown kind are findings") {
  Sketch sketch;
  sketch.least()
      .line("way/3", {}, {{"aeroway", "taxiway"}})
      .taxiway("way/4", {{0, 300}, {5, 300}}, {{"aeroway", "Taxi Way"}});
  const Airfield field = sketch.read();
  CHECK(field.centrelines.size() == 1);
  CHECK(has(field.findings, "empty-geometry", "way/3"));
  CHECK(has(field.findings, "aeroway-not-understood", "way/4"));
}

TEST_CASE("A taxiway with a runway's designators is reported") {
  Sketch sketch;
  sketch.least()
      .taxiway("way/3", {{0, 300}, {500, 300}}, {{"ref", "09/27"}})
      .taxiway("way/4", {{0, 400}, {500, 400}}, {{"ref", "A-2"}});
  const Airfield field = sketch.read();
  CHECK(count(field.findings, "runway-ref-on-taxiway") == 1);
  CHECK(has(field.findings, "runway-ref-on-taxiway", "way/3"));
  CHECK(field.centrelines[2].name == "A-2");
}

TEST_CASE("The local frame lies in the middle of the lines, in every hemisphere and across the date line") {
  const double lat = GENERATE(-45.0, 0.0, 60.0), lon = GENERATE(-179.995, -70.0, 0.0, 120.0, 179.99);
  const Sketch sketch = Sketch(LatLon::degrees(lat, lon)).least();
  const Airfield field = sketch.read();
  const LocalXY middle = field.frame.to_local(sketch.frame.to_geodetic({1000, 100}));
  CHECK(std::hypot(middle.x_m, middle.y_m) < 1.0);
  CHECK(length_m(field.runways[0].line) == Approx(2000).margin(0.01));
}

TEST_CASE("Heights of the map's vertices are kept") {
  Sketch sketch;
  sketch.least();
  sketch.map.features[1].vertices[1].height_m = 12.5;
  const Airfield field = sketch.read();
  CHECK(field.centrelines[0].line[1].height->value() == 12.5);
  CHECK_FALSE(field.centrelines[0].line[0].height);
}

TEST_CASE("Findings of the reader come first") {
  Sketch sketch;
  sketch.least();
  sketch.map.findings.resize(1);
  sketch.map.findings[0].code = "way-clipped";
  CHECK(sketch.read().findings.front().code == "way-clipped");
}
