// The estimate against plans made one by one, on the demo field.
#include "solotaxi/planning/estimate.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <variant>
#include <vector>

#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/io/aircraft_file.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/io/raster.hpp"
#include "solotaxi/network/build.hpp"
#include "support/counted.hpp"

using namespace solotaxi;
using namespace solotaxi::planning;

namespace {

network::Network demo_field() {
  const auto raster = io::open_raster(SOLOTAXI_ROOT "/data/demo/elevation.tif");
  const terrain::HeightSource* const sources[] = {raster.get()};
  return network::build_network(airfield::interpret(io::read_map(SOLOTAXI_ROOT "/data/demo/field.geojson")), {}, sources);
}

struct Kind {
  const char *stand, *runway;
  bool departure;
  int queue_min;
};

std::int64_t millionths(double value) { return std::llround(value * 1e6); }

}  // namespace

TEST_CASE("totals over a thousand movements are the sum of as many single plans, to the milligram") {
  const network::Network net = demo_field();
  const aircraft::Aircraft twins[] = {io::find_aircraft("narrow-body-twin"), io::find_aircraft("regional-twin")};
  const Kind kinds[] = {{"12", "09", true, 0},  {"12", "09", true, 5}, {"12", "27", true, 2},    {"24", "27", true, 0},
                        {"47", "09", true, 11}, {"W2", "09", true, 3}, {"54", "09@A2", true, 4}, {"12", "27", false, 0},
                        {"30", "09", false, 0}, {"W5", "27", false, 0}};
  Estimate estimate;
  (void)estimate.add_field("XQTB", net, 101325.0);
  for (const aircraft::Aircraft& a : twins) {
    motion::Conditions c;
    c.mass_kg = a.mass_kg;
    (void)estimate.add_aircraft(a.name, a, c);
  }
  std::mt19937 random(6);
  constexpr std::size_t kCombinations = 20;
  std::vector<std::int64_t> times(kCombinations, 0);
  Counter counter(estimate);
  for (int k = 0; k < 1000; ++k) {
    const std::size_t which = random() % kCombinations;
    const Kind& kind = kinds[which % std::size(kinds)];
    MovementQuestion q;
    q.aircraft = which / std::size(kinds);
    q.stand = kind.stand;
    q.runway = kind.runway;
    q.departure = kind.departure;
    q.queue_s = 60.0 * kind.queue_min;
    if (k % 3 == 0) q.mass_kg = twins[q.aircraft].mass_kg + 900.0;  // of the same class
    q.hour = k % 24;
    REQUIRE(test::counted(counter, q) != nullptr);
    ++times[which];
  }
  std::int64_t fuel_mg = 0, reference_mg = 0, one = 0;
  for (std::size_t which = 0; which < kCombinations; ++which) {
    const Kind& kind = kinds[which % std::size(kinds)];
    const aircraft::Aircraft& a = twins[which / std::size(kinds)];
    PlanRequest r;
    const std::string stand = std::string("stand:") + kind.stand, runway = std::string("runway:") + kind.runway;
    r.route.from = routing::parse_place(kind.departure ? stand : runway);
    r.route.to = routing::parse_place(kind.departure ? runway : stand);
    r.queue_s = 60.0 * kind.queue_min;
    motion::Conditions c;
    c.mass_kg = a.mass_kg;
    const auto answer = make_plan(net, a, c, r);
    REQUIRE(std::holds_alternative<Plan>(answer));
    const Plan& plan = std::get<Plan>(answer);
    const bool advised = plan.advised == "one-engine";
    fuel_mg += times[which] * millionths((advised ? plan.shown : plan.reference).route.fuel_kg);
    reference_mg += times[which] * millionths(plan.reference.route.fuel_kg);
    one += advised ? times[which] : 0;
  }
  const Sums sums = whole(estimate.totals(counter.take()));
  CHECK(get(sums, Sum::movements) == 1000);
  CHECK(get(sums, Sum::fuel_mg) == fuel_mg);
  CHECK(get(sums, Sum::reference_fuel_mg) == reference_mg);
  CHECK(get(sums, Sum::one_engine) == one);
  CHECK(one > 0);
  CHECK(estimate.plans() == kCombinations);
}
