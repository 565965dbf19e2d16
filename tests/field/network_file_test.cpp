// A network written as GeoPackage and read back: the same network, with the same routes; and what mending it by hand does.
#include "solotaxi/io/network_file.hpp"

#include <ogrsf_frmts.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "field/fields.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/vector_writer.hpp"
#include "solotaxi/report/check_report.hpp"
#include "unit/io/scratch_folder.hpp"
#include "unit/routing/route_check.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;
namespace fs = std::filesystem;

namespace {

fs::path written(const network::Network& net, const ScratchFolder& folder) {
  const fs::path file = folder.path / "network.gpkg";
  io::write_layers(file, report::network_layers(net));
  return file;
}

/// Equal or both not a number; `margin` only where a unit was changed on the way.
void same(double a, double b, double margin = 0.0) {
  if (std::isnan(a) && std::isnan(b)) return;
  CHECK(std::abs(a - b) <= margin);
}

template <typename T>
void same(const std::optional<T>& a, const std::optional<T>& b, double margin = 0.0) {
  REQUIRE(a.has_value() == b.has_value());
  if (a) same(a->value(), b->value(), margin);
}

/// Positions in the plane are computed anew from degrees.
constexpr double kPlane_m = 1e-6;

void check_same(const network::Network& a, const network::Network& b) {
  CHECK(a.name == b.name);
  CHECK(a.ident == b.ident);
  same(a.elevation, b.elevation);
  CHECK(a.centrelines == b.centrelines);
  CHECK(a.component == b.component);
  REQUIRE(a.nodes.size() == b.nodes.size());
  for (std::size_t n = 0; n < a.nodes.size(); ++n) {
    CHECK(a.nodes[n].at == b.nodes[n].at);
    same(a.nodes[n].height_m, b.nodes[n].height_m);
    CHECK(a.nodes[n].source_id == b.nodes[n].source_id);
    CHECK(distance_m(a.nodes[n].xy, b.nodes[n].xy) < kPlane_m);
  }
  REQUIRE(a.segments.size() == b.segments.size());
  for (std::size_t i = 0; i < a.segments.size(); ++i) {
    const network::Segment &s = a.segments[i], &t = b.segments[i];
    CAPTURE(i, s.source_id);
    CHECK((s.from == t.from && s.to == t.to && s.kind == t.kind && s.name == t.name && s.source_id == t.source_id));
    CHECK((s.runway == t.runway && s.layer == t.layer && s.bridge == t.bridge && s.tunnel == t.tunnel));
    CHECK((s.closed == t.closed && s.assumed == t.assumed && s.one_way == t.one_way && s.surface == t.surface));
    same(s.width, t.width);
    same(s.wingspan_limit, t.wingspan_limit);
    same(s.mass_limit, t.mass_limit);
    same(s.speed_limit, t.speed_limit, 1e-12);
    CHECK(s.geodetic == t.geodetic);
    CHECK(s.chainage_m == t.chainage_m);
    REQUIRE(s.profile.size() == t.profile.size());
    for (std::size_t k = 0; k < s.profile.size(); ++k) {
      same(s.profile[k].at_m, t.profile[k].at_m);
      same(s.profile[k].height_m, t.profile[k].height_m);
    }
    CHECK(s.grade_sd == t.grade_sd);
  }
  REQUIRE(a.movements.size() == b.movements.size());
  for (std::size_t m = 0; m < a.movements.size(); ++m) {
    CHECK((a.movements[m].from == b.movements[m].from && a.movements[m].to == b.movements[m].to));
    CHECK(a.movements[m].angle_rad == Approx(b.movements[m].angle_rad).margin(1e-6));
  }
  REQUIRE(a.runways.size() == b.runways.size());
  for (std::size_t r = 0; r < a.runways.size(); ++r) {
    const network::Runway &s = a.runways[r], &t = b.runways[r];
    CHECK((s.id == t.id && s.name == t.name && s.designators == t.designators && s.front == t.front && s.back == t.back));
    CHECK((s.closed == t.closed && s.no_take_off == t.no_take_off && s.no_landing == t.no_landing));
    CHECK(s.displaced_m == t.displaced_m);
    CHECK(s.segments == t.segments);
    CHECK(s.length_m == t.length_m);
    REQUIRE(s.entries.size() == t.entries.size());
    for (std::size_t e = 0; e < s.entries.size(); ++e)
      CHECK((s.entries[e].node == t.entries[e].node && s.entries[e].names == t.entries[e].names));
  }
  REQUIRE(a.stands.size() == b.stands.size());
  for (std::size_t i = 0; i < a.stands.size(); ++i)
    CHECK((a.stands[i].id == b.stands[i].id && a.stands[i].ref == b.stands[i].ref && a.stands[i].node == b.stands[i].node &&
           a.stands[i].approximate == b.stands[i].approximate && a.stands[i].closed == b.stands[i].closed &&
           a.stands[i].apron == b.stands[i].apron));
  REQUIRE(a.holding_points.size() == b.holding_points.size());
  for (std::size_t i = 0; i < a.holding_points.size(); ++i) {
    const auto &h = a.holding_points[i], &k = b.holding_points[i];
    CHECK((h.id == k.id && h.ref == k.ref && h.node == k.node && h.runway == k.runway && h.assumed == k.assumed));
  }
}

/// Routes from every stand to every runway end cost the same on both.
void check_routes(const network::Network& a, const network::Network& b, std::size_t every) {
  std::size_t found = 0;
  for (std::size_t i = 0; i < a.stands.size(); i += every)
    for (const auto& runway : a.runways)
      for (const std::string& end : runway.designators) {
        Ask ask{"stand:" + a.stands[i].ref + "#" + a.stands[i].id, "runway:" + end, Objective::fuel};
        INFO(ask.from << " to " << ask.to);
        const auto one = ask_route(a, ask), two = ask_route(b, ask);
        REQUIRE(one.index() == two.index());
        if (!std::holds_alternative<Route>(one)) continue;
        ++found;
        CHECK(std::get<Route>(one).arcs == std::get<Route>(two).arcs);
        CHECK(std::get<Route>(one).fuel_kg == Approx(std::get<Route>(two).fuel_kg).epsilon(1e-9));
        CHECK(std::get<Route>(one).time_s == Approx(std::get<Route>(two).time_s).epsilon(1e-9));
      }
  CHECK(found > 0);
}

void check_round_trip(const network::Network& net, std::size_t every) {
  const ScratchFolder folder;
  const fs::path file = written(net, folder);
  REQUIRE(io::is_network_file(file));
  const network::Network back = io::read_network(file);
  check_same(net, back);
  check_routes(net, back, every);
  CHECK(back.findings.size() <= net.findings.size());  // exact repeats are written once; nothing is added
}

/// Runs SQL on a GeoPackage, as a planner's GIS would.
void edit(const fs::path& file, const std::string& sql) {
  const GDALDatasetUniquePtr data(GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR | GDAL_OF_UPDATE));
  REQUIRE(data);
  OGRLayer* result = data->ExecuteSQL(sql.c_str(), nullptr, nullptr);
  if (result != nullptr) data->ReleaseResultSet(result);
}

