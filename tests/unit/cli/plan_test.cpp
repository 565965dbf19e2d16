// The plan command: what it refuses before a map is read, and plans on the demo field.
#include <nlohmann/json.hpp>

#include "fixture.hpp"

using namespace solotaxi::cli::test;
using nlohmann::json;

namespace {

std::vector<std::string> plan_args(std::vector<std::string> more) {
  std::vector<std::string> args{"plan", demo_field(), "--dem", demo_raster(), "--from", "stand:12", "--to", "runway:09"};
  args.insert(args.end(), more.begin(), more.end());
  return args;
}

json plan(std::vector<std::string> more) {
  more.insert(more.end(), {"--format", "json"});
  const Result result = run_program(plan_args(std::move(more)));
  CAPTURE(result.err);
  REQUIRE(result.status == 0);
  return json::parse(result.out);
}

double phase_s(const json& plan, const std::string& phase) {
  double time_s = 0.0;
  for (const json& p : plan["phases"])
    if (p["phase"] == phase) time_s += p["time_s"].get<double>();
  return time_s;
}

}  // namespace

TEST_CASE("A plan's help lists its own options and the route's, without the objective") {
  const std::string help = run_program({"plan", "--help"}).out;
  for (const char* option :
       {"--from",          "--to",           "--via",           "--close", "--avoid",      "--aircraft", "--mass",
        "--engines",       "--require",      "--oat",           "--qnh",   "--surface",    "--n1-limit", "--direction",
        "--units",         "--queue",        "--queue-moves",   "--rule",  "--push-back",  "--warm-up",  "--start-time",
        "--cool-down",     "--apu",          "--since-landing", "--seed",  "--brake-temp", "--format",   "--out",
        "--unknown-grade", "--landing-roll", "--alternatives", "--html"}) {
    CAPTURE(option);
    CHECK(help.find(option) != std::string::npos);
  }
  CHECK(help.find("--objective") == std::string::npos);
  std::istringstream lines(help);
  for (std::string line; std::getline(lines, line);) CHECK(line.size() <= 81);  // bytes; "°" has two
}

TEST_CASE("A plan's value out of range is a usage error that names the option and its range with the unit") {
  const std::vector<std::vector<std::string>> cases{{"--queue", "-1", "0 to 120 min"},
                                                    {"--queue", "121", "0 to 120 min"},
                                                    {"--queue", "long", "0 to 120 min"},
                                                    {"--queue-moves", "11", "0 to 10 per min"},
                                                    {"--push-back", "3601", "0 to 3600 s"},
                                                    {"--warm-up", "1801", "0 to 1800 s"},
                                                    {"--start-time", "nan", "0 to 600 s"},
                                                    {"--cool-down", "-5", "0 to 1800 s"},
                                                    {"--since-landing", "3601", "0 to 3600 s"},
                                                    {"--apu", "maybe", "on, off"},
                                                    {"--brake-temp", "1001", "-60 to 1000 °C"},
                                                    {"--alternatives", "11", "0 to 10"},
                                                    {"--alternatives", "1.5", "0 to 10"},
                                                    {"--seed", "-1", "0 to 18446744073709551615"},
                                                    {"--engines", "all", "every engine"},
                                                    {"--engines", "3", "engine 3"},
                                                    {"--rule", "fly-low", "fly-low"},
                                                    {"--rule", "all-engines=kind:canal", "canal"},
                                                    {"--rule", "min-one-engine-s=soon", "soon"},
                                                    {"--objective", "time", ""}};
  for (const auto& c : cases) {
    CAPTURE(c[0], c[1]);
    check_failure(run_program(plan_args({c[0], c[1]})), 2, {c[0], c[2]});
  }
}

TEST_CASE("A plan that is neither departure nor arrival, or has no way, fails as a route does") {
  check_failure(run_program({"plan", demo_field(), "--from", "stand:12", "--to", "stand:24"}), 2, {"direction"});
  check_failure(run_program(plan_args({"--close", "M", "--close", "F", "--close", "A", "--close", "K"})), 4,
                {"no route from stand:12 to runway:09"});
  check_failure(run_program({"plan", demo_field(), "--from", "stand:12", "--to", "runway:35"}), 3, {"35"});
}

TEST_CASE("A plan is written as text, JSON and every map format at once") {
  const Folder folder;
  const Result result = run_program(
      plan_args({"--out", folder / "p.geojson", "--out", folder / "p.gpkg", "--out", folder / "p.kml", "--queue", "5"}));
  CAPTURE(result.err);
  REQUIRE(result.status == 0);
  CHECK(result.out.starts_with("TAXI PLAN"));
  check_width(result.out);
  check_width(run_program(plan_args({"--units", "us", "--alternatives", "3"})).out);
  CHECK(folder.files() == 3);
  const json layers = json::parse(contents(folder / "p.geojson"));
  std::size_t phases = 0, points = 0;
  for (const json& f : layers["features"]) {
    phases += f["properties"]["layer"] == "phases" ? 1U : 0U;
    points += f["properties"]["layer"] == "engine_points" ? 1U : 0U;
  }
  CHECK(phases >= 1);
  CHECK(points >= 1);
  CHECK(contents(folder / "p.kml").find("<kml") != std::string::npos);
}

