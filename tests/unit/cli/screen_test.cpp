// The screen command: what it refuses, and what its files hold.
#include <cpl_minixml.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>

#include "fixture.hpp"
#include "unit/io/scratch_folder.hpp"

using namespace solotaxi::cli::test;
using solotaxi::test::ScratchFolder;

namespace {

Result screen(std::vector<std::string> more) {
  std::vector<std::string> args{"screen", demo_field(), "--dem", demo_raster(), "--mend", "1"};
  args.insert(args.end(), more.begin(), more.end());
  return run_program(args);
}

}  // namespace

TEST_CASE("A screen takes no places, page or brakes, and says which of its options clash") {
  const std::string help = run_program({"screen", "--help"}).out;
  for (const char* option : {"--aircraft", "--traffic", "--movements", "--mend", "--what-if", "--close", "--rule",
                             "--queue", "--mass", "--units", "--dem", "--out"})
    CHECK(help.find(option) != std::string::npos);
  for (const char* option : {"--from", "--html", "--brake-temp", "--direction", "--seed"})
    CHECK(help.find(option) == std::string::npos);
  CHECK(screen({"--movements", "10", "--traffic", "x.csv"}).status == 2);
  CHECK(screen({"--mend", "51"}).status == 2);
  CHECK(screen({"--out", "screen.txt"}).status == 2);
  CHECK(screen({"--traffic", "/nowhere/x.csv"}).status == 3);
  CHECK(screen({"--what-if", "/nowhere/x.toml"}).status == 3);
}

TEST_CASE("A screen's GeoPackage holds its layers with a style each, as GDAL and QGIS read them") {
  const ScratchFolder folder;
  const std::string file = (folder.path / "screen.gpkg").string(), table = (folder.path / "screen.csv").string();
  const Result result = screen({"--out", file, "--out", table});
  CAPTURE(result.err);
  REQUIRE(result.status == 0);
  const GDALDatasetUniquePtr read(GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR));
  REQUIRE(read != nullptr);
  OGRLayer* styles = read->GetLayerByName("layer_styles");
  REQUIRE(styles != nullptr);
  CHECK(styles->GetGeomType() == wkbNone);
  CHECK(styles->GetFeatureCount() == 4);
  for (const auto& style : *styles) {
    OGRLayer* styled = read->GetLayerByName(style->GetFieldAsString("f_table_name"));
    REQUIRE(styled != nullptr);
    CHECK(styled->GetFeatureCount() > 0);
    CHECK(std::string(style->GetFieldAsString("f_geometry_column")) == styled->GetGeometryColumn());
    CHECK(style->GetFieldAsInteger("useAsDefault") == 1);
    CPLXMLNode* qml = CPLParseXMLString(style->GetFieldAsString("styleQML"));
    REQUIRE(qml != nullptr);
    CHECK(CPLSearchXMLNode(qml, "=renderer-v2") != nullptr);
    // Every feature falls under exactly one rule.
    GIntBig drawn = 0;
    for (const CPLXMLNode* rule = CPLSearchXMLNode(qml, "=rules")->psChild; rule != nullptr; rule = rule->psNext) {
      if (std::string(rule->pszValue) != "rule") continue;
      const std::string filter = CPLGetXMLValue(rule, "filter", "");
      OGRLayer* met = read->ExecuteSQL(("SELECT * FROM \"" + std::string(styled->GetName()) + "\" WHERE " +
                                        (filter == "true" ? std::string("1 = 1") : filter))
                                           .c_str(),
                                       nullptr, "SQLITE");
      REQUIRE(met != nullptr);
      drawn += met->GetFeatureCount();
      read->ReleaseResultSet(met);
    }
    CHECK(drawn == styled->GetFeatureCount());
    CPLDestroyXMLNode(qml);
  }
  std::ifstream lines(table);
  std::size_t rows = 0;
  for (std::string line; std::getline(lines, line); ++rows) CHECK(std::count(line.begin(), line.end(), ',') == 13);
  CHECK(rows == 1 + 8 * 43);
}

TEST_CASE("A screen of two aircraft with changes tells each as it is and changed, on the same movements") {
  const ScratchFolder folder;
  const std::string changes = (folder.path / "what_if.toml").string();
  std::ofstream(changes) << "[[change]]\nname = \"K\"\nclosed = true\n";
  const Result result =
      screen({"--aircraft", "narrow-body-twin", "--aircraft", "four-engine", "--what-if", changes, "--format", "json"});
  CAPTURE(result.err);
  REQUIRE(result.status == 0);
  const auto json = nlohmann::json::parse(result.out);
  REQUIRE(json["aircraft"].size() == 2);
  for (const auto& one : json["aircraft"]) {
    CHECK(one["now"]["movements"].get<double>() == Approx(100000.0));
    CHECK(one["changed"]["movements"].get<double>() <= 100000.0 + 1.0);
    CHECK(one["changed"]["fuel_kg"] != one["now"]["fuel_kg"]);
    for (const auto& s : one["changed"]["segments"]) CHECK(s["name"] != "K");
  }
  std::ofstream(changes) << "[[change]]\nname = \"nowhere\"\nclosed = true\n";
  const Result refused = screen({"--what-if", changes});
  CHECK(refused.status == 3);
  CHECK(refused.err.find("nowhere") != std::string::npos);
}
