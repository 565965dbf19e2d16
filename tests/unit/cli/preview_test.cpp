// The preview command on the demo field: what it tells, what it refuses, and that a refusal leaves nothing behind.
#include <algorithm>
#include <nlohmann/json.hpp>

#include "fixture.hpp"

using namespace solotaxi::cli::test;
using nlohmann::json;

namespace {

Result preview(const std::string& clearance, std::vector<std::string> more = {}) {
  std::vector<std::string> args{"preview", demo_field(),  "--dem",       demo_raster(), "--from",
                                "stand:12", "--clearance", clearance};
  args.insert(args.end(), more.begin(), more.end());
  return run_program(args);
}

}  // namespace

TEST_CASE("A preview's help lists the plan's options and its own") {
  const std::string help = run_program({"preview", "--help"}).out;
  for (const char* option : {"--from", "--to", "--clearance", "--hold-short", "--close", "--avoid", "--aircraft", "--mass",
                             "--engines", "--queue", "--rule", "--warm-up", "--apu", "--html", "--out", "--units"}) {
    CAPTURE(option);
    CHECK(help.find(option) != std::string::npos);
  }
  for (const char* option : {"--via", "--alternatives", "--objective"}) CHECK(help.find(option) == std::string::npos);
}

TEST_CASE("A preview gives the plan of the way assigned, in text, JSON, layers and a page") {
  const Folder folder;
  const std::string words = "Taxi to holding point Alpha One, runway 09, via Mike, Kilo, Alpha; hold short of Bravo";
  const Result text = preview(words, {"--html", folder / "page.html", "--out", folder / "way.geojson"});
  CAPTURE(text.err);
  REQUIRE(text.status == 0);
  CHECK(text.out.find("taxi to holding point A1 runway 09 via M, K, A, hold short of B") != std::string::npos);
  CHECK(text.out.find("HOLD SHORT of B") != std::string::npos);
  CHECK(folder.files() == 2);
  const Result result = preview(words, {"--format", "json"});
  REQUIRE(result.status == 0);
  const json plan = json::parse(result.out);
  CHECK(plan["assigned"]["way"]["by"] == "M, K, A, A1");
  CHECK(plan["assigned"]["hold_short"].size() == 1);
  CHECK(plan["assigned"]["free"]["fuel_kg"].get<double>() <= plan["assigned"]["way"]["fuel_kg"].get<double>() + 1e-3);
  CHECK(plan["to"] == "hold:A1#field/74");
}

TEST_CASE("What a clearance costs is told in the units asked for") {
  const Result us = preview("holding point A1 via M, E, A", {"--units", "us"});
  REQUIRE(us.status == 0);
  const std::string head = us.out.substr(0, us.out.find("TAXI PLAN"));
  CHECK(head.find(" ft") != std::string::npos);
  CHECK(head.find(" lb") != std::string::npos);
  CHECK(head.find(" kg") == std::string::npos);
  CHECK(head.find(" m,") == std::string::npos);
}

TEST_CASE("A preview that is refused says why, with a status of its class, and writes no file") {
  struct Row {
    std::string clearance;
    std::vector<std::string> more;
    int status;
    std::string words;
  };
  const Folder folder;
  for (const Row& row : std::vector<Row>{
           {"", {}, 2, "the clearance is empty"},
           {"holding point A8 via M, Z9, A", {}, 3, "no taxiway \"Z9\""},
           {"holding point A1 via M", {}, 4, "cannot be followed"},
           {"holding point A1 via M, F, A", {"--close", "F"}, 4, "F"},
           {"via M, F, A", {}, 2, "does not say where it ends"},
           {"holding point A1 via M, F, A", {"--hold-short", "61"}, 2, "0 to 60 min"},
           {"holding point A1 via M, F, A", {"--html", "page.pdf"}, 2, "page.pdf"},
           {"holding point A1 via M, F, A", {"--via", "hold:A8"}, 2, "--via"}}) {
    CAPTURE(row.clearance, row.words);
    std::vector<std::string> more = row.more;
    if (std::find(more.begin(), more.end(), "--html") == more.end()) more.insert(more.end(), {"--html", folder / "page.html"});
    more.insert(more.end(), {"--out", folder / "way.geojson"});
    const Result result = preview(row.clearance, more);
    CAPTURE(result.err);
    CHECK(result.status == row.status);
    CHECK(result.out.empty());
    CHECK(result.err.find(row.words) != std::string::npos);
    CHECK(std::count(result.err.begin(), result.err.end(), '\n') == 1);
    CHECK(folder.files() == 0);
  }
}
