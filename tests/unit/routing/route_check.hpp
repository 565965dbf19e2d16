// What holds for every route, whatever the field; and shorthands for asking.
#pragma once

#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "solotaxi/motion/cost_table.hpp"
#include "solotaxi/network/shape.hpp"
#include "solotaxi/routing/route.hpp"

namespace solotaxi::test {

/// Sums are made of the same doubles in another order: room for rounding only.
inline constexpr double kSum = 1e-6;
/// The search adds whole millimetres, milliseconds and milligrams: half a unit for each arc and movement at most.
inline constexpr double kRounded = 1e-3;

struct Ask {
  std::string from, to;
  routing::Objective objective = routing::Objective::distance;
  std::string engines = "all";
  std::vector<std::string> close = {}, avoid = {};
  std::vector<routing::Via> via = {};
  std::optional<routing::Direction> direction = std::nullopt;
  double landing_roll_m = 1200.0;
};

inline routing::RouteRequest request_of(const Ask& ask) {
  routing::RouteRequest r;
  r.from = routing::parse_place(ask.from);
  r.to = routing::parse_place(ask.to);
  r.objective = ask.objective;
  r.close = ask.close;
  r.avoid = ask.avoid;
  r.via = ask.via;
  r.direction = ask.direction;
  r.landing_roll_m = ask.landing_roll_m;
  return r;
}

inline std::variant<routing::Route, routing::NoRoute> ask_route(const network::Network& net, const Ask& ask,
                                                                const motion::Conditions& conditions = {},
                                                                const aircraft::Aircraft& aircraft = {}) {
  return routing::find_route(net, aircraft, aircraft::parse_running_set(aircraft, ask.engines), conditions,
                             request_of(ask));
}

inline routing::Route route_of(const network::Network& net, const Ask& ask, const motion::Conditions& conditions = {},
                               const aircraft::Aircraft& aircraft = {}) {
  auto found = ask_route(net, ask, conditions, aircraft);
  if (const auto* none = std::get_if<routing::NoRoute>(&found)) FAIL("no route: " << none->reason);
  return std::get<routing::Route>(std::move(found));
}

inline bool says(const routing::Route& route, const std::string& code) {
  for (const auto& f : route.findings)
    if (f.code == code) return true;
  return false;
}

/// Names of the legs in order, "-" where a leg has none, one for a run of the same; the push back is "push".
inline std::string way_of(const routing::Route& route) {
  std::string out, last;
  for (const auto& leg : route.legs) {
    const std::string name = leg.push_back ? "push" : leg.name.empty() ? "-" : leg.name;
    if (name == last) continue;
    out += (out.empty() ? "" : " ") + name;
    last = name;
  }
  return out;
}

/// "crossing 09/27, line-up 18/36"
inline std::string uses_of(const routing::Route& route) {
  std::string out;
  for (const auto& u : route.runway_uses)
    out += (out.empty() ? "" : ", ") + std::string(routing::to_string(u.kind)) + " " + u.runway;
  return out;
}

/// Sums, order and ranges of a route.
inline void check_route(const network::Network& net, const routing::Route& route) {
  using namespace routing;
  REQUIRE(!route.legs.empty());
  REQUIRE(!route.arcs.empty());
  double length = 0.0, time = 0.0, fuel = 0.0;
  for (const Leg& leg : route.legs) {
    CHECK(leg.from_m == Approx(length).margin(kSum));
    length += leg.length_m;
    time += leg.time_s;
    fuel += leg.fuel_kg;
    CHECK(leg.length_m >= 0.0);
    CHECK(leg.time_s >= -kSum);
    CHECK(leg.fuel_kg >= -kSum);
    CHECK(leg.geometry.size() >= 2);
    CHECK((std::isnan(leg.grade_max) || std::isnan(leg.grade_mean) || leg.grade_max >= leg.grade_mean - 1e-9));
  }
  CHECK(length == Approx(route.length_m).margin(kSum));
  CHECK(time == Approx(route.time_s).margin(kSum));
  CHECK(fuel == Approx(route.fuel_kg).margin(kSum));
  CHECK(route.probability >= 0.0);
  CHECK(route.probability <= 1.0);
  for (std::size_t i = 1; i < route.legs.size(); ++i)
    CHECK(geodesic_length(route.legs[i - 1].geometry.back().at, route.legs[i].geometry.front().at).value() < 0.01);
  for (std::size_t i = 1; i < route.arcs.size(); ++i) {
    CHECK(net.head(route.arcs[i - 1]) == net.tail(route.arcs[i]));
    CHECK(net.may_drive(route.arcs[i]));
  }
  double at = 0.0;
  for (const Turn& t : route.turns) {
    CHECK(t.at_m >= at - kSum);
    CHECK(t.at_m <= route.length_m + kSum);
    CHECK(std::abs(t.angle_rad) >= 0.5235);
    CHECK(t.radius_m > 0.0);
    at = t.at_m;
  }
  at = 0.0;
  for (const RunwayUse& u : route.runway_uses) {
    CHECK(u.at_m >= at - kSum);
    CHECK(u.at_m <= route.length_m + kSum);
    CHECK((std::isnan(u.hold_at_m) || u.hold_at_m <= u.at_m + kSum));
    at = u.at_m;
  }
}

}  // namespace solotaxi::test
