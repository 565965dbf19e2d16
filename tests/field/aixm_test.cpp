// The open AIXM sample aerodrome, whose data states its own answers [S:EADD], with its digital NOTAMs.
#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/network/build.hpp"
#include "support/shared.hpp"
#include "unit/routing/route_check.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;
namespace fs = std::filesystem;

namespace {

std::optional<fs::path> sample() { return shared_file("airports/EADD_AIXM/static"); }

network::Network build(const fs::path& folder, const io::MapOptions& options = {}) {
  return network::build_network(airfield::interpret(io::read_map(folder, options)));
}

io::MapOptions with(const fs::path& folder, const char* at, const std::string& notam) {
  io::MapOptions options;
  options.at = parse_instant(at);
  options.notams = {folder.parent_path() / "notam" / notam};
  return options;
}

std::vector<Finding> told(const Findings& findings, const std::string& prefix) {
  std::vector<Finding> found;
  for (const Finding& f : findings)
    if (f.code.starts_with(prefix)) found.push_back(f);
  return found;
}

double azimuth_deg(const network::Network& net, network::NodeId from, network::NodeId to) {
  return azimuth(net.node(from).at, net.node(to).at).in_degrees();
}

}  // namespace

TEST_CASE("the AIXM sample has 106 guidance lines, 44 of them one-way, 32 holding positions and 16 stands [S:EADD]") {
  const auto folder = sample();
  if (!folder) return;
  const auto map = io::read_map(*folder);
  std::set<std::string> lines, one_way, holds, stands;
  for (const auto& f : map.features) {
    if (f.id.starts_with("GuidanceLine/")) lines.insert(f.id);
    if (f.id.starts_with("GuidanceLine/") && f.tag("oneway") == "yes") one_way.insert(f.id);
    if (f.id.starts_with("TaxiHoldingPosition/")) holds.insert(f.id);
    if (f.id.starts_with("AircraftStand/")) stands.insert(f.id);
  }
  CHECK(lines.size() == 106);
  CHECK(one_way.size() == 44);
  CHECK(holds.size() == 32);
  CHECK(stands.size() == 16);
  const auto net = network::build_network(airfield::interpret(map));
  CHECK(net.stands.size() == 16);
  std::set<std::string> on_lines;
  for (const auto& h : net.holding_points)
    if (!h.assumed) on_lines.insert(h.id);
  CHECK(on_lines == holds);  // none off the network
  CHECK(told(net.findings, "holding-position-moved").empty());
  CHECK(net.components == 1);
}

TEST_CASE("every segment of the sample's network has a length and a profile [S:EADD]") {
  const auto folder = sample();
  if (!folder) return;
  const auto net = network::build_network(airfield::interpret(io::read_map(*folder)));
  for (const network::Segment& s : net.segments) {
    CAPTURE(s.source_id);
    CHECK(s.length_m > 0.0);
    CHECK(s.profile.size() >= 2);
    CHECK(s.grade_sd.size() + 1 == s.profile.size());
  }
}

TEST_CASE("the sample's runways have the azimuths and lengths that it states [S:EADD]") {
  const auto folder = sample();
  if (!folder) return;
  const auto net = build(*folder);
  REQUIRE(net.runways.size() == 2);
  struct Stated {
    const char* name;
    double forth_deg, back_deg, length_m, nominal_m;
  };
  // Computed from the points themselves; stated bearings are 84.28, 264.32, 83.488, 263.52 degrees and 3200, 2700 m.
  for (const Stated& s :
       {Stated{"09L/27R", 84.282, 264.319, 3203.04, 3200}, Stated{"09R/27L", 83.489, 263.520, 2702.03, 2700}}) {
    const auto r = std::find_if(net.runways.begin(), net.runways.end(), [&](const auto& x) { return x.name == s.name; });
    REQUIRE(r != net.runways.end());
    CHECK(azimuth_deg(net, r->front, r->back) == Approx(s.forth_deg).margin(0.001));
    CHECK(azimuth_deg(net, r->back, r->front) == Approx(s.back_deg).margin(0.001));
    CHECK(r->length_m == Approx(s.length_m).margin(0.05));  // vertices set off by millimetres add a little
    CHECK(r->length_m == Approx(s.nominal_m).epsilon(0.002));
  }
  // The displaced threshold of 27R is one of 25 surveyed points: 300 m in, at 18 m above the sea; the runway falls from
  // 30.00 m to 16.50 m.
  const auto& r = net.runways[0];
  CHECK(r.displaced_m[1] == Approx(300.0).margin(0.5));
  CHECK(net.node(r.front).height_m == Approx(30.0).margin(0.3));
  CHECK(net.node(r.back).height_m == Approx(16.5).margin(0.3));
}

