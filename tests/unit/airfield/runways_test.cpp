// Runways as maps draw them: rule 6 of real maps.
#include <catch2/catch.hpp>

#include "sketch.hpp"
#include "solotaxi/base/error.hpp"

using namespace solotaxi;
using namespace solotaxi::test;
using Pair = std::array<std::string, 2>;

namespace {
/// A sketch with a taxiway; the runway is the test's.
Sketch with_taxiway() {
  Sketch sketch;
  sketch.taxiway("way/900", {{0, 200}, {2000, 200}});
  return sketch;
}
}  // namespace

TEST_CASE("Pieces of one runway become one, with its displaced thresholds and without its blast pads") {
  auto sketch = with_taxiway();
  sketch.runway("way/1", {{300, 0}, {1000, 0}, {2000, 0}}, {{"ref", "09/27"}, {"width", "45"}})
      .runway("way/2", {{300, 0}, {0, 0}}, {{"runway", "displaced_threshold"}})
      .runway("way/3", {{2000, 0}, {2150, 0}}, {{"ref", "09/27"}, {"runway", "displaced_threshold"}, {"width", "40"}})
      .runway("way/4", {{0, 0}, {-60, 0}}, {{"runway", "blast_pad"}})
      .line("way/5", {{2150, 0}, {2250, 0}}, {{"aeroway", "stopway"}});
  const auto field = sketch.read();
  REQUIRE(field.runways.size() == 1);
  const auto& runway = field.runways[0];
  CHECK(runway.id == "way/1");
  CHECK(runway.designators == Pair{"09", "27"});
  CHECK(runway.name() == "09/27");
  CHECK(length_m(runway.line) == Approx(2150).margin(0.01));
  CHECK(runway.displaced[0].value() == Approx(300).margin(0.01));
  CHECK(runway.displaced[1].value() == Approx(150).margin(0.01));
  CHECK(runway.width->value() == 40.0);
  CHECK(runway.line.size() == 5);  // joints are not doubled
  CHECK(has(field.findings, "runway-in-pieces", "way/1"));
  CHECK(has(field.findings, "not-taxiable", "way/4"));
  CHECK(has(field.findings, "not-taxiable", "way/5"));
  CHECK(has(field.findings, "runway-widths-differ", "way/1"));
}

TEST_CASE("Runways split where they cross are put together straight on") {
  auto sketch = with_taxiway();
  sketch.runway("way/1", {{0, 0}, {1000, 0}})
      .runway("way/2", {{1000, 0}, {2000, 0}}, {{"ref", "09/27"}})
      .runway("way/3", {{1000, -900}, {1000, 0}}, {{"ref", "18/36"}})
      .runway("way/4", {{1000, 900}, {1000, 0}});
  const auto field = sketch.read();
  REQUIRE(field.runways.size() == 2);
  CHECK(field.runways[0].name() == "09/27");
  CHECK(length_m(field.runways[0].line) == Approx(2000).margin(0.01));
  CHECK(field.runways[1].name() == "18/36");
  CHECK(length_m(field.runways[1].line) == Approx(1800).margin(0.01));
}

TEST_CASE("A gap between pieces of the same designators is closed with a finding, others stay apart") {
  auto sketch = with_taxiway();
  sketch.runway("way/1", {{0, 0}, {1000, 0}}, {{"ref", "09/27"}})
      .runway("way/2", {{1030, 0}, {2000, 0}}, {{"ref", "27/09"}})
      .runway("way/3", {{0, 900}, {1000, 900}})
      .runway("way/4", {{1030, 900}, {2000, 900}});
  const auto field = sketch.read();
  REQUIRE(field.runways.size() == 3);
  CHECK(length_m(field.runways[0].line) == Approx(2000).margin(0.01));
  CHECK(has(field.findings, "runway-gap-joined", "way/2"));
}

TEST_CASE("Two runways with different designators meeting end to end stay two") {
  auto sketch = with_taxiway();
  sketch.runway("way/1", {{0, 0}, {1000, 0}}, {{"ref", "09/27"}})
      .runway("way/2", {{1000, 0}, {2000, 60}}, {{"ref", "08/26"}});
  CHECK(sketch.read().runways.size() == 2);
}

TEST_CASE("Odd designators are put right and reported") {
  const auto read = [](const char* ref) {
    auto sketch = with_taxiway();
    sketch.runway("way/1", {{2000, 0}, {0, 0}}, {{"ref", ref}});
    return sketch.read();
  };
  CHECK(read("27-09").runways[0].designators == Pair{"27", "09"});
  CHECK(count(read("27-09").findings, "runway-ref-reversed") == 0);
  CHECK(read("09 / 27").runways[0].designators == Pair{"27", "09"});
  CHECK(count(read("09 / 27").findings, "runway-ref-reversed") == 1);
  CHECK(read("9").runways[0].designators == Pair{"27", "9"});
  CHECK(count(read("9").findings, "runway-ref-completed") == 1);
  CHECK(count(read("14/32").findings, "runway-ref-azimuth") == 1);
  CHECK(count(read("11/29").findings, "runway-ref-azimuth") == 0);
  CHECK(count(read("09/28").findings, "runway-ref-not-reciprocal") == 1);
  CHECK(count(read("Main Runway").findings, "runway-ref-odd") == 1);
  CHECK(read("Main Runway").runways[0].name() == "way/1");
  CHECK(read("").runways[0].designators == Pair{"", ""});
  CHECK(count(read("").findings, "runway-without-designators") == 1);
  CHECK(read("X/X").runways[0].closed);
  CHECK(count(read("X/X").findings, "closed-in-map") == 1);
  CHECK_FALSE(read("09/27").runways[0].closed);
}

