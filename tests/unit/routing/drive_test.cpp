// Routes driven: the same route, and a drive that fits it.
#include <cmath>

#include "unit/routing/drawn.hpp"
#include "unit/routing/route_check.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;

namespace {

DrivenRoute drive(const network::Network& net, const std::string& from, const std::string& to, const std::string& engines,
                  const std::vector<Via>& via = {}) {
  const aircraft::Aircraft aircraft;
  RouteRequest request;
  request.from = parse_place(from);
  request.to = parse_place(to);
  request.via = via;
  request.landing_roll_m = 100.0;
  const auto set = aircraft::parse_running_set(aircraft, engines);
  const auto driven = find_driven_route(net, aircraft, set, {}, request);
  REQUIRE(std::holds_alternative<DrivenRoute>(driven));
  const auto plain = find_route(net, aircraft, set, {}, request);
  const Route& a = std::get<Route>(plain);
  const Route& b = std::get<DrivenRoute>(driven).route;
  CHECK(a.arcs == b.arcs);
  CHECK(a.time_s == b.time_s);
  CHECK(a.fuel_kg == b.fuel_kg);
  CHECK(a.legs.size() == b.legs.size());
  return std::get<DrivenRoute>(driven);
}

}  // namespace

TEST_CASE("a route driven is the route found, its way as long, its figures near") {
  const Drawn f = two_ways();
  for (const char* engines : {"all", "left"}) {
    const DrivenRoute d = drive(f.net, "stand:1", "runway:27", engines);
    CHECK(d.driven_from_m == Approx(50.0).epsilon(1e-5));
    CHECK(d.driven_from_m + d.sim.length_m == Approx(d.route.length_m).margin(0.1));
    REQUIRE_FALSE(d.sim.stalled);
    CHECK(d.sim.time_s() == Approx(d.route.time_s).epsilon(0.1));  // search and drive agree to 10 %
    CHECK(d.sim.fuel_kg() == Approx(d.route.fuel_kg).epsilon(0.1));
    CHECK(d.sim.samples.back().speed_mps == Approx(0.0).margin(1e-9));
    // It stands for the push back of 120 s before its first metre.
    CHECK(d.sim.at_time(119.0).at_m == 0.0);
    CHECK(d.sim.at_time(130.0).at_m > 0.0);
  }
}

TEST_CASE("an arrival is driven rolling, a stop between is stood, a place in mid-segment is driven to") {
  const Drawn f = two_ways();
  CHECK(drive(f.net, "runway:09", "stand:2", "left").sim.samples.front().speed_mps > 0.0);
  const DrivenRoute plain = drive(f.net, f.node('a'), f.node('e'), "all");
  Via stop;
  stop.place = parse_place(f.node('c'));
  stop.stop_min = 2.0;
  const DrivenRoute stood = drive(f.net, f.node('a'), f.node('e'), "all", {stop});
  CHECK(stood.sim.time_s() > plain.sim.time_s() + 120.0);
  CHECK(stood.sim.time_s() < plain.sim.time_s() + 180.0);
  const LatLon at = f.net.frame.to_geodetic(
      {0.5 * (f.net.node(f.map.node(f.net, 'c')).xy.x_m + f.net.node(f.map.node(f.net, 'e')).xy.x_m),
       f.net.node(f.map.node(f.net, 'c')).xy.y_m});
  const DrivenRoute half =
      drive(f.net, f.node('a'), std::to_string(at.lat_deg()) + "," + std::to_string(at.lon_deg()), "all");
  CHECK(half.sim.length_m == Approx(half.route.length_m).margin(0.1));
  CHECK(half.route.length_m < plain.route.length_m - 10.0);
}

TEST_CASE("grades of legs run end to end and climb as the leg's mean says") {
  Drawn f = two_ways();
  const DrivenRoute d = drive(f.net, "stand:1", "runway:27", "all");
  double at_m = 0.0;
  for (const Leg& leg : d.route.legs) {
    double rise_m = 0.0;
    for (const GradeRun& run : leg.grades) {
      CHECK(run.from_m == Approx(at_m).margin(1e-6));
      at_m += run.length_m;
      rise_m += run.grade * run.length_m;
    }
    CHECK(at_m == Approx(leg.from_m + leg.length_m).margin(1e-6));
    CHECK(rise_m == Approx(leg.grade_mean * leg.length_m).margin(1e-9));
    if (!leg.grades.empty()) CHECK(leg.grades.front().height_m == Approx(leg.geometry.front().height_m));
  }
}