bool told(const network::Network& net, const std::string& code) {
  return std::any_of(net.findings.begin(), net.findings.end(), [&](const Finding& f) { return f.code == code; });
}

std::string refusal(const fs::path& file) {
  try {
    (void)io::read_network(file);
  } catch (const Error& error) {
    return error.one_line();
  }
  return "";
}

}  // namespace

TEST_CASE("the demo field's network is read back as it was written, heights and all") { check_round_trip(demo_field(), 4); }

TEST_CASE("a real field's network is read back as it was written") {
  const auto net = real_field("LMML");
  if (!net) return;
  check_round_trip(*net, 10);
}

TEST_CASE("the AIXM sample's network is read back as it was written") {
  const auto folder = shared_file("airports/EADD_AIXM/static");
  if (!folder) return;
  check_round_trip(network::build_network(airfield::interpret(io::read_map(*folder))), 10);
}

TEST_CASE("limits, closures and directions of a network are read back") {
  network::Network net = demo_field();
  auto& s = net.segments[3];
  s.closed = true;
  s.mass_limit = Kilograms{50999.0};
  s.wingspan_limit = Metres{35.99};
  s.width = Metres{22.86};
  s.speed_limit = MetresPerSecond{30.0 / 3.6};
  s.surface = "asphalt";
  net.stands[0].closed = true;
  net.runways[0].no_landing = {false, true};
  net.runways[0].no_take_off = {true, false};
  const ScratchFolder folder;
  check_same(net, io::read_network(written(net, folder)));
}

