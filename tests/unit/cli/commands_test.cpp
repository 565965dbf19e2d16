// Both commands on the demo field and on a small invented map: exit status 0.
#include <nlohmann/json.hpp>

#include "fixture.hpp"

using namespace solotaxi::cli::test;
using nlohmann::json;

namespace {

Result route(std::vector<std::string> more) {
  std::vector<std::string> args{"route", demo_field(), "--dem", demo_raster()};
  args.insert(args.end(), more.begin(), more.end());
  return run_program(args);
}

json route_json(std::vector<std::string> more) {
  more.insert(more.end(), {"--format", "json"});
  const Result result = route(std::move(more));
  CAPTURE(result.err);
  REQUIRE(result.status == 0);
  return json::parse(result.out);
}

const std::vector<std::string> kWay{"--from", "stand:12", "--to", "runway:09"};

std::vector<std::string> way_and(std::vector<std::string> more) {
  std::vector<std::string> args = kWay;
  args.insert(args.end(), more.begin(), more.end());
  return args;
}

}  // namespace

TEST_CASE("check reports the field as text and JSON and writes every format at once") {
  const Folder folder;
  const Result result = run_program({"check", demo_field(), "--dem", demo_raster(), "--out", folder / "a.txt", "--out",
                                     folder / "a.json", "--out", folder / "a.gpkg", "--out", folder / "a.geojson"});
  REQUIRE(result.status == 0);
  CHECK(result.err.empty());
  check_width(result.out);
  CHECK(folder.files() == 4);
  CHECK(contents(folder / "a.txt") == result.out);
  const json report = json::parse(contents(folder / "a.json"));
  CHECK(report["aerodrome"]["ident"] == "XQTB");
  CHECK(report["counts"]["runways"] == 2);
  const json layers = json::parse(contents(folder / "a.geojson"));
  std::size_t segments = 0;
  for (const json& feature : layers["features"]) segments += feature["properties"]["layer"] == "segments" ? 1U : 0U;
  CHECK(segments == report["counts"]["segments"]);
  CHECK(contents(folder / "a.gpkg").starts_with("SQLite format 3"));
}

TEST_CASE("check counts slopes over the standard only when a code letter is given") {
  const auto slopes = [](std::vector<std::string> more) {
    std::vector<std::string> args{"check", demo_field(), "--dem", demo_raster(), "--format", "json"};
    args.insert(args.end(), more.begin(), more.end());
    const json report = json::parse(run_program(args).out);
    std::size_t count = 0;
    for (const json& f : report["findings"]) count += f["code"].get<std::string>().starts_with("slope-") ? 1U : 0U;
    return count;
  };
  CHECK(slopes({}) == 0);
  // The ramps of the demo field's bridge are near 2 %: over the 1.5 % of C, within the 3 % of A [S:ANNEX14].
  CHECK(slopes({"--code-letter", "C"}) > 0);
}

TEST_CASE("route gives a briefing of 80 columns and writes every map format") {
  const Folder folder;
  const Result result = route(way_and({"--engines", "left", "--objective", "fuel", "--out", folder / "r.geojson", "--out",
                                       folder / "r.gpkg", "--out", folder / "r.kml"}));
  REQUIRE(result.status == 0);
  CHECK(result.err.empty());
  check_width(result.out);
  CHECK(folder.files() == 3);
  const json layers = json::parse(contents(folder / "r.geojson"));
  CHECK(layers["features"].size() > 3);
  CHECK(contents(folder / "r.kml").find("<kml") != std::string::npos);
}

TEST_CASE("A stand to a runway is a departure with push back, a runway to a stand an arrival") {
  const json out = route_json(way_and({"--objective", "time"}));
  CHECK(out["direction"] == "departure");
  CHECK(out["push_back"]["time_s"] == 120.0);
  CHECK(out["objective"] == "time");
  const json in = route_json({"--from", "runway:27", "--to", "stand:12"});
  CHECK(in["direction"] == "arrival");
  CHECK(in["push_back"].is_null());
}

