// The network of real fields (OpenStreetMap extracts outside the project; skipped where they are absent).
#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/network/build.hpp"
#include "support/shared.hpp"

using namespace solotaxi;
using namespace solotaxi::network;

namespace {

struct Field {
  airfield::Airfield airfield;
  Network net;
};

std::optional<Field> read(const std::string& name) {
  const auto file = test::shared_file("airports/" + name + "/aeroway.osm");
  if (!file) return std::nullopt;
  Field f;
  f.airfield = airfield::interpret(io::read_map(*file));
  f.net = build_network(f.airfield);
  return f;
}

std::vector<Finding> found(const Network& net, const std::string& code) {
  std::vector<Finding> out;
  for (const auto& f : net.findings)
    if (f.code == code) out.push_back(f);
  return out;
}

/// Every line's length by the geodesic library alone, over the map's own vertices.
std::map<std::string, double> drawn_lengths(const airfield::Airfield& field) {
  std::map<std::string, double> length;
  const auto add = [&](const std::string& id, const std::vector<airfield::Vertex>& line) {
    for (std::size_t i = 1; i < line.size(); ++i) length[id] += geodesic_length(line[i - 1].at, line[i].at).value();
  };
  for (const auto& c : field.centrelines) add(c.id, c.line);
  for (const auto& r : field.runways) add(r.id, r.line);
  return length;
}

std::set<std::uint32_t> parts_with(const Network& net, const std::string& way) {
  std::set<std::uint32_t> parts;
  for (const auto& s : net.segments)
    if (s.source_id == way) parts.insert(net.component[index(s.from)]);
  return parts;
}

void check_whole(const Field& f) {
  std::map<std::string, double> length;
  for (const auto& s : f.net.segments) {
    REQUIRE(s.length_m > 0.0);
    REQUIRE(s.geodetic.size() >= 2);
    CHECK(s.chainage_m.back() == s.length_m);
    CHECK(geodesic_length(s.geodetic).value() == Approx(s.length_m).epsilon(1e-12));
    CHECK(s.geodetic.front() == f.net.node(s.from).at);
    CHECK(s.geodetic.back() == f.net.node(s.to).at);
    if (s.kind != LineKind::connector) length[s.source_id] += s.length_m;
  }
  // Splitting moves no vertex: a point put into a straight is within the plane's rounding of it, and only a joined near
  // miss may change its way, by less than the snap distance.
  for (const auto& [id, drawn] : drawn_lengths(f.airfield)) {
    bool repaired = false;
    for (const auto& finding : f.net.findings)
      repaired |= finding.where.id == id && (finding.code == "joined-near-miss" || finding.code == "overshoot" ||
                                             finding.code == "duplicate-line" || finding.code == "joined-to-runway");
    INFO(id);
    CHECK(length[id] == Approx(drawn).margin(repaired ? 2.0 : 0.01));
  }
  for (const auto& m : f.net.movements) {
    REQUIRE(f.net.head(m.from) == f.net.tail(m.to));
    if (!m.turn_round) CHECK(std::abs(m.angle_rad) <= 135.001 * std::numbers::pi / 180.0);
  }
  for (const auto& h : f.net.holding_points) CHECK(h.runway < static_cast<int>(f.net.runways.size()));
}

}  // namespace

TEST_CASE("LMML: the hidden runway crossing is found and joined, every stand is reached") {
  const auto f = read("LMML");
  if (!f) return;
  check_whole(*f);
  const auto hidden = found(f->net, "hidden-runway-crossing");
  REQUIRE(hidden.size() == 1);  // rule 1 of real maps: way 304772216 × 15921616
  CHECK(hidden[0].severity == Severity::serious);
  CHECK(hidden[0].where.id == "way/304772216");
  CHECK(hidden[0].text.find("way/15921616") != std::string::npos);
  // README of the fields: 81 taxiways, 17 km, 100 stand lines whose refs repeat ("3" ten times).
  double taxiway_m = 0.0;
  for (const auto& s : f->net.segments)
    if (s.kind == LineKind::taxiway) taxiway_m += s.length_m;
  CHECK(taxiway_m == Approx(17000.0).epsilon(0.02));
  CHECK(f->net.centrelines == 81 + 100 + 2);
  CHECK(f->net.stands.size() == 100);
  CHECK(found(f->net, "stand-unreachable").empty());
  CHECK(std::count_if(f->net.stands.begin(), f->net.stands.end(), [](const auto& s) { return s.ref == "3"; }) == 10);
  CHECK(f->net.components == 1);
  REQUIRE(f->net.runways.size() == 2);
  CHECK(f->net.runways[0].designators == std::array<std::string, 2>{"05", "23"});
}