TEST_CASE("a planner's edits count: attributes, lines taken out, lines drawn, grades stated") {
  const network::Network net = demo_field();
  const ScratchFolder folder;
  const fs::path file = written(net, folder);
  const auto is_plain = [](const network::Segment& s) { return s.kind == network::LineKind::taxiway && s.length_m > 50.0; };
  const auto plain = std::find_if(net.segments.begin(), net.segments.end(), is_plain);
  REQUIRE(plain != net.segments.end());
  const auto number = static_cast<std::size_t>(plain - net.segments.begin());
  edit(file, "UPDATE segments SET name = 'Renamed', one_way = 'forward', stated_grade_pct = 6 WHERE segment = " +
                 std::to_string(number));
  network::Network back = io::read_network(file);
  const network::Segment& s = back.segments[number];
  CHECK(s.name == "Renamed");
  CHECK(s.one_way == network::OneWay::forward);
  CHECK_FALSE(back.may_drive(network::arc_against(network::SegmentId{static_cast<std::uint32_t>(number)})));
  for (std::size_t k = 0; k + 1 < s.profile.size(); ++k)
    CHECK((s.profile[k + 1].height_m - s.profile[k].height_m) / (s.profile[k + 1].at_m - s.profile[k].at_m) ==
          Approx(0.06));
  CHECK(told(back, "grade-disagrees"));

  edit(file, "DELETE FROM segments WHERE segment = " + std::to_string(number));
  back = io::read_network(file);
  CHECK(back.segments.size() == net.segments.size() - 1);
  CHECK(told(back, "network-renumbered"));

  // A line drawn between the ends of the one taken out has only its geometry.
  const LatLon a = plain->geodetic.front(), b = plain->geodetic.back();
  {
    const GDALDatasetUniquePtr data(GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR | GDAL_OF_UPDATE));
    OGRLayer* layer = data->GetLayerByName("segments");
    const OGRFeatureUniquePtr drawn(OGRFeature::CreateFeature(layer->GetLayerDefn()));
    OGRLineString line;
    line.addPoint(a.lon_deg(), a.lat_deg());
    line.addPoint(b.lon_deg(), b.lat_deg());
    drawn->SetGeometry(&line);
    REQUIRE(layer->CreateFeature(drawn.get()) == OGRERR_NONE);
  }
  back = io::read_network(file);
  REQUIRE(back.segments.size() == net.segments.size());
  CHECK(back.segments.back().kind == network::LineKind::taxiway);
  CHECK(back.node(back.segments.back().from).at == a);
  CHECK(told(back, "profile-from-nodes"));
}

TEST_CASE("a network that a planner broke is refused with the layer and feature that is wrong") {
  const network::Network net = demo_field();
  const auto broken = [&](const std::string& sql) {
    const ScratchFolder folder;
    const fs::path file = written(net, folder);
    edit(file, sql);
    return refusal(file);
  };
  CHECK_THAT(broken("UPDATE segments SET kind = 'path' WHERE segment = 2"),
             Catch::Contains("segments/3") && Catch::Contains("\"path\" is not understood"));
  CHECK_THAT(broken("UPDATE segments SET width_m = -3 WHERE segment = 0"), Catch::Contains("width_m is -3"));
  CHECK_THAT(broken("UPDATE runways SET front_node = 99999"), Catch::Contains("names no node"));
  CHECK_THAT(broken("DELETE FROM segments WHERE kind = 'runway' AND fid > 0"), Catch::Contains("does not run on"));
  CHECK_THAT(broken("DELETE FROM field"), Catch::Contains("empty"));
}

TEST_CASE("other GeoPackages are no networks") {
  CHECK_FALSE(io::is_network_file(SOLOTAXI_ROOT "/data/demo/field.geojson"));
  CHECK_FALSE(io::is_network_file(SOLOTAXI_ROOT "/data/demo"));
  const auto map = shared_file("airports/LMML/formats");
  if (!map) return;
  for (const auto& entry : fs::directory_iterator(*map)) CHECK_FALSE(io::is_network_file(entry.path()));
}
