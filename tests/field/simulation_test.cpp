// Cheapest routes of fields driven: they arrive, and cost what the search says within its accuracy.
#include "solotaxi/motion/simulation.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>

#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/io/raster.hpp"
#include "solotaxi/network/build.hpp"
#include "support/shared.hpp"
#include "unit/routing/route_check.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;

namespace {

struct Gaps {
  std::vector<double> time, fuel;
  int driven = 0, stalled = 0, carried = 0;
};

double share(std::vector<double> values, double part) {
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(part * static_cast<double>(values.size() - 1))];
}

/// From every stand to every runway end on one set; without the push back.
Gaps drive_all(const network::Network& net, const std::string& engines, const motion::Conditions& conditions) {
  const aircraft::Aircraft aircraft;
  const network::Shape shape = network::trace_shape(
      net, {aircraft.wheelbase_m, aircraft.steering_max_deg, conditions.fillet_radius_m, conditions.tight_radius_m});
  Gaps gaps;
  for (const auto& stand : net.stands)
    for (const auto& runway : net.runways)
      for (const std::string& end : runway.designators) {
        if (end.empty() || stand.ref.empty()) continue;
        Ask ask{"stand:" + stand.ref + "#" + stand.id.substr(stand.id.find('/') + 1), "runway:" + end};
        ask.engines = engines;
        ask.objective = Objective::fuel;
        const auto answer = ask_route(net, ask, conditions);
        const Route* route = std::get_if<Route>(&answer);
        if (!route || route->every_engine_needed) continue;
        motion::Drive drive;
        drive.arcs = route->arcs;
        const auto set = aircraft::parse_running_set(aircraft, engines);
        drive.phases = {{set, {}, engines == "all" ? 0.0 : aircraft.apu_run_kg_h}};
        for (const Turn& turn : route->turns)
          drive.turn_round_at_end |= turn.turn_round && turn.at_m > route->length_m - 50.0;
        const motion::Simulation s = motion::simulate(net, shape, aircraft, conditions, drive);
        double pushed = 0.0;
        for (const Leg& leg : route->legs) pushed += leg.push_back ? leg.length_m : 0.0;
        INFO(ask.from << " to " << ask.to << " on " << engines);
        CHECK(s.length_m + pushed == Approx(route->length_m).margin(0.1));
        ++gaps.driven;
        gaps.stalled += s.stalled.has_value();
        gaps.carried += !s.carried.empty();
        if (s.stalled) continue;
        gaps.time.push_back(s.time_s() / (route->time_s - route->push_back_s) - 1.0);
        gaps.fuel.push_back(s.fuel_kg() / (route->fuel_kg - route->push_back_fuel_kg) - 1.0);
      }
  return gaps;
}

void check(const network::Network& net, const char* name, const motion::Conditions& conditions) {
  for (const char* engines : {"all", "left", "right"}) {
    const Gaps gaps = drive_all(net, engines, conditions);
    INFO(name << " on " << engines);
    REQUIRE(gaps.time.size() > 20);
    fmt::print(
        "{} on {}: {} routes driven, {} stalled, {} carried; against the search, median (5th to 95th of 100): "
        "time {:+.1f} % ({:+.1f} to {:+.1f}), fuel {:+.1f} % ({:+.1f} to {:+.1f})\n",
        name, engines, gaps.driven, gaps.stalled, gaps.carried, 100 * share(gaps.time, 0.5), 100 * share(gaps.time, 0.05),
        100 * share(gaps.time, 0.95), 100 * share(gaps.fuel, 0.5), 100 * share(gaps.fuel, 0.05),
        100 * share(gaps.fuel, 0.95));
    CHECK(std::abs(share(gaps.fuel, 0.5)) < 0.10);
    CHECK(std::abs(share(gaps.time, 0.5)) < 0.10);
    CHECK(gaps.stalled == 0);
  }
}

}  // namespace

TEST_CASE("LMML: departures on any set the search allows arrive, near its cost") {
  const auto file = shared_file("airports/LMML/aeroway.osm");
  if (!file) return;
  motion::Conditions conditions;
  conditions.unknown_grade_sigmas = 0;  // without heights one engine would not be allowed anywhere
  check(network::build_network(airfield::interpret(io::read_map(*file))), "LMML", conditions);
}

TEST_CASE("the demo field: departures over its ramps on any set the search allows arrive, near its cost") {
  const std::filesystem::path demo = std::filesystem::path(SOLOTAXI_ROOT) / "data/demo";
  const auto raster = io::open_raster(demo / "elevation.tif");
  const terrain::HeightSource* const sources[] = {raster.get()};
  check(network::build_network(airfield::interpret(io::read_map(demo / "field.geojson", {}), {}), {}, sources),
        "demo field", {});
}
