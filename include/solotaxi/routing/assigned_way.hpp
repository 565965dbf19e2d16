// The way a clearance assigns, matched to the network; and words for a way.
//
// Matching is a shortest path over (arc × position in the clearance), exact in length. The taxiways of the clearance are
// driven in their order. Between two of them, before the first and behind the last only pieces without a name may be driven
// (junction pieces, connectors, runways straight across); never a named taxiway that the clearance does not name. A name
// may be interrupted by such pieces, as maps leave gaps. Besides:
//  - at a stand's end of the way, taxilanes and stand lines need not be named (before the first taxiway unless the way
//    begins on a runway, behind the last where it ends on a stand, a node or a position);
//  - where there is no way otherwise, stand lines may join taxiways too (a warning): some maps join them in no other way;
//  - a holding point names the taxiway it lies on: the way may end on that one (a warning where its name is another);
//  - departures are pushed back, arrivals roll off, runways are entered and left as `find_route` does. A runway is driven
//    lengthwise only where it is an item of the clearance or `backtrack` is given, and under `backtrack` as little as
//    possible (then, as little as possible through stands not asked for, then the least length);
//  - a place to hold short of and a runway to cross must lie on the way: of two ways to join two taxiways the one that
//    comes by them is assigned;
//  - `left at X` is met where the way turns left by 10° or more from what it was on, over unnamed pieces of up to 150 m in
//    all, at a node of X or within 40 m of one; by 30° or more where it stays on the same taxiway. Behind it X itself may
//    be driven, named or not;
//  - `left at X` before all else, from a landing, is met by an exit on that side of the runway at X;
//  - `backtrack` without a runway is one on the runway the way ends on or comes from: along another one, and onto a runway
//    the clearance does not end on, the way is driven with a warning;
//  - `holding point runway 26` ends at the last holding position before line-up on the way that lines up there;
//  - `runway 26` behind a last taxiway that joins it further from the end than an entry for full length may: lined up there
//    all the same, with a warning.
// Where a clearance leaves a choice the shortest is taken and `choices` tells the next.
//
// Of ways of one length the one is taken that the route question would take.
//
// Cost: a route question (shape, cost table), then Dijkstra's search over arcs × items: about 2 ms on a field of 450
// segments. A clearance that cannot be followed is asked again some five times, with closures lifted and words put in or
// left out: about 15 ms there.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "solotaxi/aircraft/aircraft.hpp"
#include "solotaxi/motion/conditions.hpp"
#include "solotaxi/network/network.hpp"
#include "solotaxi/routing/clearance.hpp"
#include "solotaxi/routing/route.hpp"

namespace solotaxi::routing {

struct AssignedRequest {
  Place from;
  std::optional<Place> to;             ///< where the clearance names no end, or to pick one of several stands of a name
  std::vector<std::string> close;      ///< as RouteRequest::close
  std::optional<Direction> direction;  ///< from a stand to a runway or holding point a departure; from a runway an arrival,
                                       ///< unless it ends on one; else taxi
  double landing_roll_m = 1200.0;      ///< as RouteRequest::landing_roll_m
};

/// A place to stop at: hold short.
struct AssignedStop {
  std::size_t binding = 0;  ///< index into Clearance::bindings
  double at_m = 0.0;        ///< along the whole route, push back included
  LatLon at;
  std::string hold;      ///< holding position there, "" where none is or it has no name
  bool assumed = false;  ///< the map has no holding position there
  std::string text;      ///< "hold short of runway 18/36 at C1, 640 m along"
};

/// What the clearance left open.
struct AssignedChoice {
  std::optional<std::size_t> item;  ///< index into Clearance::items that is entered; nothing: the end
  LatLon taken, other;              ///< where it is entered, and where it might be
  double longer_m = 0.0;            ///< of the way by the other, 0 or more
  std::string text;
};

struct AssignedWay {
  std::vector<network::ArcId> arcs;              ///< driven, in order; the ends in part only where positions in mid-segment
  std::vector<network::ArcId> pushed;            ///< arcs of the push back, in its direction
  std::optional<network::ArcId> rolled_on;       ///< runway arc of the landing roll before the first arc
  std::vector<std::optional<std::size_t>> item;  ///< by arc: index into Clearance::items it belongs to; nothing: joins
  bool turn_round_at_end = false;
  double length_m = 0.0;            ///< push back and turn-rounds included, as Route::length_m
  std::vector<AssignedStop> stops;  ///< in order along the way
  std::vector<AssignedChoice> choices;
  std::vector<std::string> warnings;  ///< for the top of a page
  Place from, to;                     ///< parse as places of a route question
  Direction direction{};
};

struct CannotFollow {
  std::optional<std::size_t> item, binding;  ///< what fails: an index into Clearance::items or ::bindings; neither: the end
  std::string quoted;                        ///< it, as the text has it; "" for an end given apart
  std::string reason;                        ///< one sentence
  std::vector<std::string> meets;  ///< names that can be driven onto from where the way stood before the item, sorted
  std::string nearest;  ///< the clearance with the fewest words put in or left out that works, then the shortest; or ""
  std::string hint;
};

/// Matches a clearance. Throws Error for places that do not resolve, closures of nothing, no end at all, values out of
/// range. The same answer for the same question. A way here is one that no place blocks on every engine.
[[nodiscard]] std::variant<AssignedWay, CannotFollow> assigned_way(const network::Network& network,
                                                                   const aircraft::Aircraft& aircraft,
                                                                   const motion::Conditions& conditions,
                                                                   const Clearance& clearance,
                                                                   const AssignedRequest& request);

struct ClearanceWords {
  std::string text;     ///< "taxi to runway 26 via B, C, cross runway 18"
  bool exact = false;   ///< reading and matching the text gives exactly these arcs
  std::string why_not;  ///< where not: what the words leave open
};

/// Words for a way that was planned, in phraseology. Words cannot pin down every way: of two unnamed pieces between the
/// same taxiways the shorter is always meant, and a way that is not the shortest under its names, or that leads over a
/// stand's line in its middle, has no words of its own; `exact` is false then. `left at` and `right at` are added where
/// they help. Cost: one matching for each try, at most a dozen.
[[nodiscard]] ClearanceWords clearance_words(const network::Network& network, const aircraft::Aircraft& aircraft,
                                             const motion::Conditions& conditions, const Route& route,
                                             const AssignedRequest& request);

}  // namespace solotaxi::routing
