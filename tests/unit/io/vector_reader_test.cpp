#include <ogrsf_frmts.h>
#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>

#include "io/vector_attributes.hpp"
#include "scratch_folder.hpp"
#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/map_file.hpp"

using namespace solotaxi;
using airfield::RawFeature;
using airfield::RawMap;
using Shape = RawFeature::Shape;
namespace fs = std::filesystem;

namespace {

fs::path folder() {
  static const test::ScratchFolder scratch;
  return scratch.path;
}

fs::path write_vector(const std::string& name, const std::string& text) {
  std::ofstream(folder() / name, std::ios::binary) << text;
  return folder() / name;
}

fs::path geojson(const std::string& name, const std::string& features) {
  return write_vector(name, R"({"type":"FeatureCollection","features":[)" + features + "]}");
}

std::string feature(const std::string& properties, const std::string& geometry) {
  return R"({"type":"Feature","properties":{)" + properties + R"(},"geometry":)" + geometry + "}";
}

bool has(const RawMap& map, const std::string& code, const std::string& id) {
  return std::any_of(map.findings.begin(), map.findings.end(),
                     [&](const Finding& f) { return f.code == code && f.where.id == id; });
}

struct Column {
  std::string name, value;
};

/// A file of one layer with one line of two points, through GDAL.
fs::path write_line(const std::string& driver, const std::string& name, int epsg, std::pair<double, double> a,
                    std::pair<double, double> b, const std::vector<Column>& columns) {
  GDALAllRegister();
  const fs::path file = folder() / name;
  fs::remove(file);
  OGRSpatialReference srs;
  if (epsg > 0) srs.importFromEPSG(epsg);
  srs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  GDALDatasetUniquePtr data(
      GetGDALDriverManager()->GetDriverByName(driver.c_str())->Create(file.c_str(), 0, 0, 0, GDT_Unknown, nullptr));
  REQUIRE(data);
  OGRLayer* layer = data->CreateLayer("lines", epsg > 0 ? &srs : nullptr, wkbLineString25D);
  for (const Column& column : columns) {
    OGRFieldDefn field(column.name.c_str(), OFTString);
    REQUIRE(layer->CreateField(&field) == OGRERR_NONE);
  }
  const OGRFeatureUniquePtr out(OGRFeature::CreateFeature(layer->GetLayerDefn()));
  for (std::size_t i = 0; i < columns.size(); ++i) out->SetField(static_cast<int>(i), columns[i].value.c_str());
  OGRLineString line;
  line.addPoint(a.first, a.second, 10.0);
  line.addPoint(b.first, b.second, 11.0);
  out->SetGeometry(&line);
  REQUIRE(layer->CreateFeature(out.get()) == OGRERR_NONE);
  return file;
}

}  // namespace

TEST_CASE("GeoJSON gives ids, shapes, heights and numbers as text") {
  const RawMap map = io::read_map(
      geojson("shapes.geojson",
              feature(R"("@id":"way/7","aeroway":"taxiway","width":22.5,"bridge":true)",
                      R"({"type":"LineString","coordinates":[[-20.25,-30.5,12.5],[-20.24,-30.5,13]]})") +
                  "," + feature(R"("aeroway":"gate","ref":4)", R"({"type":"Point","coordinates":[-20.25,-30.49]})") + "," +
                  feature(R"("aeroway":"apron","osm_way_id":"12")",
                          R"({"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,0]]]})") +
                  "," + feature(R"("highway":"service")", R"({"type":"Point","coordinates":[0,0]})")));
  REQUIRE(map.features.size() == 3);
  const RawFeature& line = map.features[0];
  CHECK(line.id == "way/7");
  CHECK(line.shape == Shape::line);
  CHECK(line.tag("width") == "22.5");
  CHECK(line.tag("bridge") == "yes");
  CHECK(line.vertices[0].lat_deg == -30.5);
  CHECK(line.vertices[0].lon_deg == -20.25);
  CHECK(line.vertices[0].height_m == 12.5);
  CHECK(map.features[1].id == "shapes/1");
  CHECK(map.features[1].shape == Shape::point);
  CHECK(map.features[1].tag("ref") == "4");
  CHECK(map.features[2].id == "way/12");
  CHECK(map.features[2].shape == Shape::area);
  CHECK(map.features[2].vertices.size() == 4);
  CHECK(has(map, "features-not-aeroway", "shapes"));
}

TEST_CASE("Heights that are all 0 are none") {
  const RawMap map =
      io::read_map(geojson("zero.geojson", feature(R"("aeroway":"taxiway")",
                                                   R"({"type":"LineString","coordinates":[[-20,-30,0],[-20.1,-30,0]]})")));
  CHECK_FALSE(map.features.at(0).vertices[0].height_m);
  CHECK(has(map, "heights-all-zero", "zero"));
}

