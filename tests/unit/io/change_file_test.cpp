#include "solotaxi/io/change_file.hpp"

#include <catch2/catch.hpp>
#include <fstream>

#include "solotaxi/base/error.hpp"
#include "unit/io/scratch_folder.hpp"

using namespace solotaxi;

namespace {

io::ChangeFile changes_in(const std::string& text) {
  const test::ScratchFolder folder;
  const auto file = folder.path / "what_if.toml";
  std::ofstream(file, std::ios::binary) << text;
  return io::read_changes(file);
}

std::string change_refusal(const std::string& text) {
  try {
    static_cast<void>(changes_in(text));
  } catch (const Error& error) {
    CHECK(error.error_class() == ErrorClass::data);
    return error.one_line();
  }
  return "";
}

}  // namespace

TEST_CASE("changes are read in their order, each with what it says and no more") {
  const auto changes = changes_in(
                           "[[change]]\nname = \"B\"\nmax_grade_pct = 1\n[[change]]\nname = \"way/7\"\nmin_radius_m = "
                           "45.5\nclosed = false\n")
                           .changes;
  REQUIRE(changes.size() == 2);
  CHECK(changes[0].name == "B");
  CHECK(changes[0].max_grade_pct == 1.0);
  CHECK_FALSE(changes[0].min_radius_m);
  CHECK_FALSE(changes[0].closed);
  CHECK(changes[1].min_radius_m == 45.5);
  CHECK(changes[1].closed == false);
}

TEST_CASE("new centrelines are read as a map's lines are") {
  const auto file = changes_in(
      "[[centreline]]\naeroway = \"taxilane\"\nref = \"Z\"\nwidth = \"23 m\"\n"
      "line = [[-31.5, -24.25], [-31, -24.5, 12.5]]\n"
      "[[centreline]]\naeroway = \"taxiway\"\nline = [[0, 0], [0.001, 0]]\n");
  CHECK(file.changes.empty());
  REQUIRE(file.centrelines.size() == 2);
  const airfield::RawFeature& z = file.centrelines.front();
  CHECK(z.id == "new/1");
  CHECK(z.shape == airfield::RawFeature::Shape::line);
  CHECK(z.tag("ref") == "Z");
  CHECK(z.tag("width") == "23 m");
  REQUIRE(z.vertices.size() == 2);
  CHECK(z.vertices[0].lat_deg == -31.5);
  CHECK(z.vertices[0].lon_deg == -24.25);
  CHECK_FALSE(z.vertices[0].height_m);
  CHECK(z.vertices[1].height_m == 12.5);
  CHECK(file.centrelines[1].id == "new/2");
}

TEST_CASE("a file of changes that means nothing is one error with its line") {
  CHECK(change_refusal("[[change]]\nname = \"B\"\nslope = 1\n").find(":3") != std::string::npos);
  CHECK(change_refusal("[[change]]\nname = \"B\"\nmax_grade_pct = 11\n").find("from 0 to 10 %") != std::string::npos);
  CHECK(change_refusal("[[change]]\nname = \"B\"\nmax_grade_pct = nan\n").find("from 0 to 10 %") != std::string::npos);
  CHECK(change_refusal("[[change]]\nname = \"B\"\nclosed = \"yes\"\n").find("true or false") != std::string::npos);
  CHECK(change_refusal("[[change]]\nclosed = true\n").find("names nothing") != std::string::npos);
  CHECK(change_refusal("[[change]]\nname = \"B\"\n").find("nothing is changed") != std::string::npos);
  const std::string line = "[[centreline]]\naeroway = \"taxiway\"\nref = \"Z\"\n";
  CHECK(change_refusal(line).find("two positions") != std::string::npos);
  CHECK(change_refusal(line + "line = [[1, 2]]\n").find("two positions") != std::string::npos);
  CHECK(change_refusal(line + "line = [[1, 2], [3]]\n").find(":4") != std::string::npos);
  CHECK(change_refusal(line + "line = [[91, 2], [3, 4]]\n").find("a latitude from -90 to 90") != std::string::npos);
  CHECK(change_refusal(line + "line = [[1, 2], [3, nan]]\n").find("a longitude") != std::string::npos);
  CHECK(change_refusal(line + "line = [[1, 2], [3, 4, \"5\"]]\n").find("a height") != std::string::npos);
  CHECK(change_refusal(line + "line = 7\n").find("no list of positions") != std::string::npos);
  CHECK(change_refusal(line + "slope = \"1\"\n").find("unknown key") != std::string::npos);
  CHECK(change_refusal(line + "width = 23\n").find("must be a text") != std::string::npos);
  CHECK(change_refusal("[[centreline]]\naeroway = \"runway\"\nline = [[1, 2], [3, 4]]\n").find("taxiway or a taxilane") !=
        std::string::npos);
  CHECK(change_refusal("change = 3\n").find("[[change]]") != std::string::npos);
  CHECK(change_refusal("").find("may be empty") != std::string::npos);
  CHECK(change_refusal("[[change]\n").find("TOML") != std::string::npos);
}
