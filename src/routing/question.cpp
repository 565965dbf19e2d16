#include "routing/question.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <numbers>

#include "routing/spelling.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::routing {
namespace {

Direction direction_of(const RouteRequest& request) {
  const auto from = request.from.kind, to = request.to.kind;
  if (!request.direction) {
    if (from == Place::Kind::stand && to == Place::Kind::runway) return Direction::departure;
    if (from == Place::Kind::runway && to == Place::Kind::stand) return Direction::arrival;
    return Direction::taxi;
  }
  if (*request.direction == Direction::departure && (from == Place::Kind::runway || to == Place::Kind::stand))
    throw usage_error("a departure does not go from " + request.from.text + " to " + request.to.text,
                      "it begins with a push back and does not end on a stand");
  if (*request.direction == Direction::arrival && (from != Place::Kind::runway || to == Place::Kind::runway))
    throw usage_error("an arrival does not go from " + request.from.text + " to " + request.to.text,
                      "it begins on a runway and does not end on one");
  return *request.direction;
}

void check_numbers(const RouteRequest& request) {
  if (!(request.landing_roll_m >= 0.0 && request.landing_roll_m <= 10000.0))
    throw usage_error("a landing roll of " + std::to_string(request.landing_roll_m) + " m is out of range", "0 to 10000 m");
  for (const Via& v : request.via)
    if (!(v.stop_min >= 0.0 && v.stop_min <= 1440.0))
      throw usage_error("a stop of " + std::to_string(v.stop_min) + " min at " + v.place.text + " is out of range",
                        "0 to 1440 min");
}

std::vector<ArcId> asked_arcs(const Network& net, const std::string& name, const char* what) {
  auto arcs = arcs_named(net, name);
  if (!arcs.empty()) return arcs;
  std::vector<std::string> names;
  for (const auto& s : net.segments) names.push_back(s.name.empty() ? s.source_id : s.name);
  for (const auto& r : net.runways) {
    names.push_back(r.name);
    names.insert(names.end(), r.designators.begin(), r.designators.end());
  }
  throw data_error(std::string("nothing of that name to ") + what, {{}, {}, name},
                   "nearest spellings: " + listed(nearest_spellings(names, name)));
}

void mark_nodes(Question& q) {
  const Network& net = *q.net;
  q.on_runway.assign(net.nodes.size(), 0);
  q.closed_runway_at.assign(net.nodes.size(), 0);
  q.hold_at.assign(net.nodes.size(), -1);
  for (const auto& s : net.segments) {
    if (s.kind != LineKind::runway) continue;
    const bool closed = s.closed || (s.runway >= 0 && net.runways[static_cast<std::size_t>(s.runway)].closed);
    for (const NodeId n : {s.from, s.to}) {
      q.on_runway[index(n)] = 1;
      if (closed) q.closed_runway_at[index(n)] = 1;
    }
  }
  for (std::size_t h = 0; h < net.holding_points.size(); ++h) {
    int& here = q.hold_at[index(net.holding_points[h].node)];
    const auto& hold = net.holding_points[h];
    if (here < 0 || (net.holding_points[static_cast<std::size_t>(here)].assumed && !hold.assumed))
      here = static_cast<int>(h);
  }
}

/// Runway arcs between entries that lie no further apart than a crossing may be set off; groups of such entries are formed
/// from the front on, so that no chain of short pieces adds up to more.
std::vector<std::uint8_t> crossing_arcs(const Question& q) {
  constexpr double kSameChainage_m = 0.01;  // chainages are sums of the same lengths
  std::vector<std::uint8_t> open(q.net->arc_count(), 0);
  for (std::size_t r = 0; r < q.net->runways.size(); ++r) {
    const auto& entries = q.net->runways[r].entries;
    const auto arcs = runway_arcs(*q.net, static_cast<int>(r), 0);
    for (std::size_t i = 0, j = 0; i < entries.size(); i = j + 1) {
      for (j = i; j + 1 < entries.size() && entries[j + 1].at_m - entries[i].at_m <= kCrossingOffset_m;) ++j;
      double at = 0.0;
      for (const ArcId a : arcs) {
        const double begin = at;
        at += q.net->segment(a).length_m;
        if (begin >= entries[i].at_m - kSameChainage_m && at <= entries[j].at_m + kSameChainage_m)
          open[index(a)] = open[index(network::reversed(a))] = 1;
      }
    }
  }
  return open;
}

/// Everything but the places.
void prepare(Question& q) {
  const Network& net = *q.net;
  const RouteRequest& request = *q.request;
  mark_nodes(q);
  q.crosses = crossing_arcs(q);
  q.user_closed.assign(net.arc_count(), 0);
  q.user_avoids.assign(net.arc_count(), 0);
  for (const std::string& name : request.close)
    for (const ArcId a : asked_arcs(net, name, "close")) q.user_closed[index(a)] = 1;
  for (const std::string& name : request.avoid)
    for (const ArcId a : asked_arcs(net, name, "avoid")) q.user_avoids[index(a)] = 1;
  q.shape = network::trace_shape(net, {.wheelbase_m = q.aircraft->wheelbase_m,
                                       .steering_max_deg = q.aircraft->steering_max_deg,
                                       .fillet_radius_m = q.conditions->fillet_radius_m,
                                       .tight_radius_m = q.conditions->tight_radius_m});
}

Question begun(const Network& net, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions,
               const RouteRequest& request) {
  check_numbers(request);
  Question q;
  q.net = &net;
  q.aircraft = &aircraft;
  q.conditions = &conditions;
  q.request = &request;
  return q;
}

}  // namespace