TEST_CASE("Lines of several parts are taken apart with a finding, of one part without") {
  const RawMap map = io::read_map(geojson(
      "parts.geojson",
      feature(R"("@id":"way/1","aeroway":"taxiway")",
              R"({"type":"MultiLineString","coordinates":[[[0,0],[1,0]],[[2,0],[3,0]]]})") +
          "," +
          feature(R"("@id":"way/2","aeroway":"taxiway")", R"({"type":"MultiLineString","coordinates":[[[0,0],[1,0]]]})")));
  CHECK(map.features.size() == 3);
  CHECK(has(map, "several-parts", "way/1"));
  CHECK_FALSE(has(map, "several-parts", "way/2"));
}

TEST_CASE("Coordinates that are no numbers are kept for interpretation to refuse with the feature's id") {
  const RawMap map =
      io::read_map(geojson("nan.geojson", feature(R"("@id":"way/66","aeroway":"taxiway")",
                                                  R"({"type":"LineString","coordinates":[[0,0],[NaN,1]]})")));
  CHECK(std::isnan(map.features.at(0).vertices.at(1).lon_deg));
  CHECK_THROWS_WITH(airfield::interpret(map), Catch::Contains("not a number"));
  try {
    (void)airfield::interpret(map);
  } catch (const Error& error) {
    CHECK(error.where().feature == "way/66");
    CHECK(error.where().file == map.file);
  }
}

TEST_CASE("Damaged vector files and files that are no map are data errors that name the file") {
  for (const fs::path& file :
       {write_vector("cut.geojson", R"({"type":"FeatureCollection","features":[{"type":"Fea)"),
        write_vector("note.txt", "no map"), write_vector("empty.gpkg", ""),
        geojson("text.geojson",
                feature(R"("aeroway":"taxiway")", R"({"type":"LineString","coordinates":[[0,0],["x",1]]})"))}) {
    INFO(file);
    try {
      (void)io::read_map(file);
      FAIL_CHECK("no error");
    } catch (const Error& error) {
      CHECK(error.error_class() == ErrorClass::data);
      CHECK(error.where().file == file.string());
    }
  }
}

TEST_CASE("A layer without a coordinate reference system is refused with a hint") {
  const auto file = write_line("ESRI Shapefile", "bare.shp", 0, {5, 50}, {6, 50}, {{"aeroway", "taxiway"}});
  try {
    (void)io::read_map(file);
    FAIL("no error");
  } catch (const Error& error) {
    CHECK(error.error_class() == ErrorClass::data);
    CHECK_FALSE(error.hint().empty());
  }
}

TEST_CASE("A GeoJSON file in a coordinate reference system nobody knows is refused, not taken for WGS 84") {
  const auto in_system = [](const std::string& crs) {
    return write_vector(
        "system.geojson",
        R"({"type":"FeatureCollection",)" + crs + R"("features":[)" +
            feature(R"("aeroway":"taxiway")", R"({"type":"LineString","coordinates":[[-20,-40],[-20,-40.003]]})") + "]}");
  };
  const auto named = [&](const std::string& name) {
    return in_system(R"("crs": {"type": "name", "properties": {"name": ")" + name + R"("}},)");
  };
  for (const char* name : {"urn:ogc:def:crs:EPSG::999999", "EPSG:999999", "nonsense"}) {
    INFO(name);
    try {
      (void)io::read_map(named(name));
      FAIL_CHECK("no error");
    } catch (const Error& error) {
      CHECK(error.error_class() == ErrorClass::data);
      CHECK(error.message() == "its coordinate reference system \"" + std::string(name) + "\" is not known");
      CHECK(error.hint().find("EPSG:4326") != std::string::npos);
    }
  }
  for (const char* name : {"urn:ogc:def:crs:OGC:1.3:CRS84", "EPSG:4326", "urn:ogc:def:crs:EPSG::4326"})
    CHECK(io::read_map(named(name)).features.size() == 1);
  CHECK(io::read_map(in_system("")).features.size() == 1);
}

