#include "routing/assemble.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace solotaxi::routing {

Steps lay_out(const Telling& t) {
  const Network& net = *t.q->net;
  const Way& way = *t.way;
  Steps out;
  for (const ArcId a : way.beginning.pushed) out.push_m += net.segment(a).length_m;
  double at = out.push_m;
  std::optional<ArcId> before = way.beginning.rolled_on;
  for (std::size_t i = 0; i < way.arcs.size(); ++i) {
    Step step;
    step.arc = way.arcs[i];
    if (before) {
      step.before = *before;
      step.movement = movement_index(net, *before, step.arc);
      step.turn_round = step.arc == network::reversed(*before);
      if (step.turn_round) at += turn_round_way_m(t.driven->turn_round(*before));
    }
    for (std::size_t v = 0; v < way.via_after.size(); ++v)
      if (way.via_after[v] == i && t.q->request->via[v].stop_min > 0.0) step.stop = v;
    step.from_m = at;
    at += net.segment(step.arc).length_m;
    before = step.arc;
    out.steps.push_back(step);
  }
  if (way.turn_round_at_end) at += turn_round_way_m(t.driven->turn_round(way.arcs.back()));
  out.length_m = at;
  return out;
}

Finding finding_at(const Network& net, NodeId node, std::string code, Severity severity, std::string text) {
  const auto& n = net.node(node);
  const std::string id = n.source_id.empty() ? "node:" + std::to_string(index(node)) : n.source_id;
  return {std::move(code), severity, {id, n.at.lat_deg(), n.at.lon_deg(), true}, std::move(text)};
}

std::string line_text(const network::Segment& segment, const Network& net) {
  if (segment.kind == LineKind::runway)
    return "runway " +
           (segment.runway >= 0 ? net.runways[static_cast<std::size_t>(segment.runway)].name : segment.source_id);
  std::string kind = airfield::to_string(segment.kind);
  std::replace(kind.begin(), kind.end(), '_', ' ');
  return segment.name.empty() ? "an unnamed " + kind + " (" + segment.source_id + ")" : kind + " " + segment.name;
}

std::string limit_text(const network::Segment& segment, const aircraft::Aircraft& aircraft) {
  std::string text;
  if (segment.width && segment.width->value() < aircraft.wheel_span_m)
    text = fmt::format("its width of {:.4g} m is under the {:.4g} m of the wheels", segment.width->value(),
                       aircraft.wheel_span_m);
  if (segment.wingspan_limit && segment.wingspan_limit->value() < aircraft.wingspan_m)
    text += fmt::format("{}its wingspan limit of {:.4g} m is under the span of {:.4g} m", text.empty() ? "" : ", ",
                        segment.wingspan_limit->value(), aircraft.wingspan_m);
  if (segment.mass_limit && segment.mass_limit->value() < aircraft.mass_kg)
    text += fmt::format("{}its mass limit of {:.6g} kg is under the {:.6g} kg of the aircraft", text.empty() ? "" : ", ",
                        segment.mass_limit->value(), aircraft.mass_kg);
  return text;
}

Route assemble(const Telling& t) {
  const Question& q = *t.q;
  Route route;
  route.from = q.from.place.text;
  route.to = q.to.place.text;
  route.direction = q.direction;
  route.objective = q.request->objective;
  route.engines = aircraft::to_string(*q.aircraft, t.asked->running_set());
  route.every_engine_needed = t.every_engine_needed;
  route.set_along_m = t.along_m;
  route.arcs = t.way->arcs;
  const Steps steps = lay_out(t);
  add_legs(t, steps, route);
  add_turns(t, steps, route);
  add_runway_uses(t, steps, route);
  add_findings(t, steps, route);
  return route;
}

}  // namespace solotaxi::routing
