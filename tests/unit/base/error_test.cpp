#include "solotaxi/base/error.hpp"

#include <catch2/catch.hpp>

#include "solotaxi/base/finding.hpp"

using namespace solotaxi;

TEST_CASE("an error is one line with file, line, feature, message and hint") {
  const Error error(ErrorClass::data, "width is not\na length", {"field.osm", 12, "way/7"}, "write 23 or 75 ft");
  CHECK(error.one_line() == "field.osm:12: way/7: width is not a length (write 23 or 75 ft)");
  CHECK(static_cast<int>(error.error_class()) == 3);
}

TEST_CASE("the file is added on the way up, and never overwritten") {
  const Error inner = data_error("damaged", {.file = {}, .line = {}, .feature = "way/7"});
  CHECK(inner.in_file("a.osm").one_line() == "a.osm: way/7: damaged");
  CHECK(inner.in_file("a.osm").in_file("b.osm").where().file == "a.osm");
}

TEST_CASE("severities have names") {
  CHECK(std::string(to_string(Severity::serious)) == "serious");
  CHECK(std::string(to_string(Severity::note)) == "note");
  CHECK(std::string(to_string(Severity::caution)) == "caution");
}