TEST_CASE("Projected and latitude-first systems come out as latitude and longitude, south and west too") {
  // The equator on a zone's central meridian is (500000, 0) north, (500000, 10000000) south by definition of UTM.
  const RawMap north =
      io::read_map(write_line("GPKG", "north.gpkg", 32633, {500000, 0}, {500000, 1000}, {{"aeroway", "taxiway"}}));
  CHECK(north.features.at(0).vertices[0].lat_deg == Approx(0.0).margin(1e-9));
  CHECK(north.features.at(0).vertices[0].lon_deg == Approx(15.0));
  CHECK(north.features.at(0).vertices[1].lat_deg > 0.009);
  CHECK(north.features.at(0).vertices[1].height_m == 11.0);
  const RawMap south = io::read_map(
      write_line("GPKG", "south.gpkg", 32719, {500000, 10000000}, {500000, 9999000}, {{"aeroway", "taxiway"}}));
  CHECK(south.features.at(0).vertices[0].lon_deg == Approx(-69.0));
  CHECK(south.features.at(0).vertices[1].lat_deg < -0.009);
  // EPSG:4258 (ETRS89) names latitude first; files keep longitude first.
  const RawMap etrs = io::read_map(write_line("GPKG", "etrs.gpkg", 4258, {15, 50}, {15.01, 50}, {{"aeroway", "taxiway"}}));
  CHECK(etrs.features.at(0).vertices[0].lat_deg == Approx(50.0));
  CHECK(etrs.features.at(0).vertices[0].lon_deg == Approx(15.0));
  // Web Mercator: x = 6378137 m × longitude in radians by definition.
  const RawMap web =
      io::read_map(write_line("GPKG", "web.gpkg", 3857, {-6378137 * 0.5, 0}, {0, 0}, {{"aeroway", "taxiway"}}));
  CHECK(web.features.at(0).vertices[0].lon_deg == Approx(-28.64788975654116));
}

TEST_CASE("Names a Shapefile has cut short are known again") {
  CHECK(io::full_name("maxwingspa") == "maxwingspan");
  CHECK(io::full_name("holding_po") == "holding_position:type");
  CHECK(io::full_name("area_aerow") == "area:aeroway");
  CHECK(io::full_name("disused_ae") == "disused:aeroway");
  CHECK(io::full_name("name_en") == "name:en");
  CHECK(io::full_name("aeroway") == "aeroway");
  CHECK(io::full_name("city_serve") == "city_serve");
  const RawMap map = io::read_map(
      write_line("ESRI Shapefile", "short.shp", 4326, {5, 50}, {6, 50}, {{"aeroway", "taxiway"}, {"maxwingspa", "36"}}));
  CHECK(map.features.at(0).tag("maxwingspan") == "36");
  CHECK(map.features.at(0).vertices[0].lat_deg == 50.0);
}

