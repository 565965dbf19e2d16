// Aerodrome mapping data by its published names, through the mapping files that ship: an invented field in the open ocean.
#include <ogrsf_frmts.h>

#include <algorithm>
#include <catch2/catch.hpp>

#include "scratch_folder.hpp"
#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/network/build.hpp"

using namespace solotaxi;
namespace fs = std::filesystem;

namespace {

const fs::path kMappings = fs::path(SOLOTAXI_ROOT) / "data/mapping";
const fs::path kLines = fs::path(SOLOTAXI_TEST_DATA) / "maps/ed99_lines.geojson";
const fs::path kRouting = fs::path(SOLOTAXI_TEST_DATA) / "maps/ed99_routing.geojson";

airfield::RawMap read(const fs::path& file, const char* mapping) {
  return io::read_map(file, {.mapping = kMappings / mapping});
}

network::Network build(const fs::path& file, const char* mapping) {
  return network::build_network(airfield::interpret(read(file, mapping)));
}

std::vector<Finding> told(const Findings& findings, const std::string& code) {
  std::vector<Finding> found;
  for (const Finding& f : findings)
    if (f.code == code) found.push_back(f);
  return found;
}

const airfield::RawFeature& feature(const airfield::RawMap& map, const std::string& id) {
  const auto found = std::find_if(map.features.begin(), map.features.end(), [&](const auto& f) { return f.id == id; });
  REQUIRE(found != map.features.end());
  return *found;
}

/// The same features in another format: a layer a feature type, as mapping databases are kept.
fs::path as_layers(const fs::path& geojson, const char* driver, const fs::path& out) {
  GDALAllRegister();
  const GDALDatasetUniquePtr in(GDALDataset::Open(geojson.c_str(), GDAL_OF_VECTOR));
  REQUIRE(in);
  const GDALDatasetUniquePtr data(
      GetGDALDriverManager()->GetDriverByName(driver)->Create(out.c_str(), 0, 0, 0, GDT_Unknown, nullptr));
  REQUIRE(data);
  OGRLayer* from = in->GetLayer(0);
  for (const auto& f : *from) {
    const std::string type = f->GetFieldAsString("feattype");
    OGRLayer* to = data->GetLayerByName(type.c_str());
    if (to == nullptr) {
      to = data->CreateLayer(type.c_str(), from->GetSpatialRef(), f->GetGeometryRef()->getGeometryType(), nullptr);
      for (int i = 0; i < from->GetLayerDefn()->GetFieldCount(); ++i)
        if (from->GetLayerDefn()->GetFieldDefn(i)->GetNameRef() != std::string("feattype"))
          REQUIRE(to->CreateField(from->GetLayerDefn()->GetFieldDefn(i)) == OGRERR_NONE);
    }
    const OGRFeatureUniquePtr row(OGRFeature::CreateFeature(to->GetLayerDefn()));
    row->SetFrom(f.get());
    REQUIRE(to->CreateFeature(row.get()) == OGRERR_NONE);
  }
  return out;
}

}  // namespace

TEST_CASE("guidance lines, exit lines, stands, holding positions and runways are read by their published names") {
  const auto map = read(kLines, "ed99-guidance-lines.toml");
  const auto& a = feature(map, "TGL1");
  CHECK(a.tag("aeroway") == "taxiway");
  CHECK(a.tag("ref") == "A");
  CHECK(a.tag("maxspeed") == "20 kt");
  CHECK(a.tag("maxwingspan") == "36");
  CHECK(feature(map, "TGL2").tag("oneway") == "yes");
  CHECK(feature(map, "TGL3").tag("closed") == "yes");
  const airfield::Airfield field = airfield::interpret(map);
  CHECK(field.ident == "XQTD");
  REQUIRE(field.runways.size() == 1);
  CHECK(field.runways[0].name() == "09/27");
  CHECK(field.runways[0].width->value() == 45.0);  // of the element around the points
  REQUIRE(field.runways[0].line.size() == 3);
  CHECK(field.runways[0].line[1].height->value() == 31.0);
  const auto net = network::build_network(field);
  REQUIRE(net.stands.size() == 1);
  CHECK(net.stands[0].ref == "7");
  std::size_t holds = 0;
  for (const auto& h : net.holding_points) holds += !h.assumed && h.runway == 0 ? 1U : 0U;
  CHECK(holds == 1);
  CHECK(net.components == 1);
}

