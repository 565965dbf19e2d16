#include <nlohmann/json.hpp>
#include <sstream>

#include "fixture.hpp"

using namespace solotaxi::cli::test;

TEST_CASE("A check writes heights and grades of every segment as a table") {
  const Folder folder;
  const std::string table = folder / "profile.csv";
  REQUIRE(run_program({"check", demo_field(), "--dem", demo_raster(), "--out", table}).status == 0);
  std::istringstream lines(contents(table));
  std::string line;
  REQUIRE(std::getline(lines, line));
  CHECK(line == "segment,source_id,name,kind,chainage_m,lat,lon,height_m,grade_pct,grade_sd_pct");
  std::size_t rows = 0, grades = 0;
  while (std::getline(lines, line)) {
    REQUIRE(std::count(line.begin(), line.end(), ',') == 9);
    ++rows;
    if (line.back() != ',') ++grades;
  }
  CHECK(rows > 2000);             // 20 km, a knot at least every 10 m
  CHECK(grades > rows * 9 / 10);  // all but the last of each segment
}

TEST_CASE("A check says how well grades are known and how each source of heights fits") {
  const Result result =
      run_program({"check", demo_field(), "--dem", demo_raster(), "--dem-sigma", "1", "--format", "json"});
  REQUIRE(result.status == 0);
  const auto report = nlohmann::json::parse(result.out);
  const auto& shares = report["grade_sd_share"];
  CHECK(shares["under_0_2_pct"] <= shares["under_0_5_pct"]);
  CHECK(shares["under_0_5_pct"] <= shares["under_1_0_pct"]);
  CHECK(shares["under_1_0_pct"] > 0.9);
  REQUIRE(report["height_sources"].size() == 2);
  CHECK(report["height_sources"][0]["name"] == "elevation.tif");
  CHECK(report["height_sources"][0]["declared_sigma_m"] == 1.0);
  CHECK(report["height_sources"][1]["kind"] == "map lines");
}

TEST_CASE("A survey makes grades more certain, and its faults are named with their line") {
  const Folder folder;
  const auto sure_share = [&](std::vector<std::string> more) {
    std::vector<std::string> args{"check", demo_field(), "--dem", demo_raster(), "--format", "json"};
    args.insert(args.end(), more.begin(), more.end());
    const Result result = run_program(args);
    REQUIRE(result.status == 0);
    return nlohmann::json::parse(result.out)["grade_sd_share"]["under_0_5_pct"].get<double>();
  };
  // The table of a check, surveyed as it stands: columns in another order, and more of them.
  const std::string table = folder / "profile.csv";
  REQUIRE(run_program({"check", demo_field(), "--dem", demo_raster(), "--out", table}).status == 0);
  const double with_survey = sure_share({"--survey", table}), without = sure_share({});
  CHECK(with_survey > without + 0.5);
  const std::string broken = folder.write("broken.csv", "lat,lon,height\n-31.2,-24.58,abc\n");
  check_failure(run_program({"check", demo_field(), "--survey", broken}), 3, {"broken.csv:2", "\"abc\" is not a number"});
  const std::string far = folder.write("far.csv", "0,0,10\n");
  check_failure(run_program({"check", demo_field(), "--survey", far}), 3,
                {"far.csv", "no surveyed point lies within 30 m"});
}

TEST_CASE("An offset brings one input to the datum of the others") {
  const std::string raster = demo_raster();
  // The lines of the demo field carry heights on the raster's datum: 30 m between them is an error of data.
  const Result apart = run_program({"check", demo_field(), "--dem", raster, "--height-offset", raster + "=30"});
  check_failure(apart, 3, {"m from those of elevation.tif", "--height-offset"});
  const Result both = run_program(
      {"check", demo_field(), "--dem", raster, "--height-offset", raster + "=30", "--height-offset", demo_field() + "=30"});
  CHECK(both.status == 0);
  check_failure(run_program({"check", demo_field(), "--dem", raster, "--height-offset", "other.tif=3"}), 2,
                {"none of the inputs"});
  check_failure(run_program({"check", demo_field(), "--dem", raster, "--height-offset", raster}), 2, {"FILE=M"});
  check_failure(run_program({"check", demo_field(), "--dem", raster, "--dem-sigma", "0"}), 2, {"--dem-sigma"});
}
