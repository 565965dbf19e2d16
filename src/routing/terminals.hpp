// Where a route may begin and end: the arcs it may start on with what starting costs, and those it may end on.
#pragma once

#include <optional>
#include <vector>

#include "routing/weights.hpp"

namespace solotaxi::routing {

/// One way to begin: pushed from the stand to a node, rolled out along a runway, or at rest at a node.
struct Beginning {
  std::vector<ArcId> pushed;       ///< arcs of the push back, in its direction; their length counts, nothing else
  NodeId node{};                   ///< where driving begins
  std::optional<ArcId> rolled_on;  ///< runway arc of the landing roll up to `node`
};

/// A beginning and the first arcs driven.
struct Seed {
  std::size_t beginning = 0;  ///< index into Terminals::beginnings
  std::vector<ArcId> arcs;    ///< driven; the last is the arc the search goes on from
  OrderedCost cost;           ///< up to the end of the last of `arcs`
};

struct Goal {
  ArcId arc{};
  OrderedCost cost;         ///< of stopping, or of turning round
  bool turn_round = false;  ///< turns round on the runway at its end
};

struct Terminals {
  std::vector<Beginning> beginnings;
  std::vector<Seed> seeds;
  std::vector<Goal> goals;
};

[[nodiscard]] Terminals make_terminals(const Question& q, const Attempt& attempt, const Weights& weights);

/// The stretches a stand's aircraft may be pushed along to a first taxiway node; nothing where it is joined to none.
[[nodiscard]] std::vector<Beginning> push_backs(const Question& q, int stand);

/// For a full-length take-off that needs a backtrack: the runway arcs from the nearest usable entry to the end, driven
/// toward the end. Empty where an entry near the end will do, or where the question is another.
[[nodiscard]] std::vector<ArcId> backtrack_to_full_length(const Question& q);

/// Entries at which a take-off from the asked runway end may begin, nearest to the end first: groups of entries so close
/// together that they are one. Empty where full length needs a backtrack.
[[nodiscard]] std::vector<std::vector<NodeId>> line_up_nodes(const Question& q);

/// Whether the place asked as the end is a runway.
[[nodiscard]] inline bool ends_on_runway(const Question& q) { return q.to.runway >= 0; }

}  // namespace solotaxi::routing