TEST_CASE("aerodrome mapping data reads alike as GeoJSON, GeoPackage and Shapefiles of a layer a feature type") {
  const test::ScratchFolder folder;
  const auto json = build(kLines, "ed99-guidance-lines.toml");
  for (const auto& [driver, name] : {std::pair{"GPKG", "data.gpkg"}, {"ESRI Shapefile", "shapes"}}) {
    CAPTURE(driver);
    const auto other = build(as_layers(kLines, driver, folder.path / name), "ed99-guidance-lines.toml");
    REQUIRE(other.segments.size() == json.segments.size());
    for (std::size_t i = 0; i < json.segments.size(); ++i) CHECK(other.segments[i].name == json.segments[i].name);
    CHECK(other.stands.size() == json.stands.size());
    CHECK(other.holding_points.size() == json.holding_points.size());
  }
}

TEST_CASE("a routing network is joined by the nodes its edges name, and disagreement is told") {
  const auto map = read(kRouting, "ed99-routing-network.toml");
  // E2 ends 0.4 m from node N3, where E3 begins; E5 names a node 100 m off.
  const auto disagree = told(map.findings, "node-reference-disagrees");
  REQUIRE(disagree.size() == 2);
  CHECK(disagree[0].where.id == "E2");
  CHECK(disagree[0].severity == Severity::caution);
  CHECK(disagree[1].where.id == "E5");
  CHECK(disagree[1].severity == Severity::serious);
  const auto net = network::build_network(airfield::interpret(map));
  const auto segment = [&](const std::string& id) {
    const auto found =
        std::find_if(net.segments.begin(), net.segments.end(), [&](const auto& s) { return s.source_id == id; });
    REQUIRE(found != net.segments.end());
    return *found;
  };
  CHECK(segment("E2").to == segment("E3").from);
  CHECK(segment("E2").one_way == network::OneWay::forward);
  CHECK(segment("E4").kind == network::LineKind::stand_line);
  REQUIRE(net.stands.size() == 1);
  CHECK(net.stands[0].ref == "7");
  REQUIRE(net.runways.size() == 1);
  CHECK(net.runways[0].name == "09/27");
  CHECK(std::any_of(net.holding_points.begin(), net.holding_points.end(), [](const auto& h) { return !h.assumed; }));
}

TEST_CASE("a grade that an edge states counts before the grade its heights give, and disagreement is told") {
  const auto net = build(kRouting, "ed99-routing-network.toml");
  std::size_t seen = 0;
  for (const auto& s : net.segments) {
    if (s.source_id != "E2" && s.source_id != "E3") continue;
    ++seen;
    // The heights of E3's vertices say 1.2 % too, those of E2's are level.
    const double stated = s.source_id == "E2" ? 0.025 : 0.012;
    for (std::size_t k = 0; k + 1 < s.profile.size(); ++k)
      CHECK((s.profile[k + 1].height_m - s.profile[k].height_m) / (s.profile[k + 1].at_m - s.profile[k].at_m) ==
            Approx(stated));
  }
  CHECK(seen >= 2);
  const auto disagree = told(net.findings, "grade-disagrees");
  REQUIRE(!disagree.empty());
  CHECK(std::all_of(disagree.begin(), disagree.end(), [](const Finding& f) { return f.where.id == "E2"; }));
}

TEST_CASE("without any heights a stated grade is known and the others are not") {
  auto map = read(kRouting, "ed99-routing-network.toml");
  for (auto& f : map.features)
    for (auto& v : f.vertices) v.height_m.reset();
  const auto net = network::build_network(airfield::interpret(map));
  for (const auto& s : net.segments) {
    const double rise = s.profile.back().height_m - s.profile.front().height_m;
    if (s.stated_grade)
      CHECK(rise / s.length_m == Approx(*s.stated_grade));
    else
      CHECK(std::isnan(rise));
  }
  CHECK(told(net.findings, "grade-disagrees").empty());
}