TEST_CASE("The options reach the computation") {
  const json plain = route_json(way_and({"--objective", "fuel"}));
  CHECK(route_json(way_and({"--objective", "fuel", "--mass", "79000"}))["fuel_kg"] > plain["fuel_kg"]);
  CHECK(route_json(way_and({"--mass", "79000"}))["mass_kg"] == 79000.0);
  CHECK(route_json(way_and({"--oat", "-20"}))["conditions"]["oat_c"] == -20.0);
  CHECK(route_json(way_and({"--surface", "wet"}))["conditions"]["surface"] == "wet");
  CHECK(route_json(way_and({"--n1-limit", "35"}))["conditions"]["n1_limit_pct"] == 35.0);
  CHECK(route_json(way_and({"--require", "standing"}))["conditions"]["require"] == "standing");
  CHECK(route_json(way_and({"--engines", "1"}))["engines"] == "left");
  CHECK(route_json(way_and({"--aircraft", "four-engine", "--engines", "1,4"}))["engines"] == "1,4");
  // 5,000 ft in the standard atmosphere is 843.1 hPa [ICAO Doc 7488, from memory].
  CHECK(route_json(way_and({"--pressure-altitude", "5000"}))["conditions"]["pressure_hpa"].get<double>() ==
        Approx(843.1).margin(0.2));
}

TEST_CASE("A stop at a via place adds its minutes to the time") {
  const json without = route_json(way_and({"--via", "hold:A1"}));
  const json with = route_json(way_and({"--via", "hold:A1=3"}));
  CHECK(with["standing_s"] == 180.0);
  CHECK(with["time_s"].get<double>() >= without["time_s"].get<double>() + 179.0);
}

TEST_CASE("A closed taxiway is not on the route") {
  const auto uses = [](const json& route, const std::string& name) {
    for (const json& leg : route["legs"])
      if (leg["name"] == name) return true;
    return false;
  };
  const json open = route_json(kWay);
  std::string name;
  for (const json& leg : open["legs"])
    if (leg["kind"] == "taxiway" && leg["name"] != "A1") name = leg["name"];
  REQUIRE_FALSE(name.empty());
  const Result closed = route(way_and({"--close", name, "--format", "json"}));
  if (closed.status == 0)
    CHECK_FALSE(uses(json::parse(closed.out), name));
  else
    CHECK(closed.status == 4);
}

TEST_CASE("US units are in the text only; JSON stays SI") {
  const Result text = route(way_and({"--units", "us"}));
  CHECK(text.out.find(" ft") != std::string::npos);
  CHECK(text.out.find(" kg") == std::string::npos);
  CHECK(route_json(way_and({"--units", "us"})) == route_json(kWay));
}

TEST_CASE("Without any elevation the pressure is that at sea level, and a finding says so") {
  const Folder folder;
  const std::string map = folder.write("small.osm", osm(small_field()));
  const Result result = run_program({"route", map, "--from", "stand:1", "--to", "runway:09", "--format", "json"});
  CAPTURE(result.err);
  REQUIRE(result.status == 0);
  const json route = json::parse(result.out);
  CHECK(route["conditions"]["pressure_hpa"] == 1013.25);
  std::size_t count = 0;
  for (const json& f : route["findings"]) count += f["code"] == "elevation-unknown" ? 1U : 0U;
  CHECK(count == 1);
  CHECK(route["attribution"].get<std::string>().find("ODbL") != std::string::npos);
}

TEST_CASE("Options may stand before and behind the map, with = or a blank, and southern positions are no options") {
  const Result a = route(kWay);
  const Result b = run_program({"route", "--to=runway:09", "--dem", demo_raster(), "--from", "stand:12", demo_field()});
  CHECK(a.status == 0);
  CHECK(a.out == b.out);
  const Result south = route({"--from", "-31.1941,-24.5699", "--to", "runway:09"});
  CAPTURE(south.err);
  CHECK(south.status == 0);
}

TEST_CASE("The same question gives the same bytes") {
  CHECK(route(way_and({"--format", "json", "--engines", "left"})).out ==
        route(way_and({"--format", "json", "--engines", "left"})).out);
}
