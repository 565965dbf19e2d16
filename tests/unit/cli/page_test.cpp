// The page as an output of plan and route: written with the others or not at all.
#include "unit/cli/fixture.hpp"

using namespace solotaxi::cli::test;

namespace {

std::vector<std::string> asked(const std::string& command, const std::vector<std::string>& more) {
  std::vector<std::string> args{command, demo_field(), "--dem", demo_raster(), "--from", "stand:12", "--to", "runway:09"};
  args.insert(args.end(), more.begin(), more.end());
  return args;
}

}  // namespace

TEST_CASE("a plan and a route are written as a page beside what they print") {
  const Folder folder;
  for (const std::string command : {"plan", "route"}) {
    const std::string file = folder / (command + ".HTML");
    const Result plain = run_program(asked(command, {}));
    const Result result = run_program(asked(command, {"--html", file}));
    CAPTURE(result.err);
    REQUIRE(result.status == 0);
    CHECK(result.out == plain.out);
    const std::string page = contents(file);
    CHECK(page.starts_with("<!doctype html>"));
    CHECK(page.ends_with("</html>\n"));
    CHECK(page.size() < 400'000);
    CHECK(page.find(command == "plan" ? "Taxi plan" : "Taxi route") != std::string::npos);
    CHECK(page.find("Tarrow Bank (XQTB)") != std::string::npos);
    CHECK(run_program(asked(command, {"--html", file})).status == 0);
    CHECK(contents(file) == page);  // the same question gives the same bytes
  }
  CHECK(folder.files() == 2);
}

TEST_CASE("US units are on the page and in the text") {
  const Folder folder;
  const Result result = run_program(asked("plan", {"--units", "us", "--html", folder / "p.html"}));
  REQUIRE(result.status == 0);
  const std::string page = contents(folder / "p.html");
  CHECK(result.out.find(" lb") != std::string::npos);
  CHECK(page.find("\xC2\xA0lb") != std::string::npos);
  CHECK(page.find("\xC2\xA0"
                  "ft") != std::string::npos);
  CHECK(page.find("\xC2\xA0kg") == std::string::npos);
}

TEST_CASE("a page with another ending, over an input, or named as another output, is refused before any work") {
  const Folder folder;
  for (const std::string command : {"plan", "route"}) {
    check_failure(run_program(asked(command, {"--html", folder / "page.pdf"})), 2, {"--html", "page.pdf", ".html"});
    check_failure(run_program(asked(command, {"--html", folder / "page"})), 2, {"--html", ".html"});
    check_failure(run_program(asked(command, {"--html", folder / "a.html", "--html", folder / "b.html"})), 2,
                  {"--html", "once"});
    check_failure(run_program(asked(command, {"--out", folder / "page.html"})), 2, {"--out", ".geojson"});
    const std::string aircraft = folder.write("twin.html", "mass_kg = 60000\n");
    check_failure(run_program(asked(command, {"--aircraft", aircraft, "--html", aircraft})), 2, {"--html", "overwritten"});
    CHECK(contents(aircraft) == "mass_kg = 60000\n");
    fs::remove(aircraft);
  }
  CHECK(folder.files() == 0);
}

TEST_CASE("where one output cannot be written none is, the page neither") {
  const Folder folder;
  const Result result = run_program(asked("plan", {"--html", folder / "none/p.html", "--out", folder / "p.geojson"}));
  check_failure(result, 3, {"p.html"});
  CHECK(folder.files() == 0);
  check_failure(run_program(asked("route", {"--html", folder / "p.html", "--close", "A", "--close", "M"})), 4,
                {"no route"});
  CHECK(folder.files() == 0);
}