TEST_CASE("Parallel runways keep their suffixes") {
  auto sketch = with_taxiway();
  sketch.runway("way/1", {{0, 0}, {2000, 0}}, {{"ref", "27L/09R"}})
      .runway("way/2", {{2000, 1000}, {0, 1000}}, {{"ref", "09L/27R"}});
  const auto field = sketch.read();
  REQUIRE(field.runways.size() == 2);
  CHECK(field.runways[0].designators == Pair{"09R", "27L"});
  CHECK(field.runways[1].designators == Pair{"27R", "09L"});
  CHECK(field.runways[1].name() == "09L/27R");
}

TEST_CASE("A runway drawn as its edge gets a centreline between the middles of its short ends") {
  // As KCMH way/169277376, turned by 33°.
  const double c = std::cos(0.58), s = std::sin(0.58);
  const auto turned = [&](double x, double y) { return LocalXY{x * c - y * s, x * s + y * c}; };
  auto sketch = with_taxiway();
  const bool as_area = GENERATE(false, true);
  Points ring = {turned(0, -22.5),   turned(700, -22.5), turned(2400, -22.5),
                 turned(2400, 22.5), turned(1100, 22.5), turned(0, 22.5)};
  if (as_area)
    sketch.area("way/1", ring, {{"aeroway", "runway"}, {"ref", "06/24"}});
  else {
    ring.push_back(ring.front());
    sketch.runway("way/1", ring, {{"ref", "06/24"}});
  }
  const auto field = sketch.read();
  REQUIRE(field.runways.size() == 1);
  const auto& runway = field.runways[0];
  CHECK(runway.assumed_centreline);
  CHECK(runway.ring.size() == 7);
  CHECK(length_m(runway.line) == Approx(2400).margin(0.05));
  CHECK(runway.width->value() == Approx(45).margin(0.1));
  CHECK(has(field.findings, "runway-ring", "way/1"));
  const bool forward = distance_m(sketch.frame.to_local(runway.line.front().at), {0, 0}) < 1;
  CHECK(distance_m(sketch.frame.to_local(runway.line[forward ? 0 : 1].at), {0, 0}) < 0.05);
  CHECK(distance_m(sketch.frame.to_local(runway.line[forward ? 1 : 0].at), turned(2400, 0)) < 0.05);
  CHECK(runway.designators[forward ? 0 : 1] == "06");
}

TEST_CASE("Turn pads at a runway's ends do not move its assumed centreline") {
  auto sketch = with_taxiway();
  sketch.area("way/1", {{0, -15}, {1800, -15}, {1800, 45}, {1740, 45}, {1740, 15}, {60, 15}, {60, 45}, {0, 45}},
              {{"aeroway", "runway"}, {"ref", "09/27"}});
  const auto field = sketch.read();
  REQUIRE(field.runways.size() == 1);
  for (const auto& vertex : field.runways[0].line) CHECK(std::abs(sketch.frame.to_local(vertex.at).y_m) < 0.5);
  CHECK(field.runways[0].width->value() == Approx(30).margin(0.1));
}

TEST_CASE("A runway area over a centreline is not a second runway") {
  auto sketch = with_taxiway();
  sketch.runway("way/1", {{0, 0}, {2000, 0}}, {{"ref", "09/27"}})
      .area("way/2", {{-60, -30}, {2060, -30}, {2060, 30}, {-60, 30}}, {{"aeroway", "runway"}});
  const auto field = sketch.read();
  CHECK(field.runways.size() == 1);
  CHECK(has(field.findings, "runway-area-repeats", "way/2"));
}

TEST_CASE("A runway area that is no strip is left out as a serious finding") {
  auto sketch = with_taxiway();
  sketch.least().area("way/3", {{0, 500}, {300, 500}, {300, 800}, {0, 800}}, {{"aeroway", "runway"}});
  const auto field = sketch.read();
  CHECK(field.runways.size() == 1);
  CHECK(has(field.findings, "runway-area-unusable", "way/3"));
}

TEST_CASE("Water runways are not runways") {
  auto sketch = with_taxiway();
  sketch.runway("way/1", {{0, 0}, {2000, 0}}, {{"ref", "09W/27W"}})
      .runway("way/2", {{0, 900}, {2000, 900}}, {{"surface", "water"}});
  CHECK_THROWS_WITH(sketch.read(), Catch::Contains("no runway"));
  sketch.runway("way/3", {{0, -900}, {2000, -900}}, {{"ref", "09/27"}});
  const auto field = sketch.read();
  CHECK(field.runways.size() == 1);
  CHECK(has(field.findings, "water-runway", "way/1"));
  CHECK(has(field.findings, "water-runway", "way/2"));
}

TEST_CASE("Threshold marks give displaced thresholds where no piece does") {
  Sketch sketch;
  sketch.least()
      .point("node/8", {250, 1}, {{"aeroway", "threshold"}, {"ref", "09"}})
      .point("node/9", {2000, 0}, {{"aeroway", "threshold"}, {"ref", "27"}});
  const auto field = sketch.read();
  CHECK(field.runways[0].displaced[0].value() == Approx(250).margin(0.1));
  CHECK(field.runways[0].displaced[1].value() == 0.0);
  CHECK(has(field.findings, "threshold-mark", "node/8"));
}
