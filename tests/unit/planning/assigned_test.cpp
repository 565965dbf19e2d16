// Plans on one way that was assigned: its phases are free, the way is not.
#include <algorithm>
#include <cmath>

#include "solotaxi/base/error.hpp"
#include "unit/planning/plan_fields.hpp"

using namespace solotaxi;
using namespace solotaxi::planning;
using namespace solotaxi::test;
using network::ArcId;

namespace {

Drawn assigned_field() { return two_ways({.metres = 130.0}, {"stand 3: n", "hold E1: k"}); }

AssignedArcs over(const Drawn& f, const std::string& letters) {
  AssignedArcs out;
  for (std::size_t i = 0; i + 1 < letters.size(); ++i) {
    const auto from = f.map.node(f.net, letters[i]), to = f.map.node(f.net, letters[i + 1]);
    bool found = false;
    for (const ArcId a : f.net.arcs_from(from))
      if (f.net.head(a) == to && !found) out.arcs.push_back(a), found = true;
    REQUIRE(found);
  }
  return out;
}

PlanRequest from_node(const Drawn& f, char from, const std::string& to) {
  PlanRequest r = plan_request(f.node(from), to);
  r.route.direction = routing::Direction::departure;
  return r;
}

}  // namespace

TEST_CASE("the plan on the way that is the best anyway is that plan") {
  const Drawn f = assigned_field();
  PlanRequest request = from_node(f, 'a', "runway:09");
  const Plan free = plan_of(f.net, {}, {}, request);
  request.assigned = AssignedArcs{{}, free.shown.route.arcs, false};
  const Plan assigned = plan_of(f.net, {}, {}, request);
  CHECK(assigned.shown.route.arcs == free.shown.route.arcs);
  CHECK(assigned.shown.route.fuel_kg == Approx(free.shown.route.fuel_kg).margin(1e-6));
  CHECK(assigned.saving_kg >= free.saving_kg - 1e-6);  // the reference may have another way when it is free
  CHECK(assigned.savings.size() == 3);
  CHECK_FALSE(assigned.sensitivity.empty());
}

TEST_CASE("a way that nobody would choose is planned as it is") {
  const Drawn f = assigned_field();
  PlanRequest request = from_node(f, 'a', "runway:09@D");
  const Plan free = plan_of(f.net, {}, {}, request);
  request.assigned = over(f, "abcdejr");
  const Plan by_d = plan_of(f.net, {}, {}, request);
  CHECK(by_d.shown.route.arcs == request.assigned->arcs);
  CHECK(by_d.reference.route.arcs == request.assigned->arcs);
  CHECK(by_d.shown.route.fuel_kg >= free.shown.route.fuel_kg - 1e-6);
  CHECK(by_d.alternatives.empty());
  // Along the runway, which a free route would never do.
  request.route.to = routing::parse_place("runway:09@D");
  request.assigned = over(f, "abcdejr");
  request.route.to = routing::parse_place(f.node('r'));
  request.assigned = over(f, "ahpqr");
  const Plan along = plan_of(f.net, {}, {}, request);
  CHECK(along.shown.route.arcs == request.assigned->arcs);
  CHECK(std::any_of(along.shown.route.runway_uses.begin(), along.shown.route.runway_uses.end(),
                    [](const auto& u) { return u.kind == routing::RunwayUse::Kind::along; }));
}

TEST_CASE("an assigned way from a stand keeps its push back") {
  const Drawn f = assigned_field();
  PlanRequest request = plan_request("stand:1", "runway:09");
  const Plan free = plan_of(f.net, {}, {}, request);
  const auto stand = f.map.node(f.net, 's'), taxiway = f.map.node(f.net, 'b');
  AssignedArcs way;
  for (const ArcId a : f.net.arcs_from(stand))
    if (f.net.head(a) == taxiway) way.pushed.push_back(a);
  REQUIRE(way.pushed.size() == 1);
  way.arcs = free.shown.route.arcs;
  request.assigned = way;
  const Plan assigned = plan_of(f.net, {}, {}, request);
  CHECK(assigned.shown.route.length_m == Approx(free.shown.route.length_m));
  CHECK(assigned.shown.route.fuel_kg == Approx(free.shown.route.fuel_kg).margin(1e-6));
  CHECK(assigned.shown.driven_from_m > 0.0);
}

TEST_CASE("a way assigned from a position in mid-segment begins there") {
  const Drawn f = assigned_field();
  const auto a = f.map.node(f.net, 'a'), b = f.map.node(f.net, 'b');
  const LatLon from = f.net.node(a).at, to = f.net.node(b).at;
  PlanRequest request = plan_request(
      std::to_string(0.5 * (from.lat_deg() + to.lat_deg())) + "," + std::to_string(0.5 * (from.lon_deg() + to.lon_deg())),
      "runway:09@D");
  request.route.direction = routing::Direction::departure;
  request.assigned = over(f, "abcdejr");
  const double whole_m = [&] {
    double sum = 0.0;
    for (const ArcId arc : request.assigned->arcs) sum += f.net.segment(arc).length_m;
    return sum;
  }();
  const Plan plan = plan_of(f.net, {}, {}, request);
  CHECK(plan.shown.route.length_m ==
        Approx(whole_m - 0.5 * f.net.segment(request.assigned->arcs.front()).length_m).margin(1));
}

TEST_CASE("an assigned way that does not hang together is refused") {
  const Drawn f = assigned_field();
  PlanRequest request = from_node(f, 'a', "runway:09@D");
  const auto refused = [&](const AssignedArcs& way, const std::string& words) {
    request.assigned = way;
    try {
      (void)make_plan(f.net, {}, {}, request);
      FAIL("accepted");
    } catch (const Error& e) {
      CHECK(e.error_class() == ErrorClass::usage);
      CHECK_THAT(e.message(), Catch::Contains(words));
    }
  };
  AssignedArcs gap = over(f, "ab");
  gap.arcs.push_back(over(f, "de").arcs.front());
  refused(gap, "does not hang together");
  AssignedArcs twice = over(f, "ab");
  twice.arcs.push_back(twice.arcs.front());
  refused(twice, "twice");
  refused({{}, {ArcId{static_cast<std::uint32_t>(f.net.arc_count())}}, false}, "does not have");
  // A way that begins or ends elsewhere has no plan.
  request.assigned = over(f, "bcdejr");
  CHECK(std::holds_alternative<routing::NoRoute>(make_plan(f.net, {}, {}, request)));
}
