// What the command line refuses before any map is read: exit status 2.
#include "fixture.hpp"

using namespace solotaxi::cli::test;

namespace {
std::vector<std::string> route_words(std::vector<std::string> more) {
  std::vector<std::string> args{"route", demo_field(), "--from", "stand:12", "--to", "runway:09"};
  args.insert(args.end(), more.begin(), more.end());
  return args;
}
}  // namespace

TEST_CASE("Help and version go to standard output with status 0, in 80 columns") {
  for (const std::vector<std::string>& args : std::vector<std::vector<std::string>>{
           {"--help"}, {"check", "--help"}, {"route", "--help"}, {"plan", "--help"}, {"--version"}}) {
    const Result result = run_program(args);
    CHECK(result.status == 0);
    CHECK(result.err.empty());
    CHECK_FALSE(result.out.empty());
  }
  const std::string help = run_program({"route", "--help"}).out;
  for (const char* option : {"--from",
                             "--to",
                             "--via",
                             "--close",
                             "--avoid",
                             "--objective",
                             "--aircraft",
                             "--mass",
                             "--engines",
                             "--require",
                             "--oat",
                             "--qnh",
                             "--pressure-altitude",
                             "--surface",
                             "--n1-limit",
                             "--direction",
                             "--landing-roll",
                             "--units",
                             "--format",
                             "--out",
                             "--dem",
                             "--mapping",
                             "--aerodrome",
                             "--snap",
                             "--access-no"}) {
    CAPTURE(option);
    CHECK(help.find(option) != std::string::npos);
  }
  std::istringstream lines(help);
  for (std::string line; std::getline(lines, line);) CHECK(line.size() <= 81);  // bytes; "°" has two
}

TEST_CASE("A missing or unknown command is a usage error that names the commands") {
  check_failure(run_program({}), 2, {"command", "check, route, plan"});
  check_failure(run_program({"fly"}), 2, {"\"fly\"", "check, route, plan"});
}

TEST_CASE("A missing place, an unknown option and a surplus argument are usage errors") {
  check_failure(run_program({"route", demo_field(), "--from", "stand:12"}), 2, {"--to"});
  check_failure(run_program({"check"}), 2, {"MAP"});
  check_failure(run_program(route_words({"--colour", "red"})), 2, {"--colour"});
  check_failure(run_program({"check", demo_field(), "more"}), 2, {"more"});
  check_failure(run_program(route_words({"--oat"})), 2, {"--oat"});
}

TEST_CASE("A value out of range is a usage error that names the option and its range, never clamped") {
  const std::vector<std::vector<std::string>> cases{{"--oat", "61", "-60 to 60 °C"},
                                                    {"--oat", "-61", "-60 to 60 °C"},
                                                    {"--oat", "nan", "-60 to 60 °C"},
                                                    {"--oat", "warm", "-60 to 60 °C"},
                                                    {"--oat", "15x", "-60 to 60 °C"},
                                                    {"--qnh", "84", "850 to 1090 hPa"},
                                                    {"--n1-limit", "101", "5 to 100 %"},
                                                    {"--n1-limit", "10", "20 to 100 %"},
                                                    {"--mass", "41999", "42000 to 79000 kg"},
                                                    {"--mass", "79001", "42000 to 79000 kg"},
                                                    {"--mass", "1e9", "1000 to 1000000 kg"},
                                                    {"--pressure-altitude", "20001", "-2000 to 20000 ft"},
                                                    {"--landing-roll", "-1", "0 to 6000 m"},
                                                    {"--snap", "21", "0 to 20 m"},
                                                    {"--objective", "money", "distance, time, fuel"},
                                                    {"--surface", "icy", "dry, wet, contaminated"},
                                                    {"--require", "flying", "standing, rolling"},
                                                    {"--units", "uk", "si, us"},
                                                    {"--format", "xml", "text, json"},
                                                    {"--direction", "up", "departure, arrival"},
                                                    {"--access-no", "maybe", "open, closed"}};
  for (const auto& c : cases) {
    CAPTURE(c[0], c[1]);
    check_failure(run_program(route_words({c[0], c[1]})), 2, {c[0], c[2]});
  }
  check_failure(run_program({"check", demo_field(), "--code-letter", "G"}), 2, {"--code-letter", "A, B, C, D, E, F"});
}

TEST_CASE("An option given twice that is meant once is a usage error that says so") {
  check_failure(run_program(route_words({"--oat", "3", "--oat", "4"})), 2, {"--oat: is given 2 times; once is meant"});
  check_failure(run_program(route_words({"--from", "stand:1"})), 2, {"--from: is given 2 times"});
}

TEST_CASE("QNH and pressure altitude exclude each other") {
  check_failure(run_program(route_words({"--qnh", "1000", "--pressure-altitude", "500"})), 2,
                {"--qnh", "--pressure-altitude"});
}

TEST_CASE("left and right are for twins") {
  check_failure(run_program(route_words({"--aircraft", "four-engine", "--engines", "left"})), 2, {"--engines", "left"});
  check_failure(run_program(route_words({"--engines", "3"})), 2, {"--engines", "engine 3"});
  check_failure(run_program(route_words({"--engines", "most"})), 2, {"--engines", "most"});
}

TEST_CASE("An unknown aircraft is a usage error that lists those there are") {
  check_failure(run_program(route_words({"--aircraft", "paper-plane"})), 2,
                {"--aircraft", "paper-plane", "narrow-body-twin"});
}

TEST_CASE("A place that cannot be read is a usage error that names its option") {
  check_failure(run_program({"route", demo_field(), "--from", "pub:1", "--to", "runway:09"}), 2, {"--from", "pub:1"});
  check_failure(run_program({"route", demo_field(), "--from", "stand:1", "--to", "95,0"}), 2, {"--to"});
  check_failure(run_program(route_words({"--via", "hold:A1=long"})), 2, {"--via", "long"});
  check_failure(run_program(route_words({"--via", "hold:A1=-1"})), 2, {"--via", "-1"});
}

TEST_CASE("An output of unknown ending is refused with the list of known ones, before anything is computed") {
  const Folder folder;
  check_failure(run_program(route_words({"--out", folder / "r.shp"})), 2, {"--out", "r.shp", ".geojson, .gpkg, .kml"});
  check_failure(run_program({"check", demo_field(), "--out", folder / "r.kml"}), 2,
                {"r.kml", ".txt, .json, .csv, .gpkg, .geojson"});
  check_failure(run_program({"check", "missing.osm", "--out", folder / "r"}), 2, {".txt"});
  CHECK(folder.files() == 0);
}

TEST_CASE("An output may neither be an input nor be named twice") {
  const Folder folder;
  const std::string map = folder.write("map.geojson", contents(demo_field()));
  const std::string before = contents(map);
  check_failure(run_program({"check", map, "--out", map}), 2, {"map.geojson", "input"});
  CHECK(contents(map) == before);
  check_failure(run_program({"check", map, "--out", folder / "a.json", "--out", folder / "./a.json"}), 2, {"twice"});
}
