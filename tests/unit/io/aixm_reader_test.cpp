#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
#include <iterator>

#include "scratch_folder.hpp"
#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/network/build.hpp"

using namespace solotaxi;
using airfield::RawFeature;
using airfield::RawMap;
namespace fs = std::filesystem;

namespace {

const fs::path kData = fs::path(SOLOTAXI_TEST_DATA) / "aixm";

/// Id in tests/data/aixm.
std::string id(const std::string& kind, int number) {
  const std::string digits = std::to_string(number);
  return kind + "/00000000-0000-4000-8000-" + std::string(12 - digits.size(), '0') + digits;
}

std::vector<const RawFeature*> all(const RawMap& map, const std::string& wanted) {
  std::vector<const RawFeature*> found;
  for (const RawFeature& f : map.features)
    if (f.id == wanted) found.push_back(&f);
  return found;
}

const RawFeature& only(const RawMap& map, const std::string& wanted) {
  const auto found = all(map, wanted);
  REQUIRE(found.size() == 1);
  return *found.front();
}

std::vector<Finding> told(const RawMap& map, const std::string& code) {
  std::vector<Finding> found;
  std::copy_if(map.findings.begin(), map.findings.end(), std::back_inserter(found),
               [&](const Finding& f) { return f.code == code; });
  return found;
}

std::string text() {
  std::ifstream in(kData / "field.xml", std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

std::string replaced(std::string in, const std::string& what, const std::string& by) {
  const auto at = in.find(what);
  REQUIRE(at != std::string::npos);
  return in.replace(at, what.size(), by);
}

/// The error of reading a map of this content.
std::string refusal(const std::string& content) {
  static const test::ScratchFolder folder;
  const fs::path file = folder.path / "field.xml";
  std::ofstream(file, std::ios::binary) << content;
  try {
    (void)airfield::interpret(io::read_map(file));
  } catch (const Error& error) {
    CHECK(error.error_class() == ErrorClass::data);
    return error.one_line();
  }
  return "";
}

io::MapOptions with(const char* at, const std::vector<std::string>& notams) {
  io::MapOptions options;
  options.at = parse_instant(at);
  for (const std::string& n : notams) options.notams.push_back(kData / n);
  return options;
}

}  // namespace

TEST_CASE("guidance lines become taxiways with direction, speed, name and width of their taxiway") {
  const RawMap map = io::read_map(kData / "field.xml");
  const RawFeature& c = only(map, id("GuidanceLine", 63));
  CHECK(c.tag("aeroway") == "taxiway");
  CHECK(c.tag("ref") == "C");
  CHECK(c.tag("oneway") == "yes");
  CHECK(c.tag("maxspeed") == "20 km/h");
  CHECK(c.tag("width").empty());  // nil
  const RawFeature& a = only(map, id("GuidanceLine", 60));
  CHECK(a.tag("maxspeed") == "25 kt");
  CHECK(a.tag("oneway").empty());
  CHECK(a.tag("width") == "23");
  // A baseline may forbid wingspans; 75 ft are 22.86 m.
  const RawFeature& b = only(map, id("GuidanceLine", 62));
  CHECK(b.tag("maxwingspan") == "52");
  CHECK(b.tag("width") == "22.86");
  const RawFeature& stand = only(map, id("GuidanceLine", 64));
  CHECK(stand.tag("aeroway") == "parking_position");
  CHECK(stand.tag("parking_position") == "guidance_line");
  CHECK(stand.tag("ref") == "1");
  CHECK_FALSE(only(map, id("GuidanceLine", 67)).tag("closed").empty());
}

TEST_CASE("coordinates are taken in the order of their reference system") {
  const RawMap map = io::read_map(kData / "field.xml");
  // Line B is written in CRS84, longitude first; the runway's end it begins at once so and once latitude first.
  const RawFeature& b = only(map, id("GuidanceLine", 62));
  CHECK(b.vertices.front().lat_deg == Approx(-40.0).margin(1e-9));
  CHECK(b.vertices.front().lon_deg == Approx(-20.0 + 2000.0 / 85394.0).margin(1e-8));
}

TEST_CASE("a runway runs through the centreline points of both directions with their heights") {
  const RawMap map = io::read_map(kData / "field.xml");
  const RawFeature& runway = only(map, id("Runway", 10));
  REQUIRE(runway.vertices.size() == 4);  // points surveyed for both directions are one
  CHECK(runway.tag("ref") == "09/27");
  CHECK(*runway.vertices.front().height_m == Approx(30.48));  // 100 ft
  CHECK(*runway.vertices[1].height_m == 32.48);
  CHECK(*runway.vertices.back().height_m == 34.48);
  const airfield::Airfield field = airfield::interpret(map);
  REQUIRE(field.runways.size() == 1);
  CHECK(field.runways[0].designators[0] == "09");
  CHECK(field.runways[0].displaced[1].value() == Approx(200.0).margin(0.5));
  CHECK(field.ident == "XQTC");
  CHECK(field.elevation->value() == Approx(30.48));
}

TEST_CASE("an AIXM field makes a network: one stand with two lines, holds on lines, one-way lines driven one way") {
  const network::Network net = network::build_network(airfield::interpret(io::read_map(kData / "field.xml")));
  REQUIRE(net.stands.size() == 1);
  CHECK(net.stands[0].ref == "1");
  std::size_t mapped = 0, protecting = 0;
  for (const auto& h : net.holding_points) {
    mapped += h.assumed ? 0U : 1U;
    protecting += !h.assumed && h.runway == 0 ? 1U : 0U;
  }
  CHECK(mapped == 3);
  CHECK(protecting == 2);
  std::size_t one_way = 0;
  for (const auto& s : net.segments)
    if (s.name == "C" && s.kind == network::LineKind::taxiway) {
      CHECK(s.one_way == network::OneWay::forward);
      ++one_way;
    }
  CHECK(one_way > 0);
  CHECK(net.components == 1);
}

TEST_CASE("what AIXM data holds and is not used is told") {
  const RawMap map = io::read_map(kData / "field.xml");
  REQUIRE(told(map, "aixm-not-read").size() == 1);
  CHECK(told(map, "aixm-not-read")[0].where.id == "WorkArea");
  REQUIRE(told(map, "aixm-line-on-runway").size() == 1);
  CHECK(told(map, "aixm-line-on-runway")[0].where.id == id("GuidanceLine", 66));
}

TEST_CASE("a folder of feature files reads as one message") {
  const test::ScratchFolder folder;
  const std::string whole = text();
  const auto begin = whole.find("<message:hasMember>"), end = whole.rfind("</message:AIXMBasicMessage>");
  const auto split = whole.find("<message:hasMember>\n<aixm:GuidanceLine");
  const std::string head = whole.substr(0, begin), tail = whole.substr(end);
  std::ofstream(folder.path / "a.xml") << head + whole.substr(begin, split - begin) + tail;
  std::ofstream(folder.path / "b.XML") << head + whole.substr(split, end - split) + tail;
  std::ofstream(folder.path / "other.xml") << "<html/>";
  const RawMap one = io::read_map(kData / "field.xml"), several = io::read_map(folder.path);
  REQUIRE(one.features.size() == several.features.size());
  for (std::size_t i = 0; i < one.features.size(); ++i) {
    CHECK(one.features[i].id == several.features[i].id);
    CHECK(one.features[i].tags == several.features[i].tags);
  }
  CHECK(told(several, "aixm-not-read").size() == 2);  // and the file that is none
}

TEST_CASE("every error of damaged AIXM names file and line") {
  const std::string sound = text();
  const auto line_of = [&](const std::string& what) {
    const auto at = sound.find(what);
    REQUIRE(at != std::string::npos);
    return "field.xml:" +
           std::to_string(1 + std::count(sound.begin(), sound.begin() + static_cast<std::ptrdiff_t>(at), '\n'));
  };
  const std::string pos = "<gml:pos>-39.996397519 -19.988289575";  // of the stand
  struct Case {
    std::string what, by, line, says;
  };
  const Case cases[] = {
      {"</aixm:Runway>", "</aixm:Runaway>", line_of("</aixm:Runway>"), "mismatched tag"},
      {pos, "<gml:pos>-39.996397519 west", line_of(pos), "no coordinate"},
      {pos, "<gml:pos>-39.996397519", line_of(pos), "lacks a coordinate"},
      {pos, "<gml:pos>-139.996397498 -19.98", line_of(pos), "out of range"},
      {"gml:id=\"g50\" srsName=\"urn:ogc:def:crs:EPSG::4326\"", "gml:id=\"g50\"", line_of(pos), "reference system"},
      {"gml:id=\"g50\" srsName=\"urn:ogc:def:crs:EPSG::4326\"", "gml:id=\"g50\" srsName=\"EPSG:32633\"",
       line_of("gml:id=\"g50\""), "EPSG:32633"},
      {"<gml:beginPosition>2026-01-01T00:00:00Z", "<gml:beginPosition>new year", line_of("<gml:beginPosition>"),
       "no date and time"}};
  for (const Case& c : cases) {
    CAPTURE(c.by);
    const std::string error = refusal(replaced(sound, c.what, c.by));
    CHECK_THAT(error, Catch::Contains(c.line));
    CHECK_THAT(error, Catch::Contains(c.says));
  }
  const std::string cut = refusal(sound.substr(0, sound.size() / 2));
  CHECK_THAT(cut, Catch::Contains("field.xml:") && Catch::Contains("damaged"));
}

TEST_CASE("AIXM whose features are not valid at the time asked for is refused") {
  CHECK_THROWS_WITH(io::read_map(kData / "field.xml", with("2025-12-31T23:59Z", {})),
                    Catch::Contains("valid at 2025-12-31T23:59Z"));
  CHECK(io::read_map(kData / "field.xml", with("2026-01-01T00:00Z", {})).features.size() > 10);
}

TEST_CASE("a taxiway closed by a NOTAM is shut while it holds, and each NOTAM is told of") {
  const auto during = io::read_map(kData / "field.xml", with("2026-02-03T12:00Z", {"taxiway_b_closed.xml"}));
  CHECK_FALSE(only(during, id("GuidanceLine", 62)).tag("closed").empty());
  CHECK(only(during, id("GuidanceLine", 60)).tag("closed").empty());
  REQUIRE(told(during, "notam-applied").size() == 1);
  CHECK(told(during, "notam-applied")[0].where.id == "NOTAM A0001/26");
  CHECK(told(during, "notam-applied")[0].severity == Severity::serious);
  CHECK_THAT(told(during, "notam-applied")[0].text, Catch::Contains("taxiway B closed"));
  const auto after = io::read_map(kData / "field.xml", with("2026-02-06T18:00Z", {"taxiway_b_closed.xml"}));
  CHECK(only(after, id("GuidanceLine", 62)).tag("closed").empty());
  CHECK(told(after, "notam-applied").empty());
  CHECK(told(after, "notam-not-in-force").size() == 1);
}

TEST_CASE("a closed element of pavement shuts the line where it crosses it, when the schedule holds") {
  const auto tuesday = io::read_map(kData / "field.xml", with("2026-02-03T09:00Z", {"element_closed_tuesdays.xml"}));
  const auto pieces = all(tuesday, id("GuidanceLine", 60));
  REQUIRE(pieces.size() == 2);
  CHECK(pieces[0]->tag("closed").empty());
  CHECK(pieces[1]->tag("closed") == "closed");
  // Cut at the element's edge, 1000 m along.
  CHECK(pieces[0]->vertices.back().lon_deg == Approx(-20.0 + 1000.0 / 85394.0).margin(1e-7));
  CHECK(pieces[0]->vertices.back().lon_deg == pieces[1]->vertices.front().lon_deg);
  const auto wednesday = io::read_map(kData / "field.xml", with("2026-02-04T09:00Z", {"element_closed_tuesdays.xml"}));
  CHECK(all(wednesday, id("GuidanceLine", 60)).size() == 1);
  REQUIRE(told(wednesday, "notam-not-in-force").size() == 1);
  CHECK_THAT(told(wednesday, "notam-not-in-force")[0].text, Catch::Contains("TUE 0800-1000"));
}

TEST_CASE("a NOTAM about what the map does not hold is told as not applied") {
  const fs::path demo = fs::path(SOLOTAXI_ROOT) / "data/demo/field.geojson";
  const RawMap map = io::read_map(demo, with("2026-02-03T09:00Z", {"taxiway_b_closed.xml"}));
  REQUIRE(told(map, "notam-not-applied").size() == 1);
  CHECK(told(map, "notam-not-applied")[0].severity == Severity::serious);
  CHECK(told(map, "time-not-used").size() == 1);
}

namespace {

/// What becomes of taxiway B's NOTAM after replacing parts of it, at a time of its validity.
struct Changed {
  bool shut = false;
  std::vector<Finding> findings;
  bool has(const std::string& code) const {
    return std::any_of(findings.begin(), findings.end(), [&](const Finding& f) { return f.code == code; });
  }
};

Changed with_notam(const std::string& content) {
  const test::ScratchFolder folder;
  std::ofstream(folder.path / "notam.xml", std::ios::binary) << content;
  io::MapOptions options = with("2026-02-03T12:00Z", {});
  options.notams = {folder.path / "notam.xml"};
  const RawMap map = io::read_map(kData / "field.xml", options);
  Changed out;
  out.shut = !only(map, id("GuidanceLine", 62)).tag("closed").empty();
  for (const Finding& f : map.findings)
    if (f.code.starts_with("notam-")) out.findings.push_back(f);
  return out;
}

std::string notam_text() {
  std::ifstream in(kData / "taxiway_b_closed.xml", std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

TEST_CASE("a NOTAM that is not understood shuts, or is told as not applied; never is it taken for out of force") {
  const std::string notam = notam_text(), status = "<aixm:operationalStatus>CLOSED</aixm:operationalStatus>";
  REQUIRE(with_notam(notam).shut);
  for (const char* word : {"OTHER:EXT_CLOSED", "OTHER:EXTENSIVE_WORKS", "WORK_IN_PROGRESS"}) {
    CAPTURE(word);
    const Changed c = with_notam(replaced(notam, "CLOSED<", std::string(word) + "<"));
    CHECK(c.shut);
    CHECK(c.has("notam-applied"));
  }
  for (const std::string& by : {std::string("<aixm:operationalStatus xsi:nil=\"true\"/>"),
                                std::string("<aixm:operationalStatus>LIMITED</aixm:operationalStatus>")}) {
    CAPTURE(by);
    const Changed c = with_notam(replaced(notam, status, by));
    CHECK(c.has("notam-not-applied"));
    CHECK(c.findings.front().severity == Severity::serious);
  }
  const auto usage = [&](const std::string& inside) {
    return replaced(notam, status,
                    "<aixm:operationalStatus>LIMITED</aixm:operationalStatus><aixm:usage><aixm:ManoeuvringAreaUsage>" + inside +
                        "</aixm:ManoeuvringAreaUsage></aixm:usage>");
  };
  CHECK(with_notam(usage("<aixm:type>FORBID</aixm:type><aixm:operation>OTHER:ANY_MOVEMENT</aixm:operation>")).shut);
  CHECK(with_notam(usage("<aixm:type xsi:nil=\"true\"/><aixm:operation>TAXIING</aixm:operation>")).shut);
  CHECK_FALSE(with_notam(usage("<aixm:type>FORBID</aixm:type><aixm:operation>LANDING</aixm:operation>")).shut);
  const Changed backward = with_notam(replaced(notam, "2026-02-06T18:00:00Z", "2026-02-01T18:00:00Z"));
  CHECK(backward.shut);
  CHECK_THAT(backward.findings.front().text, Catch::Contains("its end lies before its beginning"));
}

TEST_CASE("of several changes of a feature none is lost; a correction of the same change replaces it") {
  const std::string notam = notam_text();
  const auto from = notam.find("<aixm:timeSlice><aixm:TaxiwayTimeSlice"), to = notam.find("</aixm:Taxiway>");
  const std::string slice = notam.substr(from, to - from);
  const auto beside = [&](const std::string& other) { return replaced(notam, "</aixm:Taxiway>", other + "</aixm:Taxiway>"); };
  std::string later = replaced(slice, "2026-02-02T06", "2026-03-02T06");
  later = replaced(later, "2026-02-06T18", "2026-03-06T18");
  CHECK(with_notam(beside(later)).shut);  // the same number, in force a month later
  const std::string corrected = replaced(later, "correctionNumber>0", "correctionNumber>1");
  CHECK_FALSE(with_notam(beside(corrected)).shut);
  const Changed permanent = with_notam(beside(replaced(slice, "TEMPDELTA", "PERMDELTA")));
  CHECK(permanent.shut);
  CHECK_THAT(permanent.findings.front().text, Catch::Contains("see to it yourself"));
}

TEST_CASE("new pavement closed where no line or stand lies is told as not applied") {
  std::ifstream in(kData / "element_closed_tuesdays.xml", std::ios::binary);
  std::string notam = replaced({std::istreambuf_iterator<char>(in), {}}, "TEMPDELTA", "BASELINE");
  for (std::size_t at = 0; (at = notam.find("000000000041", at)) != std::string::npos; ++at) notam.replace(at, 12, "00000000004f");
  // An extent of the map's own element, and the same a degree further south.
  const std::string field = text(), element = field.substr(field.find("<aixm:TaxiwayElement "));
  const auto from = element.find("<aixm:extent>"), to = element.find("</aixm:extent>");
  REQUIRE(to != std::string::npos);
  const std::string extent = element.substr(from, to - from) + "</aixm:extent>";
  std::string far = extent;
  for (const char* degrees : {"-39.", "-40."})
    for (std::size_t at = 0; (at = far.find(degrees, at)) != std::string::npos; ++at) far.replace(at, 4, "-41.");
  const auto with_extent = [&](const std::string& of) {
    const test::ScratchFolder folder;
    std::ofstream(folder.path / "notam.xml", std::ios::binary) << replaced(notam, "<aixm:availability>", of + "<aixm:availability>");
    io::MapOptions options = with("2026-02-03T09:00Z", {});
    options.notams = {folder.path / "notam.xml"};
    return io::read_map(kData / "field.xml", options);
  };
  CHECK(told(with_extent(extent), "notam-applied").size() == 1);
  const RawMap beside = with_extent(far);
  CHECK(told(beside, "notam-applied").empty());
  CHECK(told(beside, "notam-not-applied").size() == 1);
}

TEST_CASE("NOTAMs are refused without a time, and where they are none") {
  io::MapOptions untimed;
  untimed.notams = {kData / "taxiway_b_closed.xml"};
  CHECK_THROWS_WITH(io::read_map(kData / "field.xml", untimed), Catch::Contains("need a time"));
  CHECK_THROWS_WITH(io::read_map(kData / "field.xml", with("2026-02-03", {"field.xml"})),
                    Catch::Contains("no temporary change"));
  CHECK_THROWS_WITH(io::read_map(kData / "field.xml", with("2026-02-03", {"none.xml"})), Catch::Contains("no such NOTAM"));
  const test::ScratchFolder folder;
  std::ofstream(folder.path / "cut.xml") << "<message>\n<part>";
  io::MapOptions cut = with("2026-02-03", {});
  cut.notams = {folder.path / "cut.xml"};
  CHECK_THROWS_WITH(io::read_map(kData / "field.xml", cut), Catch::Contains("no element found"));
}
