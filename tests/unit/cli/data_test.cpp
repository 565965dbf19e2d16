// Bad files and impossible routes: exit status 3 and 4, one line, no file left.
#include "fixture.hpp"

using namespace solotaxi::cli::test;

namespace {
Result check(const std::string& map) { return run_program({"check", map}); }
}  // namespace

TEST_CASE("A missing map, an empty one and a damaged one are data errors that name the file") {
  const Folder folder;
  check_failure(check(folder / "none.osm"), 3, {"none.osm"});
  check_failure(check(folder / "none.gpkg"), 3, {"none.gpkg"});
  check_failure(check(folder.write("empty.osm", "")), 3, {"empty.osm"});
  check_failure(check(folder.write("cut.osm", osm(small_field()).substr(0, 400))), 3, {"cut.osm"});
  check_failure(check(folder.write("noise.osm.pbf", std::string(5000, '\x7f'))), 3, {"noise.osm.pbf"});
  check_failure(check(folder.write("cut.geojson", contents(demo_field()).substr(0, 3000))), 3, {"cut.geojson"});
  check_failure(check(folder.write("text.geojson", "hello")), 3, {"text.geojson"});
}

TEST_CASE("A map without taxiways, with taxiways only as areas, or without a runway is a data error that says so") {
  const Folder folder;
  auto ways = small_field();
  check_failure(check(folder.write("bare.osm", osm({ways[0]}))), 3, {"bare.osm", "taxiway"});
  check_failure(
      check(folder.write("areas.osm", osm({ways[0], {"aeroway=taxiway;area=yes", {{0, 2}, {5, 2}, {5, 3}, {0, 2}}}}))), 3,
      {"areas.osm", "area"});
  check_failure(check(folder.write("runwayless.osm", osm({ways[1], ways[2], ways[3]}))), 3, {"runwayless.osm", "runway"});
}

TEST_CASE("Coordinates that are no numbers or out of range are a data error that names the feature") {
  const Folder folder;
  const auto map = [](const std::string& latitude) {
    return R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{"aeroway":"taxiway"},)"
           R"("geometry":{"type":"LineString","coordinates":[[-20,-40],[-20,)" +
           latitude +
           R"(]]}},{"type":"Feature","properties":{"aeroway":"runway","ref":"09/27"},)"
           R"("geometry":{"type":"LineString","coordinates":[[-20,-40],[-19.98,-40]]}}]})";
  };
  CHECK(check(folder.write("good.geojson", map("-40.003"))).status == 0);
  check_failure(check(folder.write("nan.geojson", map("NaN"))), 3, {"nan.geojson"});
  check_failure(check(folder.write("far.geojson", map("-95"))), 3, {"far.geojson"});
  std::string field = osm(small_field());
  const auto second = field.find("<node id=\"2\"");
  const auto at = field.find("lat=\"", second) + 5;
  field.replace(at, field.find('"', at) - at, "NaN");
  check_failure(check(folder.write("nan.osm", field)), 3, {"nan.osm:4: node/2: ", "'NaN'"});
}

TEST_CASE("A raster that is missing, damaged, or beside the field is a data error") {
  const Folder folder;
  check_failure(run_program({"check", demo_field(), "--dem", folder / "none.tif"}), 3, {"none.tif"});
  check_failure(run_program({"check", demo_field(), "--dem", folder.write("noise.tif", "II*noise")}), 3, {"noise.tif"});
  const std::string elsewhere = folder.write("field.osm", osm(small_field()));
  check_failure(run_program({"check", elsewhere, "--dem", demo_raster()}), 3, {"elevation.tif"});
}

TEST_CASE("An unknown key in an aircraft file is a data error with file and line") {
  const Folder folder;
  const std::string aircraft = folder.write("mine.toml", "mass_kg = 60000\nwinglets = 2\n");
  check_failure(run_program({"route", demo_field(), "--from", "stand:12", "--to", "runway:09", "--aircraft", aircraft}), 3,
                {"mine.toml:2:", "winglets"});
}

TEST_CASE("An unknown place is a data error with the nearest spellings, an ambiguous one with ids") {
  check_failure(run_program({"route", demo_field(), "--from", "stand:120", "--to", "runway:09"}), 3,
                {"stand:120", "stand:12"});
  check_failure(run_program({"route", demo_field(), "--from", "stand:12", "--to", "-31.5,-24.6"}), 3,
                {"-31.5,-24.6", "60 m"});
  const Folder folder;
  auto ways = small_field();
  ways.push_back({"aeroway=parking_position;ref=1", {{5, 2}, {5, 3}}});
  check_failure(run_program({"route", folder.write("twice.osm", osm(ways)), "--from", "stand:1", "--to", "runway:09"}), 3,
                {"stand:1#103", "stand:1#104"});
}

TEST_CASE("Places on two parts of the network, or a way that is closed, give status 4 and the reason") {
  const Folder folder;
  auto ways = small_field();
  ways.push_back({"aeroway=taxiway;ref=Z", {{0, 9}, {5, 9}}});
  ways.push_back({"aeroway=parking_position;ref=9", {{5, 9}, {5, 10}}});
  const std::string map = folder.write("island.osm", osm(ways));
  check_failure(run_program({"route", map, "--from", "stand:9", "--to", "runway:09"}), 4,
                {"island.osm", "stand:9", "runway:09", "no route"});
  check_failure(
      run_program({"route", map, "--from", "stand:1", "--to", "runway:09", "--close", "A1", "--close", "A", "--out",
                   folder / "r.geojson"}),
      4, {"no route from stand:1 to runway:09: every way is closed by what was asked to be closed", "in the way: A1, A"});
  check_failure(run_program({"route", map, "--from", "stand:1", "--to", "runway:09", "--close", "A"}), 4,
                {"island.osm: no route from stand:1 to runway:09: every way is closed: A (open it, or start elsewhere)"});
  CHECK(folder.files() == 1);
}

TEST_CASE("A name that the map does not hold is a data error, whichever option asks for it") {
  const auto ask = [](const char* option, const char* name) {
    return run_program({"route", demo_field(), "--from", "stand:12", "--to", "runway:09", option, name});
  };
  check_failure(ask("--close", "Q77"), 3, {"field.geojson", "Q77", "close", "nearest spellings"});
  check_failure(ask("--avoid", "Q77"), 3, {"field.geojson", "Q77", "avoid", "nearest spellings"});
  check_failure(ask("--via", "hold:Q77"), 3, {"field.geojson", "hold:Q77", "nearest spellings"});
  check_failure(ask("--aerodrome", "QQQQ"), 3, {"field.geojson", "QQQQ", "XQTB"});
}

TEST_CASE("An output that cannot be written leaves no file at all, and those there were stay as they were") {
  const Folder folder;
  const std::string old = folder.write("good.geojson", "old");
  check_failure(run_program({"route", demo_field(), "--from", "stand:12", "--to", "runway:09", "--out", old, "--out",
                             folder / "missing/route.gpkg"}),
                3, {"missing/route.gpkg"});
  CHECK(contents(old) == "old");
  CHECK(folder.files() == 1);
}

TEST_CASE("Standard output that cannot be written is an error, and no file appears") {
  const Folder folder;
  std::istringstream in;
  std::ostringstream out, err;
  out.setstate(std::ios::badbit);
  CHECK(solotaxi::cli::run({"check", demo_field(), "--out", folder / "c.json"}, in, out, err) == 3);
  CHECK(err.str().find("standard output") != std::string::npos);
  CHECK(folder.files() == 0);
}
