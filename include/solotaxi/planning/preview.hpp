// The plan of a route that a controller assigned, and what the best free route would take instead.
//
// The clearance is matched to the network (routing/assigned_way.hpp); the phase plan is then made on exactly that way, and
// once more free between the same places. Told to hold short, the aircraft stands there for a while: such a place is a stop
// of the plan, so the running engines must be able to start from rest there.
#pragma once

#include <optional>
#include <string>
#include <variant>

#include "solotaxi/planning/plan.hpp"
#include "solotaxi/routing/assigned_way.hpp"
#include "solotaxi/routing/clearance.hpp"

namespace solotaxi::planning {

struct PreviewRequest {
  PlanRequest plan;                 ///< `route.to` and `assigned` are not asked; `route.via` must be empty
  std::optional<routing::Place> to; ///< where the clearance names no end, or to pick one of several of a name
  double hold_short_s = 30.0;       ///< [A] standing at each place to hold short of, 0…3600
};

struct Preview {
  routing::Clearance clearance;
  routing::AssignedWay way;
  PlanRequest request;        ///< as the assigned way was planned
  Plan plan;                  ///< on the way assigned
  std::optional<Plan> free;   ///< the best free way between the same places
  std::string free_why_not;   ///< where there is none
};

/// Throws Error as `make_plan`, `assigned_way` and `read_clearance` do, and (usage) for places between. Cost: a matching and
/// two plans.
[[nodiscard]] std::variant<Preview, routing::CannotFollow, routing::NoRoute> make_preview(
    const network::Network& network, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions,
    const routing::Clearance& clearance, const PreviewRequest& request);

}  // namespace solotaxi::planning
