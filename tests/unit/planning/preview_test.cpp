// The plan of an assigned route beside the best free one.
#include "solotaxi/planning/preview.hpp"

#include <algorithm>
#include <cmath>

#include "solotaxi/base/error.hpp"
#include "unit/planning/plan_fields.hpp"

using namespace solotaxi;
using namespace solotaxi::planning;
using namespace solotaxi::test;

namespace {

Drawn preview_field() { return two_ways({.metres = 130.0}); }

std::variant<Preview, routing::CannotFollow, routing::NoRoute> ask(const Drawn& f, const std::string& from,
                                                                   const std::string& words, PreviewRequest request = {}) {
  request.plan.route.from = routing::parse_place(from);
  request.plan.route.landing_roll_m = 100.0;
  return make_preview(f.net, {}, {}, routing::read_clearance(words, routing::make_vocabulary(f.net)), request);
}

Preview preview_of(const Drawn& f, const std::string& from, const std::string& words, const PreviewRequest& request = {}) {
  auto answer = ask(f, from, words, request);
  if (const auto* fault = std::get_if<routing::CannotFollow>(&answer)) FAIL(fault->quoted + ": " + fault->reason);
  if (const auto* none = std::get_if<routing::NoRoute>(&answer)) FAIL(none->reason);
  return std::get<Preview>(std::move(answer));
}

/// At a chainage of the route.
double standing_s(const planning::Plan& plan, double at_m) {
  double sum = 0.0;
  const auto& samples = plan.shown.sim.samples;
  for (std::size_t i = 1; i < samples.size(); ++i)
    if (samples[i].at_m == samples[i - 1].at_m && std::abs(samples[i].at_m + plan.shown.driven_from_m - at_m) < 0.1)
      sum += samples[i].time_s - samples[i - 1].time_s;
  return sum;
}

}  // namespace

TEST_CASE("the best route, assigned, is planned as if it were free") {
  const Drawn f = preview_field();
  const Preview p = preview_of(f, "stand:1", "runway 09 via A, B");
  REQUIRE(p.free);
  CHECK(p.plan.shown.route.arcs == p.free->shown.route.arcs);
  CHECK(p.plan.shown.route.fuel_kg == Approx(p.free->shown.route.fuel_kg));
  CHECK(p.plan.saving_kg == Approx(p.free->saving_kg));
}

TEST_CASE("a detour that is assigned is driven, and the free route is no dearer") {
  const Drawn f = preview_field();
  const Preview p = preview_of(f, "stand:1", "taxi to holding point D1 runway 27 via A");
  REQUIRE(p.free);
  CHECK(p.plan.shown.route.arcs == p.way.arcs);
  const Preview detour = preview_of(f, "stand:2", "holding point B1 via A");
  CHECK(detour.plan.shown.route.arcs == detour.way.arcs);
  for (const Preview* one : {&p, &detour}) {
    const double here = std::min(one->plan.shown.route.fuel_kg, one->plan.reference.route.fuel_kg);
    const double free = std::min(one->free->shown.route.fuel_kg, one->free->reference.route.fuel_kg);
    CHECK(free <= here + 1e-6);
  }
}

TEST_CASE("told to hold short the plan stands there, for as long as asked") {
  const Drawn f = preview_field();
  const std::string words = "holding point D1 runway 27 via A, hold short of C";
  PreviewRequest request;
  request.hold_short_s = 0.0;
  const Preview on = preview_of(f, "stand:1", words, request);
  REQUIRE(on.way.stops.size() == 1);
  CHECK(standing_s(on.plan, on.way.stops.front().at_m) == Approx(0.0).margin(1e-6));
  for (const double seconds : {30.0, 90.0}) {
    request.hold_short_s = seconds;
    const Preview p = preview_of(f, "stand:1", words, request);
    // Time that START or the warm-up still wants may be waited for there too.
    const double stands_s = standing_s(p.plan, p.way.stops.front().at_m);
    CHECK(stands_s >= seconds - 0.01);
    CHECK(stands_s <= seconds + aircraft::Aircraft{}.start_s);
    CHECK(p.plan.shown.route.time_s > on.plan.shown.route.time_s + seconds);  // and the way is stopped and started on
  }
}

TEST_CASE("a clearance that cannot be followed is told as such, and bad requests are refused") {
  const Drawn f = preview_field();
  CHECK(std::holds_alternative<routing::CannotFollow>(ask(f, "stand:1", "holding point D1 via A, B")));
  PreviewRequest request;
  request.plan.route.via.push_back({routing::parse_place(f.node('c')), 0.0});
  CHECK_THROWS_AS(ask(f, "stand:1", "runway 09 via A, B", request), Error);
  request.plan.route.via.clear();
  request.hold_short_s = -1.0;
  CHECK_THROWS_AS(ask(f, "stand:1", "runway 09 via A, B", request), Error);
}
