// Real fields: what is counted here was counted in the files themselves with GDAL's and osmium's own tools.
#include "solotaxi/io/map_file.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <chrono>
#include <map>

#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/base/error.hpp"
#include "support/shared.hpp"

using namespace solotaxi;
using airfield::Airfield;
using airfield::LineKind;
using test::shared_file;

namespace {

std::optional<Airfield> read_map_data(const std::string& relative) {
  const auto file = shared_file("airports/" + relative);
  if (!file) return std::nullopt;
  return airfield::interpret(io::read_map(*file));
}

std::size_t count(const Airfield& field, LineKind kind) {
  return static_cast<std::size_t>(std::count_if(field.centrelines.begin(), field.centrelines.end(),
                                                [&](const auto& line) { return line.kind == kind; }));
}

double length_m(const std::vector<airfield::Vertex>& line) {
  double sum = 0;
  for (std::size_t i = 1; i < line.size(); ++i) sum += geodesic_length(line[i - 1].at, line[i].at).value();
  return sum;
}

double total_m(const Airfield& field) {
  double sum = 0;
  for (const auto& line : field.centrelines) sum += length_m(line.line);
  return sum;
}

bool has(const Airfield& field, const std::string& code, const std::string& id) {
  return std::any_of(field.findings.begin(), field.findings.end(), [&](const Finding& f) {
    return f.code == code && (f.where.id == id || f.text.find(id) != std::string::npos);
  });
}

const airfield::Runway& runway(const Airfield& field, const std::string& name) {
  for (const auto& r : field.runways)
    if (r.name() == name) return r;
  FAIL("no runway " + name);
  return field.runways.front();
}

}  // namespace

TEST_CASE("LMML has 81 taxiways, 100 stands and two runways") {
  const auto field = read_map_data("LMML/aeroway.osm");
  if (!field) return;
  CHECK(field->ident == "LMML");
  CHECK(field->name == "Ajruport Internazzjonali ta' Malta");
  CHECK(field->elevation->value() == 91.0);
  CHECK(count(*field, LineKind::taxiway) == 81);
  CHECK(count(*field, LineKind::stand_line) == 100);
  CHECK(field->stands.size() == 100);
  CHECK(std::count_if(field->stands.begin(), field->stands.end(), [](const auto& s) { return s.ref == "3"; }) == 10);
  REQUIRE(field->runways.size() == 2);
  // Drawn as ref 23/05 from its south-western end: the designators go to their own ends.
  const auto& r = runway(*field, "05/23");
  CHECK(r.id == "way/15921616");
  CHECK(r.designators[0] == "05");
  CHECK(has(*field, "runway-ref-reversed", "way/15921616"));
  CHECK(length_m(runway(*field, "13/31").line) ==
        Approx(3544).epsilon(0.01));  // stated length 3,544 m [aerodrome chart, from memory]
}

TEST_CASE("Every format of LMML gives the same field") {
  const auto reference = read_map_data("LMML/aeroway.osm");
  if (!reference) return;
  const std::string name = GENERATE(as<std::string>{}, "aeroway.geojson", "everything.osm.pbf", "formats/LMML_Malta.gpkg",
                                    "formats/LMML_utm33n.gpkg", "formats/LMML_Malta_lines.shp");
  INFO(name);
  const auto field = read_map_data("LMML/" + name);
  REQUIRE(field);
  CHECK(field->centrelines.size() == reference->centrelines.size());
  CHECK(field->stands.size() == reference->stands.size());
  CHECK(field->runways.size() == 2);
  // The UTM file went through a projection and back, which costs nanometres a vertex.
  CHECK(total_m(*field) == Approx(total_m(*reference)).margin(0.001));
  std::map<std::string, std::string> names, reference_names;
  for (const auto& line : field->centrelines) names[line.id] = line.name;
  for (const auto& line : reference->centrelines) reference_names[line.id] = line.name;
  CHECK(names == reference_names);
}

TEST_CASE("KCMH unsorted gives the same aerodrome as its sorted extract") {
  const auto sorted = read_map_data("KCMH/aeroway.osm"), unsorted = read_map_data("KCMH/unsorted.osm.pbf"),
             everything = read_map_data("KCMH/everything.osm.pbf");
  if (!sorted || !unsorted || !everything) return;
  for (const auto* other : {&*unsorted, &*everything}) {
    CHECK(other->ident == "KCMH");
    REQUIRE(other->centrelines.size() == sorted->centrelines.size());
    for (std::size_t i = 0; i < sorted->centrelines.size(); ++i) {
      CHECK(other->centrelines[i].id == sorted->centrelines[i].id);
      CHECK(other->centrelines[i].line.size() == sorted->centrelines[i].line.size());
    }
    CHECK(total_m(*other) == Approx(total_m(*sorted)));
    CHECK(other->runways.size() == 2);
  }
}