TEST_CASE("all 25 surveyed runway points are read with their heights [S:EADD]") {
  const auto folder = sample();
  if (!folder) return;
  const auto map = io::read_map(*folder);
  std::size_t vertices = 0;
  for (const auto& f : map.features) {
    if (!f.id.starts_with("Runway/")) continue;
    vertices += f.vertices.size();
    CHECK(std::all_of(f.vertices.begin(), f.vertices.end(), [](const auto& v) { return v.height_m.has_value(); }));
  }
  // 13 and 12 points, of which START, THR and END of opposite directions, and MID, are the same places: 9 START_RUN, 4
  // ends, 2 middles and the displaced threshold remain.
  CHECK(vertices == 16);
  CHECK(told(map.findings, "aixm-heights-disagree").empty());
}

TEST_CASE("routes over the sample respect its one-way lines, though an aircraft is pushed back against them [S:EADD]") {
  const auto folder = sample();
  if (!folder) return;
  const auto net = build(*folder);
  std::size_t found = 0;
  for (const auto& stand : net.stands) {
    if (stand.closed) continue;
    for (const bool arrives : {false, true}) {
      Ask ask{"stand:" + stand.ref, "runway:27R"};
      if (arrives) ask = {"runway:27R", "stand:" + stand.ref};
      if (arrives) ask.direction = Direction::arrival;
      const auto answer = ask_route(net, ask);
      INFO(ask.from << " to " << ask.to);
      const auto* route = std::get_if<Route>(&answer);
      REQUIRE(route != nullptr);
      check_route(net, *route);
      for (const network::ArcId a : route->arcs) CHECK(net.may_drive(a));
      ++found;
    }
  }
  CHECK(found == 28);  // 14 stands for land planes; the other two are for helicopters
}

TEST_CASE("with taxiway B closed by its NOTAM the route from the runway leaves it elsewhere [S:EADD]") {
  const auto folder = sample();
  if (!folder) return;
  Ask ask{"runway:09L", "stand:9"};
  ask.direction = Direction::arrival;
  const std::string notam = "DN_TWY.CLS_1_single_twy_closure.xml";
  const Route before = route_of(build(*folder), ask);
  CHECK(designators(before).starts_with("B, "));
  const auto closed = build(*folder, with(*folder, "2026-01-05T08:00Z", notam));
  REQUIRE(told(closed.findings, "notam-applied").size() == 1);
  const Route during = route_of(closed, ask);
  CHECK(designators(during).find('B') == std::string::npos);
  CHECK(during.length_m > before.length_m + 100.0);
  const Route after = route_of(build(*folder, with(*folder, "2026-01-05T10:30Z", notam)), ask);
  CHECK(after.length_m == Approx(before.length_m));
}

TEST_CASE("with taxiway C closed, and A beyond B, the way to runway 27R changes while the schedule holds [S:EADD]") {
  const auto folder = sample();
  if (!folder) return;
  const std::string notam = "DN_TWY.CLS_2_multiple_twy_closure_with_description_reason_note.xml";
  const Ask ask{"stand:9", "runway:27R"};
  const auto before = ask_route(build(*folder), ask);
  const auto during = ask_route(build(*folder, with(*folder, "2026-01-09T04:30Z", notam)), ask);
  const auto between = ask_route(build(*folder, with(*folder, "2026-01-09T12:00Z", notam)), ask);
  REQUIRE(std::holds_alternative<Route>(before));
  REQUIRE(std::holds_alternative<Route>(between));
  CHECK(std::get<Route>(between).length_m == Approx(std::get<Route>(before).length_m));
  // The full length is reached by A only; with it shut the way is B and back along the runway.
  REQUIRE(std::holds_alternative<Route>(during));
  CHECK(designators(std::get<Route>(before)).find('B') == std::string::npos);
  CHECK(designators(std::get<Route>(during)).find('B') != std::string::npos);
}

