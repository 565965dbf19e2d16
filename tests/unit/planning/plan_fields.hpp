// Questions on drawn fields, for tests of plans.
#pragma once

#include <catch2/catch.hpp>
#include <string>
#include <variant>

#include "planning/solver.hpp"
#include "solotaxi/planning/plan.hpp"
#include "unit/routing/drawn.hpp"

namespace solotaxi::test {

inline planning::PlanRequest plan_request(const std::string& from, const std::string& to, double queue_s = 0.0) {
  planning::PlanRequest r;
  r.route.from = routing::parse_place(from);
  r.route.to = routing::parse_place(to);
  r.route.landing_roll_m = 100.0;
  r.queue_s = queue_s;
  return r;
}

/// Fails where there is no plan.
inline planning::Plan plan_of(const network::Network& net, const aircraft::Aircraft& aircraft,
                              const motion::Conditions& conditions, const planning::PlanRequest& request) {
  auto answer = planning::make_plan(net, aircraft, conditions, request);
  if (const auto* none = std::get_if<routing::NoRoute>(&answer)) FAIL(none->reason);
  return std::get<planning::Plan>(std::move(answer));
}

/// The search's minima and the plans driven, without what is told around them.
struct Solved {
  routing::PartedNetwork parted;
  planning::PlanRequest request;
  planning::Solver solver;
  Solved(const network::Network& net, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions,
         planning::PlanRequest asked)
      : parted(routing::network_in_parts(net, 100.0)),
        request(std::move(asked)),
        solver(parted.network, aircraft, conditions, fuel(request)) {}

 private:
  static const planning::PlanRequest& fuel(planning::PlanRequest& r) {
    r.route.objective = routing::Objective::fuel;
    using Kind = routing::Place::Kind;
    if (!r.route.direction)
      r.route.direction = r.route.to.kind == Kind::runway ? routing::Direction::departure : routing::Direction::arrival;
    return r;
  }
};

}  // namespace solotaxi::test
