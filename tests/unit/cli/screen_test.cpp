// The screen command: what it refuses, and what its files hold.
#include <cpl_minixml.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <filesystem>
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

TEST_CASE("A screen takes no places or brakes, and says which of its options clash") {
  const std::string help = run_program({"screen", "--help"}).out;
  for (const char* option :
       {"--aircraft", "--traffic", "--movements", "--mend", "--what-if", "--close", "--rule", "--queue", "--mass",
        "--units", "--dem", "--out", "--html", "--standard-routes", "--trunk-worth"})
    CHECK(help.find(option) != std::string::npos);
  for (const char* option : {"--from", "--brake-temp", "--direction", "--seed"})
    CHECK(help.find(option) == std::string::npos);
  CHECK(screen({"--movements", "10", "--traffic", "x.csv"}).status == 2);
  CHECK(screen({"--mend", "51"}).status == 2);
  CHECK(screen({"--out", "screen.txt"}).status == 2);
  CHECK(screen({"--html", "screen.txt"}).status == 2);
  CHECK(screen({"--html", demo_field()}).status == 2);
  CHECK(screen({"--trunk-worth", "5"}).status == 2);
  CHECK(screen({"--standard-routes", "--trunk-worth", "-1"}).status == 2);
  CHECK(screen({"--traffic", "/nowhere/x.csv"}).status == 3);
  CHECK(screen({"--what-if", "/nowhere/x.toml"}).status == 3);
}

TEST_CASE("A screen's GeoPackage holds its layers with a style each, as GDAL and QGIS read them") {
  const ScratchFolder folder;
  const std::string file = (folder.path / "screen.gpkg").string(), table = (folder.path / "screen.csv").string();
  const Result result = screen({"--standard-routes", "--out", file, "--out", table});
  CAPTURE(result.err);
  REQUIRE(result.status == 0);
  const GDALDatasetUniquePtr read(GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR));
  REQUIRE(read != nullptr);
  OGRLayer* styles = read->GetLayerByName("layer_styles");
  REQUIRE(styles != nullptr);
  CHECK(styles->GetGeomType() == wkbNone);
  CHECK(styles->GetFeatureCount() == 5);
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
  const auto report = nlohmann::json::parse(result.out);
  REQUIRE(report["aircraft"].size() == 2);
  for (const auto& one : report["aircraft"]) {
    CHECK(one["now"]["movements"].get<double>() == Approx(100000.0));
    CHECK(one["changed"]["movements"].get<double>() <= 100000.0 + 1.0);
    CHECK(one["changed"]["fuel_kg"] != one["now"]["fuel_kg"]);
    for (const auto& s : one["changed"]["segments"]) CHECK(s["name"] != "K");
  }
  std::ofstream(changes) << "[[centreline]]\naeroway = \"taxiway\"\nref = \"Z\"\n"
                            "line = [[-31.192784, -24.5900], [-31.198376, -24.5966]]\n";
  const Result drawn = screen({"--what-if", changes, "--format", "json", "--html", (folder.path / "screen.html").string()});
  CAPTURE(drawn.err);
  REQUIRE(drawn.status == 0);
  const auto told = nlohmann::json::parse(drawn.out);
  REQUIRE(told["asked"]["new_lines"].size() == 1);
  CHECK(told["asked"]["new_lines"][0]["name"] == "Z");
  const auto& was = told["aircraft"][0]["now"]["pairs"];
  const auto& is = told["aircraft"][0]["changed"]["pairs"];
  REQUIRE(was.size() == is.size());
  bool shorter = false;
  for (std::size_t i = 0; i < was.size(); ++i) {
    for (const char* key : {"stand_id", "runway", "direction", "movements"}) CHECK(was[i][key] == is[i][key]);
    if (!was[i]["reference"].is_null()) shorter |= is[i]["reference"]["length_m"] < was[i]["reference"]["length_m"];
  }
  CHECK(shorter);
  bool on_new = false;
  for (const auto& s : told["aircraft"][0]["changed"]["segments"]) on_new |= s["name"] == "Z";
  CHECK(on_new);
  CHECK(std::filesystem::file_size(folder.path / "screen.html") > 50000);
  std::ofstream(changes) << "[[centreline]]\naeroway = \"taxiway\"\nline = [[-31.1960, -24.5900], [-31.1960, -24.5920]]\n";
  const Result apart = screen({"--what-if", changes, "--html", (folder.path / "none.html").string()});
  CHECK(apart.status == 3);
  CHECK(apart.err.find("meets no line") != std::string::npos);
  CHECK_FALSE(std::filesystem::exists(folder.path / "none.html"));
  std::ofstream(changes) << "[[change]]\nname = \"nowhere\"\nclosed = true\n";
  const Result refused = screen({"--what-if", changes});
  CHECK(refused.status == 3);
  CHECK(refused.err.find("nowhere") != std::string::npos);
}