TEST_CASE("a runway closed by NOTAM is not taken off from, and one closed except for take-off is not landed on [S:EADD]") {
  const auto folder = sample();
  if (!folder) return;
  const auto closed = build(*folder, with(*folder, "2025-11-17T04:00Z", "DN_RWY.CLS_1_full_runway_closure.xml"));
  const auto none = ask_route(closed, {"stand:9", "runway:27L"});
  REQUIRE(std::holds_alternative<NoRoute>(none));
  CHECK_THAT(std::get<NoRoute>(none).reason, Catch::Contains("closed"));
  const auto limited = build(*folder, with(*folder, "2025-12-23T12:00Z", "DN_RWY.LIM_1_closed_except_for_takeoff.xml"));
  CHECK(std::holds_alternative<Route>(ask_route(limited, {"stand:9", "runway:27L"})));
  Ask landing{"runway:27L", "stand:9"};
  landing.direction = Direction::arrival;
  const auto refused = ask_route(limited, landing);
  REQUIRE(std::holds_alternative<NoRoute>(refused));
  CHECK_THAT(std::get<NoRoute>(refused).reason, Catch::Contains("landings"));
}

TEST_CASE("a closed stand is no place to leave or reach, a limited one is for those within its limit [S:EADD]") {
  const auto folder = sample();
  if (!folder) return;
  const auto closed = build(*folder, with(*folder, "2026-02-21T08:00Z", "DN_STAND.CLS_4_stand_closure.xml"));
  for (const auto& stand : closed.stands)
    CHECK(stand.closed == (stand.ref == "1" || stand.ref == "4" || stand.ref == "5" || stand.ref.starts_with("H")));
  CHECK(std::holds_alternative<NoRoute>(ask_route(closed, {"stand:4", "runway:27R"})));
  CHECK(std::holds_alternative<Route>(ask_route(closed, {"stand:3", "runway:27R"})));
  // Prohibited from 25 t on; the aircraft asked for has 60 t.
  const auto heavy = build(*folder, with(*folder, "2026-03-22T12:00Z", "DN_STAND.LIM_3_prohibited_for.xml"));
  const auto limit = std::find_if(heavy.segments.begin(), heavy.segments.end(),
                                  [](const auto& s) { return s.kind == network::LineKind::stand_line && s.name == "12"; });
  REQUIRE(limit != heavy.segments.end());
  REQUIRE(limit->mass_limit);
  CHECK(limit->mass_limit->value() == Approx(24999.0));
  Ask arrival{"runway:27R", "stand:12"};
  arrival.direction = Direction::arrival;
  CHECK(std::holds_alternative<NoRoute>(ask_route(heavy, arrival)));
}

