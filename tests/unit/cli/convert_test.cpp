#include "fixture.hpp"
#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/network/build.hpp"

using namespace solotaxi;
using namespace solotaxi::cli::test;

namespace {

const std::string kAixm = SOLOTAXI_TEST_DATA "/aixm/field.xml";
const std::string kNotam = SOLOTAXI_TEST_DATA "/aixm/taxiway_b_closed.xml";

/// Features of one map and another made of it: the same but for what the conversion says is lost (node ids).
void check_same_map(const airfield::RawMap& a, const airfield::RawMap& b, double coordinate) {
  REQUIRE(a.features.size() == b.features.size());
  for (std::size_t i = 0; i < a.features.size(); ++i) {
    const auto &f = a.features[i], &g = b.features[i];
    CAPTURE(f.id);
    CHECK(f.id == g.id);
    CHECK(f.shape == g.shape);
    CHECK(f.tags == g.tags);
    REQUIRE(f.vertices.size() == g.vertices.size());
    const bool all_heights = std::all_of(f.vertices.begin(), f.vertices.end(), [](const auto& v) { return v.height_m; });
    for (std::size_t k = 0; k < f.vertices.size(); ++k) {
      CHECK(std::abs(f.vertices[k].lat_deg - g.vertices[k].lat_deg) <= coordinate);
      CHECK(std::abs(f.vertices[k].lon_deg - g.vertices[k].lon_deg) <= coordinate);
      CHECK(g.vertices[k].height_m.has_value() == all_heights);
      if (all_heights) CHECK(*g.vertices[k].height_m == Approx(*f.vertices[k].height_m).margin(1e-6));
    }
  }
}

void check_same_network(const airfield::RawMap& a, const airfield::RawMap& b) {
  const auto net = network::build_network(airfield::interpret(a)), other = network::build_network(airfield::interpret(b));
  CHECK(net.segments.size() == other.segments.size());
  CHECK(net.nodes.size() == other.nodes.size());
  CHECK(net.stands.size() == other.stands.size());
  CHECK(net.holding_points.size() == other.holding_points.size());
  double length = 0.0, other_length = 0.0;
  for (const auto& s : net.segments) length += s.length_m;
  for (const auto& s : other.segments) other_length += s.length_m;
  CHECK(length == Approx(other_length).epsilon(1e-9));
}

}  // namespace

TEST_CASE("convert writes OSM XML, AIXM and GeoJSON as GeoPackage and GeoJSON that read as the same map") {
  const Folder folder;
  const std::string osm_file = folder.write("field.osm", osm(small_field()));
  for (const std::string& in : {osm_file, kAixm, demo_field()})
    for (const char* name : {"out.gpkg", "out.geojson"}) {
      CAPTURE(in, name);
      const Result result = run_program({"convert", in, folder / name});
      REQUIRE(result.status == 0);
      CHECK(result.out.find("features") != std::string::npos);
      // Coordinates in GeoJSON have 9 decimals, and GDAL rounds away a run of nines or noughts among them: 2 mm here.
      const bool exact = std::string_view(name).ends_with(".gpkg");
      check_same_map(io::read_map(in), io::read_map(folder / name), exact ? 0.0 : 2e-8);
      check_same_network(io::read_map(in), io::read_map(folder / name));
    }
}

TEST_CASE("convert bakes NOTAMs in for a time, and the map it writes says so without them") {
  const Folder folder;
  REQUIRE(run_program({"convert", kAixm, folder / "closed.gpkg", "--at", "2026-02-03T12:00Z", "--notam", kNotam}).status ==
          0);
  const Result check = run_program({"check", folder / "closed.gpkg"});
  REQUIRE(check.status == 0);
  CHECK(check.out.find("closed-in-map") != std::string::npos);
}

TEST_CASE("convert writes the network built of a map, which every command reads") {
  const Folder folder;
  const std::string file = folder / "network.gpkg";
  REQUIRE(run_program({"convert", demo_field(), file, "--as", "network", "--dem", demo_raster()}).status == 0);
  const std::vector<std::string> ask{"--from", "stand:12", "--to", "runway:09", "--objective", "fuel"};
  const auto route = [&](std::vector<std::string> args) {
    args.insert(args.end(), ask.begin(), ask.end());
    args.insert(args.end(), {"--format", "json"});
    return run_program(args);
  };
  const Result map = route({"route", demo_field(), "--dem", demo_raster()}), network = route({"route", file});
  REQUIRE(map.status == 0);
  REQUIRE(network.status == 0);
  const auto totals = [](const std::string& text) {
    const auto from = text.find("\"length_m\"");
    return text.substr(from, text.find('\n', from) - from);
  };
  CHECK(totals(map.out) == totals(network.out));
  CHECK(run_program({"check", file}).status == 0);
  CHECK(run_program({"convert", file, folder / "again.gpkg"}).status == 0);
  CHECK(contents(file) == contents(folder / "again.gpkg"));
}

