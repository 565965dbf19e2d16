#include "solotaxi/routing/assigned_way.hpp"

#include <catch2/catch.hpp>

#include "unit/routing/drawn.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;

TEST_CASE("the shortest way over the taxiways of a clearance is assigned, in their order") {
  const auto field = test::two_ways();
  AssignedRequest request;
  request.from = parse_place("stand:1");
  const Clearance clearance = read_clearance("taxi to holding point D1 via A, D", make_vocabulary(field.net));
  const auto answer = assigned_way(field.net, {}, {}, clearance, request);
  REQUIRE(std::holds_alternative<AssignedWay>(answer));
  CHECK(std::get<AssignedWay>(answer).to.name == "D1");
}
