// A route question made ready: places resolved on the network, designators and closures turned into arcs, shape traced.
// Shared by the parts of find_route; not public.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "solotaxi/motion/cost_table.hpp"
#include "solotaxi/network/shape.hpp"
#include "solotaxi/routing/route.hpp"
#include "solotaxi/routing/search.hpp"

namespace solotaxi::routing {

using aircraft::RunningSet;
using motion::Cost;
using motion::CostTable;
using motion::Verdict;
using network::ArcId;
using network::LineKind;
using network::Movement;
using network::Network;
using network::NodeId;

/// Runway arcs up to this long in all serve to cross, from one side's taxiway to the other's [m]; assumed.
inline constexpr double kCrossingOffset_m = 60.0;
/// An entry further than this from the runway's end leaves so much of it unused that full length means a backtrack [m];
/// assumed.
inline constexpr double kFullLength_m = 200.0;
/// Entries this close together are one entry drawn as two [m]; assumed.
inline constexpr double kSameEntry_m = 10.0;

struct Question {
  const Network* net = nullptr;
  const aircraft::Aircraft* aircraft = nullptr;
  const motion::Conditions* conditions = nullptr;
  const RouteRequest* request = nullptr;
  network::Shape shape;
  ResolvedPlace from, to;
  std::vector<ResolvedPlace> via;
  Direction direction = Direction::taxi;
  std::vector<std::uint8_t> user_closed;  ///< by arc
  std::vector<std::uint8_t> user_avoids;  ///< by arc
  std::vector<std::int64_t> avoid_mm;     ///< by arc: length to be avoided, by wish or because it leads over another stand
  std::vector<std::uint8_t> crosses;      ///< by arc: runway arcs short enough to serve a crossing that is set off
  std::vector<std::uint8_t> on_runway;    ///< by node
  std::vector<int> hold_at;               ///< by node: a holding point there, the mapped before the assumed, or -1
  std::vector<std::uint8_t> closed_runway_at;  ///< by node: on a closed runway

  [[nodiscard]] bool is_runway(ArcId a) const { return net->segment(a).kind == LineKind::runway; }
};

/// Resolves and checks everything a request names. `net` must hold a node at every position asked.
[[nodiscard]] Question make_question(const Network& net, const aircraft::Aircraft& aircraft,
                                     const motion::Conditions& conditions, const RouteRequest& request);

/// The same without places and direction, and with nothing avoided yet: for questions on many places at once.
[[nodiscard]] Question make_field_question(const Network& net, const aircraft::Aircraft& aircraft,
                                           const motion::Conditions& conditions, const RouteRequest& request);
/// What the request wants avoided, and stand lines over stands: other aircraft may stand there. Not over those given.
void set_avoided(Question& q, const std::vector<NodeId>& free_stands);

/// The index of the movement from one arc into another in Network::movements, or nothing.
[[nodiscard]] std::optional<std::size_t> movement_index(const Network& net, ArcId from, ArcId to);

/// The arcs of a runway from one of its ends to the other (end 0: front to back), in the direction of a take-off there.
[[nodiscard]] std::vector<ArcId> runway_arcs(const Network& net, int runway, int end);
/// How far an entry lies from that end [m].
[[nodiscard]] double from_end_m(const network::Runway& runway, const network::RunwayEntry& entry, int end);

/// Arcs meant by a designator, runway, map id or "node:57"; empty where nothing is.
[[nodiscard]] std::vector<ArcId> arcs_named(const Network& net, const std::string& name);

[[nodiscard]] double turn_round_way_m(const CostTable::TurnRound& turn);
/// A turn-round at whose end the route ends, lined up: braking to its speed, the way round, and braking to rest.
[[nodiscard]] Cost last_turn_round(const CostTable& table, ArcId arc);

}  // namespace solotaxi::routing
