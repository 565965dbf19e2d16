#include <utility>
#include <vector>

#include "routing/assemble.hpp"
#include "routing/explain.hpp"
#include "routing/relax.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::routing {
namespace {

NoRoute why_not(const Question& q, const CostTable& all, bool strict) {
  return explain(q, all, [&](const RouteRequest& request, const motion::Conditions& conditions) {
    const Question other = make_question(*q.net, *q.aircraft, conditions, request);
    const CostTable table(*q.net, other.shape, *q.aircraft, aircraft::all_engines(*q.aircraft), conditions);
    return on_every_engine(other, table, strict).has_value();
  });
}

/// Runway length of a way, beyond what serves to cross.
double along_runways_m(const Question& q, const Way& way) {
  double length = 0.0;
  for (const ArcId a : way.arcs)
    if (q.is_runway(a) && !q.crosses[index(a)]) length += q.net->segment(a).length_m;
  return length;
}

/// The way driven on the engines of its `driven` table.
DrivenRoute driven(const Telling& t) {
  const Question& q = *t.q;
  const RunningSet set = t.driven->running_set();
  const Steps steps = lay_out(t);
  motion::Drive drive;
  drive.arcs = t.way->arcs;
  drive.rolled_on = t.way->beginning.rolled_on;
  drive.turn_round_at_end = t.way->turn_round_at_end;
  const bool apu = q.conditions->apu_on && set != aircraft::all_engines(*q.aircraft);
  drive.phases = {{set, {}, apu ? q.aircraft->apu_run_kg_h : 0.0, {}, 0.0}};
  if (q.direction == Direction::departure) drive.stops.push_back({0.0, q.conditions->push_back_s, 0.0, 0.0});
  if (q.direction == Direction::arrival) drive.start_mps = knots(q.conditions->speed_straight_kt).value();
  for (const Step& step : steps.steps)
    if (step.stop)
      drive.stops.push_back({step.from_m - steps.push_m, q.request->via[*step.stop].stop_min * 60.0, 0.0, 0.0});
  return {assemble(t), motion::simulate(*q.net, q.shape, *q.aircraft, *q.conditions, drive), steps.push_m};
}

/// What `tell` makes of the way that answers the question.
template <class Told>
std::variant<Told, NoRoute> answer(const Question& q, RunningSet set, Told (*tell)(const Telling&)) {
  const bool every = set == aircraft::all_engines(*q.aircraft);
  const CostTable asked(*q.net, q.shape, *q.aircraft, set, *q.conditions);
  if (every) {
    if (const auto found = on_every_engine(q, asked, true)) return tell({&q, &found->way, &asked, &asked, false});
    return why_not(q, asked, true);
  }
  Attempt attempt;
  attempt.table = &asked;
  attempt.worst = worst_allowed(q);
  attempt.stop_places = true;
  const auto own = relax(q, attempt);
  if (own && !own->attempt.runway_open) return tell({&q, &own->way, &asked, &asked, false});
  const CostTable all(*q.net, q.shape, *q.aircraft, aircraft::all_engines(*q.aircraft), *q.conditions);
  const auto found = on_every_engine(q, all, false);
  // A runway is used lengthwise only where no other route exists, and one on every engine is another route.
  if (own && (!found || found->attempt.runway_open)) return tell({&q, &own->way, &asked, &asked, false});
  if (found) return tell({&q, &found->way, &all, &asked, true, own ? along_runways_m(q, own->way) : 0.0});
  return why_not(q, all, false);
}

}  // namespace

const char* to_string(Objective objective) {
  switch (objective) {
    case Objective::distance:
      return "distance";
    case Objective::time:
      return "time";
    case Objective::fuel:
      return "fuel";
  }
  return "";
}

const char* to_string(Direction direction) {
  switch (direction) {
    case Direction::departure:
      return "departure";
    case Direction::arrival:
      return "arrival";
    case Direction::taxi:
      return "taxi";
  }
  return "";
}

const char* to_string(RunwayUse::Kind kind) {
  switch (kind) {
    case RunwayUse::Kind::crossing:
      return "crossing";
    case RunwayUse::Kind::line_up:
      return "line-up";
    case RunwayUse::Kind::exit:
      return "exit";
    case RunwayUse::Kind::along:
      return "along";
  }
  return "";
}

namespace {

Route& route_of(Route& route) { return route; }
Route& route_of(DrivenRoute& driven) { return driven.route; }

template <class Told>
std::variant<Told, NoRoute> find(const network::Network& network, const aircraft::Aircraft& aircraft, RunningSet set,
                                 const motion::Conditions& conditions, const RouteRequest& request,
                                 Told (*tell)(const Telling&)) {
  motion::check_ranges(conditions, aircraft);
  const Prepared prepared = cut_at_positions(network, request);
  const Network& net = prepared.own ? *prepared.own : network;
  auto result = answer(make_question(net, aircraft, conditions, request), set, tell);
  Told* told = std::get_if<Told>(&result);
  if (!told || !prepared.own) return result;
  Route& route = route_of(*told);
  route.arcs = original_arcs(route.arcs, prepared.original);
  forget_new_nodes(route.findings, network, net);
  return result;
}

}  // namespace

std::variant<Route, NoRoute> find_route(const network::Network& network, const aircraft::Aircraft& aircraft,
                                        aircraft::RunningSet set, const motion::Conditions& conditions,
                                        const RouteRequest& request) {
  return find(network, aircraft, set, conditions, request, assemble);
}

std::variant<DrivenRoute, NoRoute> find_driven_route(const network::Network& network, const aircraft::Aircraft& aircraft,
                                                     aircraft::RunningSet set, const motion::Conditions& conditions,
                                                     const RouteRequest& request) {
  return find(network, aircraft, set, conditions, request, driven);
}

}  // namespace solotaxi::routing