TEST_CASE("Tags packed in one column are taken apart") {
  CHECK(*io::parse_packed_tags(R"("aeroway"=>"runway","ref"=>"15/33")") ==
        io::Tags{{"aeroway", "runway"}, {"ref", "15/33"}});
  CHECK(*io::parse_packed_tags(R"("note"=>"a \"b\", c=>d \\","x" => NULL , "y"=>"")") ==
        io::Tags{{"note", R"(a "b", c=>d \)"}, {"y", ""}});
  CHECK(*io::parse_packed_tags(R"({"aeroway":"runway","layer":1})") == io::Tags{{"aeroway", "runway"}, {"layer", "1"}});
  CHECK(io::parse_packed_tags("")->empty());
  for (const char* text : {"aeroway", R"("a)", R"("a"=>)", R"("a"=>"b)", R"("a"=>"b" "c"=>"d")", R"("a"=>"b\)", "{", "[1]"})
    CHECK_FALSE(io::parse_packed_tags(text));
  const RawMap map = io::read_map(write_line("GPKG", "packed.gpkg", 4326, {5, 50}, {6, 50},
                                             {{"osm_id", "77"}, {"other_tags", R"("aeroway"=>"taxiway","ref"=>"C")"}}));
  CHECK(map.features.at(0).id == "way/77");
  CHECK(map.features.at(0).tag("ref") == "C");
}

TEST_CASE("Ids are taken from the attributes different tools write") {
  CHECK(io::osm_id({{"@id", "way/5"}}, "way") == "way/5");
  CHECK(io::osm_id({{"id", "w5"}}, "way") == "way/5");
  CHECK(io::osm_id({{"id", "a10"}}, "relation") == "way/5");
  CHECK(io::osm_id({{"id", "a11"}}, "relation") == "relation/5");
  CHECK(io::osm_id({{"@type", "node"}, {"@id", "5"}}, "way") == "node/5");
  CHECK(io::osm_id({{"osm_way_id", "5"}}, "relation") == "way/5");
  CHECK(io::osm_id({{"osm_id", "5"}}, "way") == "way/5");
  CHECK(io::osm_id({{"id", "17"}}, "way") == "");
  CHECK(io::osm_id({}, "way") == "");
}

TEST_CASE("A mapping file translates another schema") {
  const auto mapping = write_vector("mapping.toml",
                                    "[rename]\nKIND = \"aeroway\"\nIDENT = \"ref\"\nGONE = \"width\"\n"
                                    "[values.aeroway]\n\"TWY CL\" = \"taxiway\"\n[layers.lines]\nsurface = \"asphalt\"\n");
  const auto map =
      io::read_map(write_line("GPKG", "schema.gpkg", 4326, {5, 50}, {6, 50}, {{"KIND", "TWY CL"}, {"IDENT", "Å"}}),
                   {.mapping = mapping});
  REQUIRE(map.features.size() == 1);
  CHECK(map.features[0].tag("aeroway") == "taxiway");
  CHECK(map.features[0].tag("ref") == "Å");
  CHECK(map.features[0].tag("surface") == "asphalt");
  CHECK(has(map, "mapping-unused", "GONE"));
  const auto odd =
      io::read_map(write_line("GPKG", "odd.gpkg", 4326, {5, 50}, {6, 50}, {{"KIND", "PATH"}}), {.mapping = mapping});
  CHECK(odd.features[0].tag("aeroway") == "PATH");
  CHECK(has(odd, "mapping-value-unknown", "aeroway"));
  const auto by_layer = write_vector("layers.toml", "[layers.lines]\naeroway = \"taxilane\"\n");
  CHECK(io::read_map(write_line("GPKG", "layer.gpkg", 4326, {5, 50}, {6, 50}, {{"x", "y"}}), {.mapping = by_layer})
            .features[0]
            .tag("aeroway") == "taxilane");
}

TEST_CASE("Mistakes in a mapping file are errors with their line") {
  const auto map =
      geojson("one.geojson", feature(R"("aeroway":"taxiway")", R"({"type":"LineString","coordinates":[[0,0],[1,0]]})"));
  const std::pair<const char*, long> cases[] = {{"[rename]\nA = \"aeroway\"\n[rnames]\n", 3},
                                                {"[rename]\nA = \"aerway\"\n", 2},
                                                {"[rename]\nA = 3\n", 2},
                                                {"[rename]\nA = \"ref\"\nB = \"ref\"\n", 3},
                                                {"[values.kind]\nA = \"b\"\n", 1},
                                                {"[values]\naeroway = \"b\"\n", 2},
                                                {"[layers.x]\nkind = \"b\"\n", 2},
                                                {"rename = 1\n", 1},
                                                {"[rename\n", 1}};
  for (const auto& [text, line] : cases) {
    INFO(text);
    try {
      (void)io::read_map(map, {.mapping = write_vector("bad.toml", text)});
      FAIL_CHECK("no error");
    } catch (const Error& error) {
      CHECK(error.error_class() == ErrorClass::data);
      CHECK(error.where().file == (folder() / "bad.toml").string());
      CHECK(error.where().line == line);
    }
  }
  CHECK_THROWS_AS(io::read_map(map, {.mapping = folder() / "none.toml"}), Error);
}

TEST_CASE("The example of a mapping is sound") {
  const auto map = geojson("one.geojson", feature(R"("PAVT_KIND":"LEAD-IN","DIRECTION":"AGAINST")",
                                                  R"({"type":"LineString","coordinates":[[0,0],[1,0]]})"));
  const RawMap read = io::read_map(map, {.mapping = fs::path(SOLOTAXI_ROOT) / "data/mapping/example.toml"});
  CHECK(read.features.at(0).tag("aeroway") == "parking_position");
  CHECK(read.features.at(0).tag("oneway") == "-1");
}

TEST_CASE("Text that is not UTF-8 is recoded with a finding, UTF-8 left alone") {
  const auto file = geojson("latin.geojson", feature("\"@id\":\"way/1\",\"aeroway\":\"taxiway\",\"ref\":\"\xd8\"",
                                                     R"({"type":"LineString","coordinates":[[0,0],[1,0]]})"));
  const RawMap map = io::read_map(file);
  const std::string ref = map.features.at(0).tag("ref");
  CHECK(ref == "Ø");
  CHECK(has(map, "text-not-utf8", "way/1"));
}

TEST_CASE("Packed tags read back as they were packed, and no text makes reading them crash") {
  const auto quoted = [](const std::string& text) {
    std::string out = "\"";
    for (const char c : text) (c == '"' || c == '\\' ? out += '\\' : out) += c;
    return out + '"';
  };
  CHECK(rc::check("packed and read", [&](const io::Tags& tags) {
    std::string text;
    for (const auto& [key, value] : tags) text += (text.empty() ? "" : ",") + quoted(key) + "=>" + quoted(value);
    const auto back = io::parse_packed_tags(text);
    RC_ASSERT(back.has_value());
    RC_ASSERT(*back == tags);
  }));
  CHECK(rc::check("any text", [] {
    const auto text = *rc::gen::container<std::string>(rc::gen::elementOf(std::string("\"\"\"=>,\\ab{}:NULL ")));
    (void)io::parse_packed_tags(text);
    (void)io::osm_id({{"@id", text}, {"osm_id", text}}, "way");
    (void)io::full_name(text);
  }));
}