std::vector<ArcId> arcs_named(const Network& net, const std::string& name) {
  std::vector<ArcId> out;
  std::vector<std::uint8_t> node_meant(net.nodes.size(), 0);
  const std::string plain = folded(name);
  if (plain.starts_with("node:")) {
    std::uint32_t n = 0;
    const auto [end, error] = std::from_chars(plain.data() + 5, plain.data() + plain.size(), n);
    if (error == std::errc{} && end == plain.data() + plain.size() && n < net.nodes.size()) node_meant[n] = 1;
  }
  for (std::size_t n = 0; n < net.nodes.size(); ++n)
    if (id_matches(net.nodes[n].source_id, name)) node_meant[n] = 1;
  std::vector<std::uint8_t> runway_meant(net.runways.size(), 0);
  for (std::size_t r = 0; r < net.runways.size(); ++r) {
    const auto& runway = net.runways[r];
    const bool designated = std::any_of(runway.designators.begin(), runway.designators.end(), [&](const std::string& d) {
      return !d.empty() && designator(d) == designator(name);
    });
    runway_meant[r] = designated || names_match(runway.name, name) || id_matches(runway.id, name);
  }
  // A runway shut or avoided is not crossed either: the arcs that reach or leave it go with it.
  for (const auto& s : net.segments)
    if (s.runway >= 0 && runway_meant[static_cast<std::size_t>(s.runway)])
      node_meant[index(s.from)] = node_meant[index(s.to)] = 1;
  for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
    const auto& s = net.segment(ArcId{a});
    if (names_match(s.name, name) || id_matches(s.source_id, name) || node_meant[index(s.from)] || node_meant[index(s.to)])
      out.push_back(ArcId{a});
  }
  return out;
}

Question make_question(const Network& net, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions,
                       const RouteRequest& request) {
  Question q = begun(net, aircraft, conditions, request);
  q.direction = direction_of(request);
  q.from = resolve(net, request.from);
  q.to = resolve(net, request.to);
  for (const Via& v : request.via) q.via.push_back(resolve(net, v.place));
  if (q.from.node == q.to.node && q.via.empty() && q.from.runway < 0)
    throw usage_error(request.from.text == request.to.text
                          ? request.from.text + " is both the beginning and the end"
                          : request.from.text + " and " + request.to.text + " are the same place");
  if (!q.via.empty() && q.via.front().node == q.from.node)
    throw usage_error(request.via.front().place.text + " is where the route starts, not a place on its way");
  for (std::size_t i = 1; i < q.via.size(); ++i)
    if (q.via[i].node == q.via[i - 1].node)
      throw usage_error(request.via[i].place.text + " is asked twice in a row", "ask it once, with the longer stop");
  if (!q.via.empty() && q.via.back().node == q.to.node)
    throw usage_error(request.via.back().place.text + " is where the route ends, not a place on its way");
  prepare(q);
  std::vector<NodeId> named{q.from.node, q.to.node};
  for (const ResolvedPlace& v : q.via) named.push_back(v.node);
  set_avoided(q, named);
  return q;
}

Question make_field_question(const Network& net, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions,
                             const RouteRequest& request) {
  Question q = begun(net, aircraft, conditions, request);
  prepare(q);
  return q;
}

void set_avoided(Question& q, const std::vector<NodeId>& free_stands) {
  const Network& net = *q.net;
  std::vector<std::uint8_t> parked(net.nodes.size(), 0);
  for (const auto& s : net.stands) parked[index(s.node)] = 1;
  for (const NodeId n : free_stands) parked[index(n)] = 0;
  q.avoid_mm.assign(net.arc_count(), 0);
  for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
    const auto& s = net.segment(ArcId{a});
    if (q.user_avoids[a] || (s.kind == LineKind::stand_line && (parked[index(s.from)] || parked[index(s.to)])))
      q.avoid_mm[a] = std::llround(s.length_m * 1000.0);
  }
}

std::optional<std::size_t> movement_index(const Network& net, ArcId from, ArcId to) {
  for (std::size_t m = net.first_movement[index(from)]; m < net.first_movement[index(from) + 1]; ++m)
    if (net.movements[m].to == to) return m;
  return std::nullopt;
}

std::vector<ArcId> runway_arcs(const Network& net, int runway, int end) {
  const auto& r = net.runways[static_cast<std::size_t>(runway)];
  std::vector<ArcId> arcs;
  NodeId at = r.front;
  for (const network::SegmentId s : r.segments) {
    const bool along = net.segment(s).from == at;
    arcs.push_back(along ? network::arc_along(s) : network::arc_against(s));
    at = net.head(arcs.back());
  }
  if (end == 0) return arcs;
  std::reverse(arcs.begin(), arcs.end());
  for (ArcId& a : arcs) a = network::reversed(a);
  return arcs;
}

double from_end_m(const network::Runway& runway, const network::RunwayEntry& entry, int end) {
  return end == 0 ? entry.at_m : runway.length_m - entry.at_m;
}

double turn_round_way_m(const CostTable::TurnRound& turn) { return std::numbers::pi * turn.radius_m; }

Cost last_turn_round(const CostTable& table, ArcId arc) {
  const auto round = table.turn_round(arc);
  const auto& places = table.places();
  const auto bending = places.bending(round.radius_m, round.side * std::numbers::pi);
  const double seconds = turn_round_way_m(round) / round.turn.speed_mps;
  // The runway's grade falls out: half the way round is driven on either side of it.
  const double thrust = places.steady_thrust_n(places.force_n(0.0, bending), bending);
  // Braking to the turn-round's speed, and at its end to rest. An arc that ends in a bend is taken at its straights' speed,
  // which is dearer.
  return places.braking(table.speed_mps(arc), round.turn.speed_mps) + places.braking(round.turn.speed_mps, 0.0) +
         Cost{seconds, places.flow_kg_s(thrust) * seconds};
}

}  // namespace solotaxi::routing
