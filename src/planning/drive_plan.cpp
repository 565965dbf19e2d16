#include "planning/drive_plan.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "planning/phase_layout.hpp"
#include "routing/assemble.hpp"

namespace solotaxi::planning {
namespace {

using motion::Drive;
using motion::DriveStop;
using network::ArcId;
using network::NodeId;

constexpr double kAbeam_m = 150.0;  // a crossing taxiway further away is no landmark; assumed

/// "on taxiway B abeam C": the line at a chainage of the route, and the nearest named line that meets it.
std::string place_text(const routing::Question& q, const PlannedWay& planned, const Layout& layout, double at_m) {
  const auto& net = *q.net;
  const auto& here = net.segment(planned.way.arcs[layout.arc_at(at_m)]);
  std::string text = "on " + routing::line_text(here, net);
  double nearest_m = kAbeam_m;
  std::string abeam;
  for (std::size_t k = 0; k < planned.way.arcs.size(); ++k) {
    const double node_m = layout.from_m[k];
    if (std::abs(node_m - at_m) >= nearest_m) continue;
    const NodeId node = net.tail(planned.way.arcs[k]);
    for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
      const auto& other = net.segment(ArcId{a});
      if (net.tail(ArcId{a}) != node || other.name.empty() || other.name == here.name) continue;
      nearest_m = std::abs(node_m - at_m);
      abeam = other.name;
    }
  }
  if (!abeam.empty()) text += " abeam " + abeam;
  return text;
}

LatLon position_on_way(const routing::Question& q, const PlannedWay& planned, const Layout& layout, double at_m) {
  const std::size_t i = layout.arc_at(at_m);
  const ArcId a = planned.way.arcs[i];
  const auto& segment = q.net->segment(a);
  const double along_m = std::clamp(at_m - layout.from_m[i], 0.0, segment.length_m);
  return network::position_at(*q.net, segment, network::is_along(a) ? along_m : segment.length_m - along_m);
}

EnginePoint engine_point(const routing::Question& q, const PlannedWay& planned, const Layout& layout,
                         const motion::Simulation& sim, std::size_t phase, const PlanRequest& request) {
  const motion::PhaseRun& begin = sim.phases[phase];
  EnginePoint out;
  out.at_m = begin.at_m + layout.push_m;
  out.to_m = out.at_m;
  out.at_s = begin.begins_s;
  out.at = position_on_way(q, planned, layout, begin.at_m);
  out.before_line_up_s = sim.time_s() - begin.begins_s;
  out.after_landing_s = begin.begins_s + request.since_landing_s;
  if (phase + 1 < sim.phases.size() && !std::isnan(sim.phases[phase + 1].at_m))
    out.to_m = sim.phases[phase + 1].at_m + layout.push_m;
  const bool departure = q.direction != routing::Direction::arrival;
  if (departure && begin.begins_s < q.conditions->push_back_s) {
    out.place = "in the push back";
  } else if (departure && layout.queue_m && std::abs(begin.at_m - *layout.queue_m) < kTouch_m) {
    const int hold = q.hold_at[index(q.net->head(planned.way.arcs[*planned.queue_after]))];
    const std::string ref = hold < 0 ? "" : q.net->holding_points[static_cast<std::size_t>(hold)].ref;
    out.place = ref.empty() ? "standing before the runway" : "standing at holding position " + ref;
  } else {
    out.place = place_text(q, planned, layout, begin.at_m);
  }
  return out;
}

/// The route's times and fuel are the simulation's.
void retell(routing::Route& route, const motion::Simulation& sim, double push_m, double push_back_s) {
  const double last_m = sim.samples.back().at_m;
  const auto at = [&](double route_m) { return sim.at(std::clamp(route_m - push_m, 0.0, last_m)); };
  route.time_s = sim.time_s();
  route.fuel_kg = sim.fuel_kg();
  if (push_back_s > 0.0) {
    const auto pushed = sim.at_time(std::min(push_back_s, sim.time_s()));
    route.push_back_s = push_back_s;
    route.push_back_fuel_kg = pushed.fuel_kg;
  }
  double time_s = 0.0, fuel_kg = 0.0;
  for (std::size_t i = 0; i < route.legs.size(); ++i) {
    routing::Leg& leg = route.legs[i];
    const bool last = i + 1 == route.legs.size();
    double to_s = sim.time_s(), to_kg = sim.fuel_kg();
    if (leg.push_back && !route.legs[std::min(i + 1, route.legs.size() - 1)].push_back) {
      to_s = route.push_back_s;
      to_kg = route.push_back_fuel_kg;
    } else if (leg.push_back) {
      const double share = push_m > 0.0 ? (leg.from_m + leg.length_m) / push_m : 1.0;
      to_s = share * route.push_back_s;
      to_kg = share * route.push_back_fuel_kg;
    } else if (!last) {
      const motion::Sample to = at(leg.from_m + leg.length_m);
      to_s = to.time_s;
      to_kg = to.fuel_kg;
    }
    leg.time_s = to_s - time_s;
    leg.fuel_kg = to_kg - fuel_kg;
    time_s = to_s;
    fuel_kg = to_kg;
  }
}

}  // namespace

DrivenPlan drive_plan(const routing::Question& q, const PhaseField& field, const PlannedWay& planned, double queue_s,
                      const PlanRequest& request) {
  Layout layout = lay_out_phases(q, field, planned, request);
  const bool arrival = q.direction == routing::Direction::arrival;
  DrivenPlan out;
  out.running_set = aircraft::to_string(*q.aircraft, field.one().running_set());
  out.search_kg = planned.cost_kg;
  out.search_s = planned.time_s;
  out.driven_from_m = layout.push_m;
  out.sim =
      arrival ? set_shutdown(q, field, planned, request, layout) : set_start(q, field, planned, queue_s, request, layout);
  const motion::Simulation& sim = out.sim;
  out.one = std::find(layout.kinds.begin(), layout.kinds.end(), Phase::one) != layout.kinds.end();
  for (std::size_t i = 0; i < layout.kinds.size(); ++i) {
    const motion::PhaseRun& run = sim.phases[i];
    if (std::isnan(run.at_m)) continue;
    PlanPhase p;
    p.phase = layout.kinds[i];
    p.engines = aircraft::to_string(*q.aircraft, layout.drive.phases[i].driving);
    p.from_m = run.at_m + layout.push_m;
    p.to_m = p.from_m + run.way_m;
    p.time_s = run.time_s;
    p.fuel_kg = run.fuel_kg;
    if (p.phase == Phase::one) out.one_s += run.time_s;
    if (p.phase == Phase::start) out.second_engine = engine_point(q, planned, layout, sim, i, request);
    if (p.phase == Phase::one && arrival && i > 0) out.shutdown = engine_point(q, planned, layout, sim, i, request);
    out.phases.push_back(std::move(p));
  }
  if (arrival && out.one && layout.kinds.front() == Phase::one)
    out.shutdown = engine_point(q, planned, layout, sim, 0, request);
  const motion::CostTable& asked = out.one ? field.one() : field.all();
  out.route = routing::assemble({&q, &planned.way, &asked, &asked, false});
  if (!sim.stalled) retell(out.route, sim, layout.push_m, arrival ? 0.0 : q.conditions->push_back_s);
  Drive every = layout.drive;
  every.phases = {{aircraft::all_engines(*q.aircraft), {}, 0.0, 0.0, 0.0}};
  for (DriveStop& s : every.stops) s.last_phase_s = 0.0;
  out.brake_all_c = run(q, every).brake_most_c;
  return out;
}

}  // namespace solotaxi::planning