TEST_CASE("Times, queue, engines and APU reach the plan") {
  const json plain = plan({"--queue", "10"});
  CHECK(phase_s(plain, "all") >= 180.0 - 0.1);  // the aircraft file's warm-up
  CHECK(phase_s(plain, "start") >= 60.0 - 0.1);
  CHECK(phase_s(plan({"--queue", "10", "--warm-up", "300"}), "all") >= 300.0 - 0.1);
  CHECK(phase_s(plan({"--queue", "10", "--start-time", "90"}), "start") >= 90.0 - 0.1);
  CHECK(plan({"--push-back", "200"})["push_back"]["time_s"] == 200.0);
  CHECK(plain["time_s"].get<double>() >= plan({})["time_s"].get<double>() + 599.0);
  CHECK(plan({"--queue", "10", "--engines", "right"})["running_set"] == "right");
  CHECK(plan({"--queue", "10", "--brake-temp", "250"})["sim"][0]["brake_c"] == 250.0);
  const json bled = plan({"--queue", "10", "--apu", "off"});
  CHECK(bled["emissions"]["engine_fuel_kg"] == bled["fuel_kg"]);
  CHECK(plain["emissions"]["engine_fuel_kg"] < plain["fuel_kg"]);
  const json arrival =
      json::parse(run_program({"plan", demo_field(), "--dem", demo_raster(), "--from", "runway:27", "--to", "stand:24",
                               "--format", "json", "--cool-down", "60", "--since-landing", "30"})
                      .out);
  REQUIRE(arrival["shutdown"].is_object());
  CHECK(arrival["shutdown"]["after_landing_s"].get<double>() >= 60.0 - 0.1);
  CHECK(arrival["pays_from_queue_s"].is_null());
}

TEST_CASE("Rules and the surface reach the plan, and where one engine is not advised it says why") {
  const json ruled = plan({"--queue", "10", "--rule", "all-engines=kind:taxiway"});
  double every_from_m = 0.0;
  for (const json& phase : ruled["phases"])
    if (phase["phase"] == "all") every_from_m = phase["from_m"];
  for (const json& leg : ruled["legs"])
    if (leg["kind"] == "taxiway") CHECK(leg["from_m"].get<double>() >= every_from_m - 0.1);
  const json long_enough = plan({"--queue", "10", "--rule", "min-one-engine-s=7200"});
  CHECK(long_enough["advised"] == "reference");
  CHECK_FALSE(long_enough["why_not"].empty());
  const json slippery = plan({"--queue", "10", "--surface", "contaminated"});
  CHECK(slippery["advised"] == "reference");
  CHECK_FALSE(slippery["why_not"].empty());
}

TEST_CASE("The figures of a plan agree with one another") {
  const json p = plan({"--queue", "7", "--alternatives", "2"});
  CHECK(p["saving_kg"].get<double>() ==
        Approx(p["reference"]["fuel_kg"].get<double>() - p["fuel_kg"].get<double>()).margin(0.002));
  double fuel_kg = 0.0, time_s = 0.0;
  for (const json& phase : p["phases"]) fuel_kg += phase["fuel_kg"].get<double>(), time_s += phase["time_s"].get<double>();
  CHECK(fuel_kg == Approx(p["fuel_kg"].get<double>()).margin(0.01));
  CHECK(time_s == Approx(p["time_s"].get<double>()).margin(0.5));
  CHECK(p["sim"].back()["fuel_kg"].get<double>() == Approx(p["fuel_kg"].get<double>()).margin(0.01));
  CHECK(p["sim"].back()["time_s"].get<double>() == Approx(p["time_s"].get<double>()).margin(0.5));
  CHECK(p["sim"].back()["at_m"].get<double>() == Approx(p["length_m"].get<double>()).margin(0.2));
  CHECK(p["search"]["saving_kg"].get<double>() ==
        Approx(p["search"]["reference_kg"].get<double>() - p["search"]["minimum_kg"].get<double>()).margin(0.002));
  CHECK(p["search"]["fuel_kg"].get<double>() >= p["search"]["minimum_kg"].get<double>() - 0.001);
  CHECK(p["savings"].size() == 4);
  CHECK(p["alternatives"].size() <= 2);
  CHECK(p == plan({"--queue", "7", "--alternatives", "2"}));
}
