#include <iostream>
#include <solotaxi/airfield/interpret.hpp>
#include <solotaxi/io/aircraft_file.hpp>
#include <solotaxi/io/map_file.hpp>
#include <solotaxi/io/raster.hpp>
#include <solotaxi/network/build.hpp>
#include <solotaxi/planning/plan.hpp>

int main(int, char** argv) {
  using namespace solotaxi;
  const auto raster = io::open_raster(argv[2]);
  const terrain::HeightSource* heights[] = {raster.get()};
  const auto network = network::build_network(airfield::interpret(io::read_map(argv[1])), {}, heights);
  const auto aircraft = io::find_aircraft("narrow-body-twin");
  planning::PlanRequest request;
  request.route.from = routing::parse_place("stand:12");
  request.route.to = routing::parse_place("runway:09");
  const auto plan = std::get<planning::Plan>(planning::make_plan(network, aircraft, {.mass_kg = 60000}, request));
  std::cout << "advised: " << plan.advised << ", saves " << plan.saving_kg << " kg\n";
}