TEST_CASE("all 32 NOTAM files of the sample are read, and told of as what they mean for a jet aeroplane [S:EADD]") {
  const auto folder = sample();
  if (!folder) return;
  struct Expected {
    std::string begins, at, code;
  };
  const Expected expected[] = {{"DN_APE.CLS_1", "2026-03-10T08:00Z", "notam-applied"},
                               // Of pavement that no line of the sample's map crosses.
                               {"DN_APE.CLS_2", "2026-03-13T12:00Z", "notam-not-applied"},
                               {"DN_APE.LIM_1", "2026-03-15T12:00Z", "notam-not-applied"},
                               {"DN_APE.LIM_2", "2026-03-16T12:00Z", "notam-applied"},
                               {"DN_APE.LIM_3", "2026-03-17T12:00Z", "notam-applied"},
                               {"DN_APE.LIM_4", "2026-03-18T12:00Z", "notam-without-effect"},
                               {"DN_APN.CLS_1", "2026-02-16T06:00Z", "notam-without-effect"},  // of helicopters already
                               {"DN_APN.CLS_2", "2026-02-20T07:00Z", "notam-without-effect"},
                               {"DN_APN.CLS_2", "2026-02-26T07:00Z", "notam-not-in-force"},  // "exc Feb 26"
                               {"DN_APN.LIM_1", "2026-02-27T12:00Z", "notam-applied"},
                               {"DN_APN.LIM_2", "2026-03-07T12:00Z", "notam-without-effect"},
                               {"DN_APN.LIM_2", "2026-03-09T12:00Z", "notam-not-in-force"},  // "FRI 1200-SUN 2000"
                               {"DN_APN.LIM_3", "2026-03-08T12:00Z", "notam-applied"},
                               {"DN_APN.LIM_4", "2026-03-07T12:00Z", "notam-without-effect"},
                               {"DN_RWY.CLS_1", "2025-11-17T04:00Z", "notam-applied"},
                               // About a direction 03 that the sample's own map does not hold.
                               {"DN_RWY.CLS_2", "2025-11-25T14:00Z", "notam-not-applied"},
                               {"DN_RWY.LIM_1", "2025-12-23T12:00Z", "notam-applied"},
                               {"DN_RWY.LIM_2", "2025-12-23T12:00Z", "notam-without-effect"},
                               {"DN_RWY.LIM_3", "2025-11-26T22:00Z", "notam-applied"},
                               {"DN_RWY.LIM_4", "2025-12-23T12:00Z", "notam-without-effect"},
                               {"DN_STAND.CLS_1", "2026-02-16T06:00Z", "notam-without-effect"},
                               {"DN_STAND.CLS_2", "2026-02-20T07:00Z", "notam-without-effect"},
                               {"DN_STAND.CLS_3", "2026-03-10T08:00Z", "notam-applied"},
                               {"DN_STAND.CLS_4", "2026-02-21T08:00Z", "notam-applied"},
                               {"DN_STAND.LIM_1", "2026-03-20T08:00Z", "notam-applied"},
                               {"DN_STAND.LIM_2", "2026-03-20T08:00Z", "notam-applied"},
                               {"DN_STAND.LIM_3", "2026-03-22T12:00Z", "notam-applied"},
                               {"DN_STAND.LIM_4", "2026-03-22T12:00Z", "notam-without-effect"},
                               {"DN_TWY.CLS_1", "2026-01-05T08:00Z", "notam-applied"},
                               {"DN_TWY.CLS_2", "2026-01-09T04:30Z", "notam-applied"},
                               {"DN_TWY.CLS_2", "2026-01-09T05:00Z", "notam-not-in-force"},  // "Daily 0400-0500"
                               {"DN_TWY.LIM_1", "2026-01-17T15:00Z", "notam-applied"},
                               {"DN_TWY.LIM_2", "2026-01-20T12:00Z", "notam-applied"},
                               {"DN_TWY.LIM_3", "2026-01-21T12:00Z", "notam-applied"},
                               {"DN_TWY.LIM_4", "2026-01-25T12:00Z", "notam-without-effect"},
                               {"DN_TWY.LIM_4", "2026-01-26T00:00Z", "notam-not-in-force"}};
  std::set<std::string> read;
  for (const auto& entry : fs::directory_iterator(folder->parent_path() / "notam")) {
    const std::string name = entry.path().filename();
    for (const Expected& e : expected) {
      if (!name.starts_with(e.begins + "_")) continue;
      CAPTURE(name, e.at);
      read.insert(name);
      const auto found = told(io::read_map(*folder, with(*folder, e.at.c_str(), name)).findings, "notam-");
      REQUIRE(found.size() == (e.begins == "DN_RWY.CLS_2" ? found.size() : 1));
      CHECK(std::any_of(found.begin(), found.end(), [&](const Finding& f) { return f.code == e.code; }));
      CHECK(found.front().where.id.starts_with("NOTAM A"));
    }
  }
  CHECK(read.size() == 32);
}
