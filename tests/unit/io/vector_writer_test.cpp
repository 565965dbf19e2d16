#include "solotaxi/io/vector_writer.hpp"

#include <ogrsf_frmts.h>
#include <sys/resource.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <chrono>
#include <cmath>
#include <csignal>
#include <fstream>
#include <iterator>
#include <limits>
#include <nlohmann/json.hpp>
#include <thread>

#include "solotaxi/base/error.hpp"

using namespace solotaxi;
using namespace solotaxi::io;
namespace fs = std::filesystem;

namespace {

class Folder {
 public:
  Folder() {
    std::string name = (fs::temp_directory_path() / "solotaxi-writer-XXXXXX").string();
    REQUIRE(mkdtemp(name.data()) != nullptr);
    path_ = name;
  }
  ~Folder() { fs::remove_all(path_); }
  [[nodiscard]] fs::path operator/(const std::string& name) const { return path_ / name; }
  [[nodiscard]] std::ptrdiff_t files() const {
    return std::distance(fs::directory_iterator(path_), fs::directory_iterator());
  }

 private:
  fs::path path_;
};

std::string contents(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

Feature feature(std::vector<LatLon> line, std::vector<double> heights) {
  Feature made;
  made.line = std::move(line);
  made.height_m = std::move(heights);
  return made;
}

std::vector<FeatureLayer> two_layers() {
  constexpr double nan = std::numeric_limits<double>::quiet_NaN();
  const LatLon a = LatLon::degrees(-51.123456789, -20.2), b = LatLon::degrees(-51.1, -20.3),
               c = LatLon::degrees(-51.0, -20.3);
  FeatureLayer ways{"ways", "Not for navigation.", {"name", "length_m", "bridge", "number"}, {}};
  Feature& first = ways.features.emplace_back(feature({a, b}, {4.5, 5.5}));
  first.values.emplace_back(std::string("Größe 滑行道"));
  first.values.emplace_back(12.5);
  first.values.emplace_back(true);
  first.values.emplace_back(std::int64_t{7});
  Feature& second = ways.features.emplace_back(feature({b, c}, {4.5, nan}));
  second.values.emplace_back(std::monostate{});
  second.values.emplace_back(nan);
  second.values.emplace_back(false);
  second.values.emplace_back(std::int64_t{8});
  FeatureLayer places{"places", "", {"name", "kind"}, {}};
  Feature& place = places.features.emplace_back(feature({b}, {}));
  place.values.emplace_back(std::string("12"));
  place.values.emplace_back(std::string("stand"));
  return {ways, places};
}

}  // namespace

TEST_CASE("GeoJSON holds every layer's features in WGS 84 with at least seven decimals [RFC 7946]") {
  const Folder folder;
  write_layers(folder / "route.geojson", two_layers());
  CHECK(folder.files() == 1);
  const auto json = nlohmann::json::parse(contents(folder / "route.geojson"));
  CHECK(json["type"] == "FeatureCollection");
  CHECK_FALSE(json.contains("crs"));
  REQUIRE(json["features"].size() == 3);
  const auto& first = json["features"][0];
  CHECK(first["properties"]["layer"] == "ways");
  CHECK(first["properties"]["name"] == "Größe 滑行道");
  CHECK(first["properties"]["length_m"] == 12.5);
  CHECK(first["properties"]["bridge"] == true);
  CHECK(first["properties"]["number"] == 7);
  CHECK(first["geometry"]["type"] == "LineString");
  CHECK(first["geometry"]["coordinates"][0][0].get<double>() == Approx(-20.2).margin(1e-9));
  CHECK(first["geometry"]["coordinates"][0][1].get<double>() == Approx(-51.123456789).margin(1e-8));
  CHECK(first["geometry"]["coordinates"][0][2] == 4.5);
  CHECK(json["features"][2]["geometry"]["type"] == "Point");
  CHECK(json["features"][2]["properties"]["kind"] == "stand");
}

TEST_CASE("A number that is not finite is null and a line with a missing height is flat") {
  const Folder folder;
  write_layers(folder / "route.geojson", two_layers());
  const auto json = nlohmann::json::parse(contents(folder / "route.geojson"));
  const auto& second = json["features"][1];
  CHECK(second["properties"]["length_m"].is_null());
  CHECK(second["properties"]["name"].is_null());
  CHECK(second["geometry"]["coordinates"][0].size() == 2);
}

TEST_CASE("GeoPackage holds one table a layer, readable again with types and heights") {
  const Folder folder;
  write_layers(folder / "net.gpkg", two_layers());
  CHECK(folder.files() == 1);
  GDALAllRegister();
  const GDALDatasetUniquePtr read(GDALDataset::Open((folder / "net.gpkg").c_str(), GDAL_OF_VECTOR));
  REQUIRE(read != nullptr);
  CHECK(read->GetLayerCount() == 2);
  OGRLayer* ways = read->GetLayerByName("ways");
  REQUIRE(ways != nullptr);
  REQUIRE(ways->GetFeatureCount() == 2);
  CHECK(ways->GetSpatialRef()->IsGeographic());
  const OGRFeatureUniquePtr row(ways->GetNextFeature());
  CHECK(row->GetFieldAsDouble("length_m") == 12.5);
  CHECK(row->GetFieldAsInteger64("number") == 7);
  CHECK(row->GetFieldDefnRef(row->GetFieldIndex("bridge"))->GetSubType() == OFSTBoolean);
  const OGRLineString* line = row->GetGeometryRef()->toLineString();
  CHECK(line->getY(0) == Approx(-51.123456789).margin(1e-9));
  CHECK(line->getZ(1) == 5.5);
}

TEST_CASE("A column keeps its type in a GeoPackage where no feature has a value, and where there is no feature") {
  const Folder folder;
  std::vector<FeatureLayer> layers = two_layers();
  for (Feature& feature : layers[0].features) feature.values[1] = feature.values[2] = std::monostate{};
  layers[0].typical = {{}, 0.0, false};
  layers.push_back({"turns", "", {"radius_m"}, {}, {0.0}});
  write_layers(folder / "net.gpkg", layers);
  GDALAllRegister();
  const GDALDatasetUniquePtr read(GDALDataset::Open((folder / "net.gpkg").c_str(), GDAL_OF_VECTOR));
  REQUIRE(read != nullptr);
  const auto type = [&](const char* layer, const char* column) {
    OGRFeatureDefn* columns = read->GetLayerByName(layer)->GetLayerDefn();
    return columns->GetFieldDefn(columns->GetFieldIndex(column));
  };
  CHECK(type("ways", "name")->GetType() == OFTString);
  CHECK(type("ways", "length_m")->GetType() == OFTReal);
  CHECK(type("ways", "bridge")->GetSubType() == OFSTBoolean);
  CHECK(type("turns", "radius_m")->GetType() == OFTReal);
}

TEST_CASE("The same layers give the same bytes, whenever they are written") {
  const Folder folder;
  for (const std::string ending : {".geojson", ".gpkg", ".kml"}) {
    write_layers(folder / ("first" + ending), {two_layers()[0]});
    std::this_thread::sleep_for(std::chrono::milliseconds(20));  // a GeoPackage is dated to the millisecond
    fs::rename(folder / ("first" + ending), folder / ("before" + ending));
    write_layers(folder / ("first" + ending), {two_layers()[0]});
    CHECK(contents(folder / ("before" + ending)) == contents(folder / ("first" + ending)));
  }
}

TEST_CASE("KML is written in the order longitude, latitude [OGC 07-147r2]") {
  const Folder folder;
  write_layers(folder / "route.kml", two_layers());
  const std::string kml = contents(folder / "route.kml");
  CHECK(kml.find("<coordinates>") != std::string::npos);
  CHECK(kml.find("-20.2,-51.12345678") != std::string::npos);
  CHECK(kml.find("Größe 滑行道") != std::string::npos);
}

TEST_CASE("An unknown ending is a usage error that lists the known ones, and leaves nothing") {
  const Folder folder;
  try {
    write_layers(folder / "route.docx", two_layers());
    FAIL("no error");
  } catch (const Error& error) {
    CHECK(error.error_class() == ErrorClass::usage);
    CHECK(error.one_line().find(".geojson, .gpkg, .kml") != std::string::npos);
    CHECK(error.one_line().find("route.docx") != std::string::npos);
  }
  CHECK(folder.files() == 0);
}

TEST_CASE("A target that cannot be written is a data error that names it, and leaves nothing") {
  const Folder folder;
  fs::create_directory(folder / "dir.geojson");
  for (const fs::path& target : {folder / "dir.geojson", folder / "missing/route.gpkg", fs::path("/dev/null/x.kml")}) {
    CAPTURE(target);
    try {
      write_layers(target, two_layers());
      FAIL("no error");
    } catch (const Error& error) {
      CHECK(error.error_class() == ErrorClass::data);
      CHECK(error.where().file == target.string());
    }
  }
  CHECK(folder.files() == 1);
}

TEST_CASE("A disk that takes only a part is an error; the old file stays and no part is left") {
  const Folder folder;
  write_text(folder / "a.txt", "old");
  rlimit before{};
  REQUIRE(getrlimit(RLIMIT_FSIZE, &before) == 0);
  const auto handler = std::signal(SIGXFSZ, SIG_IGN);
  rlimit small = before;
  small.rlim_cur = 1000;  // bytes a file may have: stands for a full disk
  REQUIRE(setrlimit(RLIMIT_FSIZE, &small) == 0);
  bool thrown = false;
  try {
    write_text(folder / "a.txt", std::string(100000, 'x'));
  } catch (const Error& error) {
    thrown = error.error_class() == ErrorClass::data;
  }
  setrlimit(RLIMIT_FSIZE, &before);
  std::signal(SIGXFSZ, handler);
  CHECK(thrown);
  CHECK(contents(folder / "a.txt") == "old");
  CHECK(folder.files() == 1);
}

TEST_CASE("A device is refused as a target") { CHECK_THROWS_AS(write_text("/dev/null", "text"), Error); }

TEST_CASE("A staged file changes nothing until it is committed and vanishes when it is not") {
  const Folder folder;
  write_text(folder / "a.txt", "old");
  {
    const StagedFile staged = stage_text(folder / "a.txt", "new");
    CHECK(contents(folder / "a.txt") == "old");
    CHECK(folder.files() == 2);
  }
  CHECK(contents(folder / "a.txt") == "old");
  CHECK(folder.files() == 1);
  StagedFile staged = stage_text(folder / "a.txt", "new");
  staged.commit();
  CHECK(contents(folder / "a.txt") == "new");
  CHECK(folder.files() == 1);
}

TEST_CASE("A link is written through and stays a link") {
  const Folder folder;
  write_text(folder / "a.txt", "old");
  fs::create_symlink("a.txt", folder / "link.txt");
  write_text(folder / "link.txt", "new");
  CHECK(fs::is_symlink(folder / "link.txt"));
  CHECK(contents(folder / "a.txt") == "new");
}