TEST_CASE("EGNS: the apron group that hangs 1.46 m off is joined, its holding positions keep their refs") {
  const auto f = read("EGNS");
  if (!f) return;
  check_whole(*f);
  const auto joined = found(f->net, "joined-near-miss");
  REQUIRE(joined.size() == 1);  // rule 3 of real maps: node 7734068390, 1.46 m
  CHECK(joined[0].text.find("1.46 m") != std::string::npos);
  CHECK(parts_with(f->net, "way/828481338") == std::set<std::uint32_t>{0});
  CHECK(f->net.components == 1);
  std::size_t mapped = 0;
  std::map<std::string, int> protects;
  for (const auto& h : f->net.holding_points)
    if (!h.assumed) {
      ++mapped;
      CHECK_FALSE(h.ref.empty());
      protects[h.ref] = h.runway;
    }
  CHECK(mapped == 27);
  REQUIRE(f->net.runways.size() == 2);
  CHECK(f->net.runways[static_cast<std::size_t>(protects.at("F2"))].name == "03/21");
  CHECK(f->net.runways[static_cast<std::size_t>(protects.at("B1"))].name == "08/26");
}

TEST_CASE("KCMH: ring runways get a centreline that taxiways join, islands stay islands") {
  const auto f = read("KCMH");
  if (!f) return;
  check_whole(*f);
  REQUIRE(f->net.runways.size() == 2);
  for (const auto& r : f->net.runways) {
    CHECK(r.entries.size() >= 6);
    for (const SegmentId s : r.segments) CHECK(f->net.segment(s).assumed);
  }
  CHECK(found(f->net, "hidden-runway-crossing").empty());
  // Rule 3 of real maps: 29311209 and 234634067 face each other over 11.18 m and stay apart.
  CHECK(parts_with(f->net, "way/29311209") != parts_with(f->net, "way/234634067"));
  bool bridge = false;
  for (const auto& s : f->net.segments) bridge |= s.source_id == "way/30009299" && s.bridge && s.name == "H";
  CHECK(bridge);
}

TEST_CASE("RPLP: seven parts of taxiway are joined by the runway alone") {
  const auto f = read("RPLP");
  if (!f) return;
  check_whole(*f);
  CHECK(f->net.components == 1);
  const auto reports = found(f->net, "joined-by-runway-only");
  REQUIRE(reports.size() == 1);  // rule 5 of real maps: 7 parts without the runway, 1 with
  CHECK(reports[0].text.rfind("7 parts", 0) == 0);
  CHECK(std::count_if(f->net.movements.begin(), f->net.movements.end(), [](const auto& m) { return m.turn_round; }) == 2);
}

TEST_CASE("EDXH: a small field with stands as points off its 0.17 km of taxiway") {
  const auto f = read("EDXH");
  if (!f) return;
  check_whole(*f);
  double taxiway_m = 0.0;
  for (const auto& s : f->net.segments)
    if (s.kind == LineKind::taxiway) taxiway_m += s.length_m;
  CHECK(taxiway_m == Approx(170.0).epsilon(0.02));  // README of the fields
  CHECK(f->net.stands.size() == 3);
  CHECK(found(f->net, "stand-connector").size() == 3);
}

TEST_CASE("the same real map gives the same network twice") {
  const auto a = read("LMML"), b = read("LMML");
  if (!a || !b) return;
  REQUIRE(a->net.segments.size() == b->net.segments.size());
  for (std::size_t i = 0; i < a->net.segments.size(); ++i) {
    CHECK(a->net.segments[i].source_id == b->net.segments[i].source_id);
    CHECK(a->net.segments[i].from == b->net.segments[i].from);
    CHECK(a->net.segments[i].length_m == b->net.segments[i].length_m);
  }
  REQUIRE(a->net.findings.size() == b->net.findings.size());
  for (std::size_t i = 0; i < a->net.findings.size(); ++i) CHECK(a->net.findings[i].text == b->net.findings[i].text);
}
