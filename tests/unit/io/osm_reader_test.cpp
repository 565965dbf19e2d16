#include <rapidcheck.h>
#include <zlib.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>

#include "scratch_folder.hpp"
#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/map_file.hpp"
#include "support/shared.hpp"

using namespace solotaxi;
using airfield::RawFeature;
using airfield::RawMap;
using Shape = RawFeature::Shape;
namespace fs = std::filesystem;

namespace {

fs::path fixture() { return fs::path(SOLOTAXI_TEST_DATA) / "maps/unsorted.osm"; }

std::vector<const RawFeature*> find(const RawMap& map, const std::string& id) {
  std::vector<const RawFeature*> found;
  for (const RawFeature& f : map.features)
    if (f.id == id) found.push_back(&f);
  return found;
}

std::size_t count(const RawMap& map, const std::string& code, const std::string& id) {
  return static_cast<std::size_t>(std::count_if(map.findings.begin(), map.findings.end(),
                                                [&](const Finding& f) { return f.code == code && f.where.id == id; }));
}

std::string text_of(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

fs::path write(const std::string& name, const std::string& text) {
  static const test::ScratchFolder folder;
  std::ofstream(folder.path / name, std::ios::binary) << text;
  return folder.path / name;
}

}  // namespace

TEST_CASE("Ways before their nodes are read, with ids, tags and heights") {
  const RawMap map = io::read_map(fixture());
  REQUIRE(find(map, "way/10").size() == 1);
  const RawFeature& runway = *find(map, "way/10")[0];
  CHECK(runway.shape == Shape::line);
  CHECK(runway.tag("ref") == "09/27");
  REQUIRE(runway.vertices.size() == 3);
  CHECK(runway.vertices[0].ref == 1);
  CHECK(runway.vertices[1].lat_deg == -30.5);
  CHECK(runway.vertices[1].lon_deg == -20.24);
  CHECK(runway.vertices[0].height_m == 41.0);
  CHECK(*runway.vertices[1].height_m == Approx(41.148));
  CHECK_FALSE(runway.vertices[2].height_m);
  CHECK(count(map, "tag-not-understood", "node/3") == 1);
}

TEST_CASE("Of an object that is there more than once the newest version counts") {
  const RawMap map = io::read_map(fixture());
  REQUIRE(find(map, "way/20").size() == 1);
  CHECK(find(map, "way/20")[0]->tag("ref") == "A");
  REQUIRE(find(map, "node/5").size() == 1);
  CHECK(find(map, "node/5")[0]->vertices[0].lat_deg == -30.498);
  CHECK(find(map, "way/20")[0]->vertices[2].lat_deg == -30.498);
  CHECK(count(map, "object-repeated", "way/20") == 1);
  CHECK(find(map, "way/35").empty());  // deleted
}

TEST_CASE("Nodes that are not in the file cut a way, nothing is drawn across the gap") {
  const RawMap map = io::read_map(fixture());
  const auto parts = find(map, "way/30");
  REQUIRE(parts.size() == 2);
  CHECK(parts[0]->vertices.size() == 2);
  CHECK(parts[0]->vertices[1].ref == 5);
  CHECK(parts[1]->vertices[0].ref == 6);
  CHECK(count(map, "way-clipped", "way/30") == 1);
  CHECK(find(map, "way/31").empty());
  CHECK(count(map, "object-lost", "way/31") == 1);
}

TEST_CASE("Closed ways are areas by their kind or area tag") {
  const RawMap map = io::read_map(fixture());
  CHECK(find(map, "way/32")[0]->shape == Shape::line);
  CHECK(find(map, "way/32")[0]->vertices.size() == 4);
  CHECK(find(map, "way/33")[0]->shape == Shape::area);
  CHECK(find(map, "way/34")[0]->shape == Shape::area);
}

TEST_CASE("Only aeroway features are kept") {
  const RawMap map = io::read_map(fixture());
  CHECK(find(map, "way/36").empty());
  CHECK(find(map, "way/51").empty());
  CHECK(find(map, "node/9").empty());
  CHECK(find(map, "way/37").size() == 1);
  CHECK(find(map, "node/5")[0]->shape == Shape::point);
  CHECK(find(map, "node/5")[0]->vertices[0].ref == 5);
}

TEST_CASE("Multipolygon relations become areas, incomplete ones findings") {
  const RawMap map = io::read_map(fixture());
  REQUIRE(find(map, "relation/50").size() == 1);
  const RawFeature& apron = *find(map, "relation/50")[0];
  CHECK(apron.shape == Shape::area);
  CHECK(apron.vertices.size() == 4);
  CHECK(apron.vertices.front().ref == apron.vertices.back().ref);
  CHECK(apron.tag("aeroway") == "apron");
  CHECK(find(map, "relation/60").empty());
  CHECK(count(map, "relation-incomplete", "relation/60") == 1);
  CHECK(count(map, "relation-without-area", "relation/60") == 1);
  REQUIRE(find(map, "relation/70").size() == 1);
  CHECK(find(map, "relation/70")[0]->shape == Shape::point);
}

TEST_CASE("A hand-made file with every trouble still gives its aerodrome") {
  const auto field = airfield::interpret(io::read_map(fixture()));
  CHECK(field.ident == "XXQB");
  CHECK(field.name == "Ilha Vã");
  CHECK(field.runways.size() == 1);
  CHECK(field.centrelines.size() == 4);
  CHECK(field.holding_positions.size() == 1);
  CHECK(field.holding_positions[0].at.ref == 5);
}

TEST_CASE("Compressed files and files told by their content read the same") {
  const std::string text = text_of(fixture());
  const std::size_t features = io::read_map(fixture()).features.size();
  CHECK(io::read_map(write("by-content.xml", text)).features.size() == features);
  const fs::path zipped = write("zipped.osm.gz", "");
  gzFile out = gzopen(zipped.c_str(), "wb");
  REQUIRE(gzwrite(out, text.data(), static_cast<unsigned>(text.size())) == static_cast<int>(text.size()));
  gzclose(out);
  CHECK(io::read_map(zipped).features.size() == features);
  fs::resize_file(zipped, fs::file_size(zipped) / 2);
  CHECK_THROWS_AS(io::read_map(zipped), Error);
}

TEST_CASE("Missing and damaged OpenStreetMap files are data errors that name the file") {
  const std::string text = text_of(fixture());
  std::vector<fs::path> files = {write("cut.osm", text.substr(0, text.size() / 2)),
                                 write("page.osm", "<html><body>Busy</body></html>"),
                                 write("empty.osm", ""),
                                 write("empty.pbf", ""),
                                 write("noise.pbf", std::string(300, '\x8f')),
                                 write("garbage.osm", "\x01\x02\x03"),
                                 "there-is-no-such-file.osm"};
  for (const fs::path& file : files) {
    INFO(file);
    try {
      (void)io::read_map(file);
      FAIL_CHECK("no error");
    } catch (const Error& error) {
      CHECK(error.error_class() == ErrorClass::data);
      CHECK(error.where().file == file.string());
    }
  }
  try {
    (void)io::read_map(files[0]);
  } catch (const Error& error) {
    CHECK(error.where().line.value_or(0) > 10);
  }
}

TEST_CASE("A node off the globe is refused by its id, not taken for one that is missing") {
  for (const char* at : {R"(lat="91" lon="20")", R"(lat="1" lon="190")"}) {
    const fs::path file =
        write("globe.osm", std::string(R"(<osm version="0.6"><node id="1" lat="1" lon="20"/><node id="2" )") + at +
                               R"(/><way id="3"><nd ref="1"/><nd ref="2"/><tag k="aeroway" v="taxiway"/></way></osm>)");
    try {
      (void)io::read_map(file);
      FAIL_CHECK("no error");
    } catch (const Error& error) {
      CHECK(error.error_class() == ErrorClass::data);
      CHECK(error.where().file == file.string());
      CHECK(error.where().feature == "node/2");
    }
  }
}

TEST_CASE("A cut PBF of a real field is refused wherever it is cut inside a block") {
  const auto file = test::shared_file("airports/EGNS/everything.osm.pbf");
  if (!file) return;
  const std::string text = text_of(*file);
  for (const double share : {0.1, 0.4, 0.7, 0.99}) {
    const auto cut =
        write("cut.osm.pbf", text.substr(0, static_cast<std::size_t>(share * static_cast<double>(text.size()))));
    CHECK_THROWS_AS(io::read_map(cut), Error);
  }
}

TEST_CASE("Whatever bytes an OpenStreetMap file holds, it is read or refused, and no coordinate is NaN") {
  const std::string text = text_of(fixture());
  std::size_t read = 0;
  CHECK(rc::check([&] {
    std::string changed = text;
    const auto changes = *rc::gen::inRange(1, 4);
    for (int i = 0; i < changes; ++i)
      changed[*rc::gen::inRange<std::size_t>(0, changed.size())] =
          *rc::gen::elementOf(std::string("0159-.eN<>\"/ =\x01\xff"));
    const auto file = write("changed.osm", changed);
    try {
      const RawMap map = io::read_map(file);
      ++read;
      for (const RawFeature& f : map.features)
        for (const auto& v : f.vertices) RC_ASSERT(std::isfinite(v.lat_deg) && std::isfinite(v.lon_deg));
      (void)airfield::interpret(map);
    } catch (const Error& error) {
      RC_ASSERT(error.error_class() != ErrorClass::no_route);
    }
  }));
  CHECK(read > 0);  // else the test would only see refusals
}