TEST_CASE("KCMH's runways drawn as rings get a centreline as long as their length tags say") {
  const auto field = read_map_data("KCMH/aeroway.osm");
  if (!field) return;
  CHECK(field->centrelines.size() == 63);
  REQUIRE(field->runways.size() == 2);
  const auto& south = runway(*field, "10R/28L");
  CHECK(south.id == "way/169277376");
  CHECK(south.assumed_centreline);
  CHECK(south.ring.size() == 22);
  CHECK(length_m(south.line) == Approx(3082.4).margin(2));  // its own tag length=3082.4
  CHECK(south.width->value() == 45.7);
  CHECK(length_m(runway(*field, "10L/28R").line) == Approx(2438.4).margin(2));  // its own tag
  CHECK(has(*field, "runway-ring", "way/169277376"));
  CHECK(has(*field, "access-no", "way/29311209"));
  const auto bridge = std::find_if(field->centrelines.begin(), field->centrelines.end(),
                                   [](const auto& l) { return l.id == "way/30009299"; });
  REQUIRE(bridge != field->centrelines.end());
  CHECK(bridge->bridge);
  CHECK(bridge->name == "H");
  CHECK(bridge->layer == 0);  // its own tag
}

TEST_CASE("EGNS has runways 03/21 and 08/26 with their displaced ends") {
  const auto field = read_map_data("EGNS/aeroway.osm");
  if (!field) return;
  REQUIRE(field->runways.size() == 2);
  const auto& first = runway(*field, "03/21");  // ref "03-21"
  CHECK(first.designators[0] == "03");
  CHECK(first.displaced[0].value() == Approx(97.595).margin(0.01));  // way 510478812 by GeodSolve
  CHECK(first.displaced[1].value() == 0.0);
  const auto& second = runway(*field, "08/26");
  CHECK(second.designators[0] == "08");
  CHECK(second.displaced[0].value() == Approx(167.118).margin(0.01));  // way 510478813 by GeodSolve
  CHECK(second.displaced[1].value() == Approx(146.480).margin(0.01));  // way 510478811 by GeodSolve
  CHECK(has(*field, "runway-in-pieces", "way/25989000"));
  CHECK(field->holding_positions.size() == 27);
  CHECK(count(*field, LineKind::taxiway) == 70);
  // The former runway is a taxiway where the live key says so, out where it does not.
  CHECK(has(*field, "lifecycle", "way/192324473"));
  CHECK(std::any_of(field->centrelines.begin(), field->centrelines.end(),
                    [](const auto& l) { return l.id == "way/192324465"; }));
}

TEST_CASE("RPLP's pavement areas are no network") {
  const auto field = read_map_data("RPLP/aeroway.osm");
  if (!field) return;
  CHECK(field->centrelines.size() == 18);
  CHECK(field->holding_positions.size() == 2);
  CHECK(field->stands.empty());
  CHECK(runway(*field, "06/24").width->value() == 35.0);
  CHECK(has(*field, "area-aeroway", "way/310780365"));
}

TEST_CASE("EDXH's runway area over its three runways is not a fourth") {
  const std::string name = GENERATE(as<std::string>{}, "aeroway.osm", "aeroway.geojson", "ogr-driver.gpkg");
  const auto field = read_map_data("EDXH/" + name);
  if (!field) return;
  INFO(name);
  CHECK(field->ident == "EDXH");
  CHECK(field->runways.size() == 3);
  CHECK(has(*field, "runway-area-repeats", "relation/4771784"));
  CHECK(field->centrelines.size() == 6);
  CHECK(total_m(*field) == Approx(168.995).margin(0.01));
  CHECK(field->stands.size() == 3);
  CHECK(has(*field, "taxiway-area", "way/272420250"));
}

TEST_CASE("PHJR is refused because its taxiways are only areas") {
  const auto file = shared_file("airports/PHJR/aeroway.osm");
  if (!file) return;
  try {
    (void)airfield::interpret(io::read_map(*file));
    FAIL("no error");
  } catch (const Error& error) {
    CHECK(error.error_class() == ErrorClass::data);
    CHECK(error.message().find("taxiways only as areas") != std::string::npos);
    CHECK(error.where().file == file->string());
  }
}

TEST_CASE("Reading is quick enough for a program that starts, reads and ends") {
  const auto small = shared_file("airports/LMML/aeroway.osm"), large = shared_file("airports/LMML/everything.osm.pbf");
  if (!small || !large) return;
  const auto best_ms = [](const std::filesystem::path& file) {
    double best = 1e9;
    for (int i = 0; i < 5; ++i) {
      const auto start = std::chrono::steady_clock::now();
      const auto features = io::read_map(file).features.size();
      best = std::min(best, std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count());
      REQUIRE(features == 219);
    }
    return best;
  };
  // Measured 6 and 11 ms on a busy machine; the bounds allow for sanitizers.
  CHECK(best_ms(*small) < 200);
  CHECK(best_ms(*large) < 500);
}
