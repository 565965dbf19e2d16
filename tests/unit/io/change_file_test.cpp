#include "solotaxi/io/change_file.hpp"

#include <catch2/catch.hpp>
#include <fstream>

#include "solotaxi/base/error.hpp"
#include "unit/io/scratch_folder.hpp"

using namespace solotaxi;

namespace {

std::vector<planning::Change> read(const std::string& text) {
  const test::ScratchFolder folder;
  const auto file = folder.path / "what_if.toml";
  std::ofstream(file, std::ios::binary) << text;
  return io::read_changes(file);
}

std::string refusal(const std::string& text) {
  try {
    static_cast<void>(read(text));
  } catch (const Error& error) {
    CHECK(error.error_class() == ErrorClass::data);
    return error.one_line();
  }
  return "";
}

}  // namespace

TEST_CASE("changes are read in their order, each with what it says and no more") {
  const auto changes = read(
      "[[change]]\nname = \"B\"\nmax_grade_pct = 1\n[[change]]\nname = \"way/7\"\nmin_radius_m = 45.5\nclosed = false\n");
  REQUIRE(changes.size() == 2);
  CHECK(changes[0].name == "B");
  CHECK(changes[0].max_grade_pct == 1.0);
  CHECK_FALSE(changes[0].min_radius_m);
  CHECK_FALSE(changes[0].closed);
  CHECK(changes[1].min_radius_m == 45.5);
  CHECK(changes[1].closed == false);
}

TEST_CASE("a file of changes that means nothing is one error with its line") {
  CHECK(refusal("[[change]]\nname = \"B\"\nslope = 1\n").find(":3") != std::string::npos);
  CHECK(refusal("[[change]]\nname = \"B\"\nmax_grade_pct = 11\n").find("from 0 to 10 %") != std::string::npos);
  CHECK(refusal("[[change]]\nname = \"B\"\nmax_grade_pct = nan\n").find("from 0 to 10 %") != std::string::npos);
  CHECK(refusal("[[change]]\nname = \"B\"\nclosed = \"yes\"\n").find("true or false") != std::string::npos);
  CHECK(refusal("[[change]]\nclosed = true\n").find("names nothing") != std::string::npos);
  CHECK(refusal("[[change]]\nname = \"B\"\n").find("nothing is changed") != std::string::npos);
  CHECK(refusal("[[centreline]]\nname = \"Z\"\n").find("new centrelines are not read") != std::string::npos);
  CHECK(refusal("change = 3\n").find("[[change]]") != std::string::npos);
  CHECK(refusal("").find("may be empty") != std::string::npos);
  CHECK(refusal("[[change]\n").find("TOML") != std::string::npos);
}
