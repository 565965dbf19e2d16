#include "solotaxi/routing/assigned_way.hpp"

#include <fmt/format.h>

#include "routing/assigned_match.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::routing {
namespace {

/// "Runway 26 … hold short of runway 26" ends at its holding position; an end given apart goes before the last hold short.
Clearance with_end(Clearance c, const Network& net, const AssignedRequest& request) {
  if (c.end.held && request.to) c.end = {};
  const int runway = c.end.kind == ClearanceEnd::Kind::runway ? runway_named(net, c.end.runway) : -1;
  for (const ClearanceBinding& b : c.bindings)
    if (runway >= 0 && b.kind == ClearanceBinding::Kind::hold_short_of_runway && runway_named(net, b.at.name) == runway)
      c.end.kind = ClearanceEnd::Kind::runway_hold;
  return c;
}

/// An arrival comes from the runway that it is told to vacate.
void check_vacated(const Network& net, const Clearance& clearance, const AssignedRequest& request) {
  if (clearance.from_runway.empty()) return;
  const ResolvedPlace from = resolve(net, request.from);
  const bool same = from.runway >= 0 && from.runway == runway_named(net, clearance.from_runway);
  if (!same)
    throw usage_error(fmt::format("the clearance says \"{}\", and the way is asked from {}",
                                  clearance.quoted(clearance.from_span), request.from.text),
                      "ask from runway:" + clearance.from_runway + ", or leave that part out");
}

/// Arcs of the divided network as arcs of the one asked about, and what goes with them.
void undivide(AssignedWay& way, const std::vector<std::uint32_t>& original) {
  const auto whole = [&](ArcId a) {
    return ArcId{2 * original[index(network::segment_of(a))] + (network::is_along(a) ? 0U : 1U)};
  };
  std::vector<ArcId> arcs;
  std::vector<std::optional<std::size_t>> item;
  for (std::size_t k = 0; k < way.arcs.size(); ++k) {
    if (!arcs.empty() && arcs.back() == whole(way.arcs[k])) continue;
    arcs.push_back(whole(way.arcs[k]));
    item.push_back(way.item[k]);
  }
  way.arcs = std::move(arcs);
  way.item = std::move(item);
  way.pushed = original_arcs(way.pushed, original);
  if (way.rolled_on) way.rolled_on = whole(*way.rolled_on);
}

}  // namespace

std::variant<AssignedWay, CannotFollow> assigned_way(const network::Network& network, const aircraft::Aircraft& aircraft,
                                                     const motion::Conditions& conditions, const Clearance& clearance,
                                                     const AssignedRequest& request) {
  motion::check_ranges(conditions, aircraft);
  RouteRequest places;
  places.from = request.from;
  places.to = request.to.value_or(request.from);
  const Prepared prepared = cut_at_positions(network, places);
  const Network& net = prepared.own ? *prepared.own : network;
  check_vacated(net, clearance, request);
  const Clearance bound = with_end(clearance, net, request);
  const MatchCase asked = make_case(net, aircraft, conditions, bound, request);
  const MatchResult result = match(asked);
  if (!result.match) return tell_failure(asked, result.furthest.value_or(Furthest{}));
  AssignedWay way = tell_way(*result.match);
  if (prepared.own) undivide(way, prepared.original);
  return way;
}

}  // namespace solotaxi::routing
