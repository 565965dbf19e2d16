#include "solotaxi/io/survey_file.hpp"

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "solotaxi/base/error.hpp"
#include "unit/io/scratch_folder.hpp"

using namespace solotaxi;
using namespace solotaxi::io;

namespace {

/// A file that is removed at the end of the test.
class TextFile {
 public:
  explicit TextFile(const std::string& text) : path_(folder_.path / "survey.csv") { std::ofstream(path_) << text; }
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
  test::ScratchFolder folder_;
  std::filesystem::path path_;
};

std::vector<terrain::Reading> points_of(const std::string& text, const SurveyOptions& options = {}) {
  const TextFile file(text);
  return open_survey(file.path(), options)->readings({}, Metres{30.0}).list;
}

Error survey_refusal(const std::string& text) {
  const TextFile file(text);
  try {
    (void)open_survey(file.path());
  } catch (const Error& error) {
    return error;
  }
  FAIL("no error for " << text);
  return usage_error("");
}

}  // namespace

TEST_CASE("surveyed points are read without a heading, with a sigma where there is one", "[survey]") {
  const auto points = points_of("-12.5, -30.25, 14.02\n\n# levelled\n-12.6,-30.5,+15.5,0.02\r\n");
  REQUIRE(points.size() == 2);
  CHECK(points[0].at == LatLon::degrees(-12.5, -30.25));
  CHECK(points[0].height_m == 14.02);
  CHECK(points[0].sigma_m == 0.0);
  CHECK(points[1].height_m == 15.5);
  CHECK(points[1].sigma_m == 0.02);
}

TEST_CASE("a heading names the columns in any order", "[survey]") {
  const auto points =
      points_of("\xEF\xBB\xBFname,Longitude,Latitude,sd,\"Elevation\"\nA1,-30.25,-12.5,0.1,14\nA2,-30.26,-12.5,,15\n");
  REQUIRE(points.size() == 2);
  CHECK(points[0].at == LatLon::degrees(-12.5, -30.25));
  CHECK(points[0].height_m == 14.0);
  CHECK(points[0].sigma_m == 0.1);
  CHECK(points[1].sigma_m == 0.0);
}

TEST_CASE("an offset is added and stands for the step between datums", "[survey]") {
  const TextFile file("lat,lon,ellipsoidal_height\n-12.5,-30.25,14\n");
  CHECK(open_survey(file.path())->datum().kind == terrain::VerticalDatum::Kind::ellipsoid);
  CHECK_FALSE(open_survey(file.path())->datum().offset_given);
  SurveyOptions options;
  options.offset_m = -45.5;
  const auto moved = open_survey(file.path(), options);
  CHECK(moved->datum().offset_given);
  CHECK(moved->readings({}, Metres{30.0}).list.at(0).height_m == -31.5);
}

TEST_CASE("faults of a survey are named with file and line", "[survey]") {
  const auto line_of = [](const std::string& text, const char* words) {
    const Error error = survey_refusal(text);
    CHECK(error.error_class() == ErrorClass::data);
    CHECK_THAT(error.message(), Catch::Contains(words));
    CHECK_THAT(error.where().file, Catch::EndsWith("/survey.csv"));
    return error.where().line.value_or(0);
  };
  CHECK(line_of("-12.5,-30.25,14\n-12.5,-30.25\n", "no height") == 2);
  CHECK(line_of("lat,lon,height\n-12.5,west,14\n", "not a number") == 2);
  CHECK(line_of("-12.5,-30.25,14,0\n", "sigma") == 1);
  CHECK(line_of("-12.5,-30.25,nan\n", "not a number") == 1);
  CHECK(line_of("-30.25,-192.5,14\n", "out of range") == 1);
  CHECK(line_of("-12.5,-30.25,32000\n", "no ground") == 1);
  CHECK(line_of("lat,lon\n-12.5,-30.25\n", "heading") == 1);
  CHECK(line_of("lat,latitude,lon,height\n1,1,1,1\n", "mean the same") == 1);
  CHECK(line_of("# nothing\n", "no point") == 0);
  CHECK_THROWS_AS(open_survey("no such survey.csv"), Error);
}
