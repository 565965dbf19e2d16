#include "solotaxi/planning/preview.hpp"

#include <fmt/format.h>

#include <utility>

#include "planning/time_units.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::planning {
namespace {

constexpr double kEnd_m = 0.5;  // a stop so near to the end is the end

/// A place between, to stand at.
routing::Via stand_at(LatLon at, double seconds) {
  routing::Place place;
  place.kind = routing::Place::Kind::position;
  place.text = fmt::format("{:.7f},{:.7f}", at.lat_deg(), at.lon_deg());
  place.position = at;
  return {place, seconds / kMinute};
}

PlanRequest request_on(const routing::AssignedWay& way, const PreviewRequest& asked) {
  PlanRequest out = asked.plan;
  out.route.from = way.from;
  out.route.to = way.to;
  if (!out.route.direction && way.direction != routing::Direction::taxi) out.route.direction = way.direction;
  out.assigned = AssignedArcs{way.pushed, way.arcs, way.turn_round_at_end};
  if (asked.hold_short_s > 0.0)
    for (const routing::AssignedStop& stop : way.stops)  // the end of the way is a stop anyway
      if (stop.at_m < way.length_m - kEnd_m) out.route.via.push_back(stand_at(stop.at, asked.hold_short_s));
  return out;
}

routing::AssignedRequest places_of(const PreviewRequest& asked) {
  routing::AssignedRequest out;
  out.from = asked.plan.route.from;
  out.to = asked.to;
  out.close = asked.plan.route.close;
  out.direction = asked.plan.route.direction;
  out.landing_roll_m = asked.plan.route.landing_roll_m;
  return out;
}

}  // namespace

std::variant<Preview, routing::CannotFollow, routing::NoRoute> make_preview(const network::Network& network,
                                                                            const aircraft::Aircraft& aircraft,
                                                                            const motion::Conditions& conditions,
                                                                            const routing::Clearance& clearance,
                                                                            const PreviewRequest& asked) {
  if (!asked.plan.route.via.empty())
    throw usage_error("an assigned route takes no places between", "the clearance says where the route leads");
  if (!(asked.hold_short_s >= 0.0 && asked.hold_short_s <= 3600.0))
    throw usage_error(fmt::format("standing {} s where told to hold short is out of range", asked.hold_short_s),
                      "0 to 3600 s");
  auto matched = routing::assigned_way(network, aircraft, conditions, clearance, places_of(asked));
  if (auto* fault = std::get_if<routing::CannotFollow>(&matched)) return std::move(*fault);
  Preview out;
  out.clearance = clearance;
  out.way = std::get<routing::AssignedWay>(std::move(matched));
  out.request = request_on(out.way, asked);
  auto plan = make_plan(network, aircraft, conditions, out.request);
  if (auto* none = std::get_if<routing::NoRoute>(&plan)) return std::move(*none);
  out.plan = std::get<Plan>(std::move(plan));

  PlanRequest free = out.request;
  free.assigned.reset();
  free.route.via.clear();
  auto best = make_plan(network, aircraft, conditions, free);
  if (const auto* none = std::get_if<routing::NoRoute>(&best))
    out.free_why_not = none->reason;
  else
    out.free = std::get<Plan>(std::move(best));
  return out;
}

}  // namespace solotaxi::planning