TEST_CASE("what convert cannot read or write is refused, and nothing is written") {
  const Folder folder;
  const std::string file = folder / "network.gpkg";
  REQUIRE(run_program({"convert", demo_field(), file, "--as", "network"}).status == 0);
  const auto before = folder.files();
  check_failure(run_program({"convert", demo_field(), folder / "field.osm"}), 2, {".gpkg, .geojson"});
  check_failure(run_program({"convert", demo_field(), folder / "field.kml"}), 2, {".gpkg, .geojson"});
  check_failure(run_program({"convert", demo_field(), folder / "n.geojson", "--as", "network"}), 2, {".gpkg"});
  check_failure(run_program({"convert", file, folder / "map.geojson", "--as", "map"}), 3, {"cannot be made"});
  check_failure(run_program({"convert", demo_field(), folder / "map.gpkg", "--dem", demo_raster()}), 2, {"--as network"});
  check_failure(run_program({"convert", file, folder / "n.gpkg", "--dem", demo_raster()}), 2, {"built already"});
  check_failure(run_program({"convert", folder / "none.osm", folder / "map.gpkg"}), 3, {"no such map"});
  check_failure(run_program({"convert", demo_field(), demo_field()}), 2, {"would be overwritten"});
  CHECK(folder.files() == before);
}

TEST_CASE("NOTAMs need a time, which must be one") {
  check_failure(run_program({"check", kAixm, "--notam", kNotam}), 2, {"--notam", "--at"});
  check_failure(run_program({"check", kAixm, "--at", "noon"}), 2, {"noon", "2026-01-05T06:00Z"});
  const Result check = run_program({"check", kAixm, "--notam", kNotam, "--at", "2026-02-03T12:00Z"});
  REQUIRE(check.status == 0);
  CHECK(check.out.find("A0001/26") != std::string::npos);
}

TEST_CASE("what became of a NOTAM is told with every answer, whatever its way") {
  const std::vector<std::string> notam{"--notam", kNotam, "--at", "2026-02-03T12:00Z"};
  for (const std::string& map : std::vector<std::string>{kAixm, demo_field()}) {
    CAPTURE(map);
    const bool aixm = map == kAixm;
    for (const char* command : {"route", "plan", "screen"}) {
      CAPTURE(command);
      std::vector<std::string> args{command, map};
      if (args.front() != "screen") {
        const std::vector<std::string> places{"--from", aixm ? "stand:1" : "stand:12", "--to", "runway:09"};
        args.insert(args.end(), places.begin(), places.end());
      }
      args.insert(args.end(), notam.begin(), notam.end());
      const Result text = run_program(args);
      CAPTURE(text.err);
      REQUIRE(text.status == 0);
      CHECK(text.out.find("A0001/26") != std::string::npos);
      CHECK((text.out.find("NOT applied") != std::string::npos) == !aixm);
      args.insert(args.end(), {"--format", "json"});
      CHECK(run_program(args).out.find(aixm ? "notam-applied" : "notam-not-applied") != std::string::npos);
    }
  }
}

TEST_CASE("every kind of map the README lists is checked: a network, and no failure") {
  const Folder folder;
  const std::string osm_file = folder.write("field.osm", osm(small_field()));
  const std::string mapping = SOLOTAXI_ROOT "/data/mapping/", maps = SOLOTAXI_TEST_DATA "/maps/";
  REQUIRE(run_program({"convert", osm_file, folder / "map.gpkg"}).status == 0);
  REQUIRE(run_program({"convert", osm_file, folder / "network.gpkg", "--as", "network"}).status == 0);
  fs::create_directory(folder / "aixm");
  fs::copy_file(kAixm, folder / "aixm/field.xml");
  const std::vector<std::vector<std::string>> rows{
      {osm_file},
      {demo_field()},
      {folder / "map.gpkg"},
      {folder / "network.gpkg"},
      {kAixm},
      {folder / "aixm"},
      {maps + "ed99_lines.geojson", "--mapping", mapping + "ed99-guidance-lines.toml"},
      {maps + "ed99_routing.geojson", "--mapping", mapping + "ed99-routing-network.toml"}};
  for (const auto& row : rows) {
    CAPTURE(row.front());
    std::vector<std::string> args{"check", row.front(), "--out", folder / "again.gpkg"};
    args.insert(args.end(), row.begin() + 1, row.end());
    const Result result = run_program(args);
    CAPTURE(result.err);
    REQUIRE(result.status == 0);
    // What check writes of it is a network that is read again.
    CHECK(run_program({"check", folder / "again.gpkg"}).status == 0);
  }
}
