// A question asked with its rules as they stand, then with one after the other relaxed.
#pragma once

#include <optional>
#include <vector>

#include "routing/way_search.hpp"

namespace solotaxi::routing {

/// The network with a node at every position asked in the middle of a segment, and the segment each of its segments comes
/// from.
struct Prepared {
  std::optional<Network> own;  ///< none where nothing had to be cut
  std::vector<std::uint32_t> original;
};

[[nodiscard]] Prepared cut_at_positions(const Network& network, const RouteRequest& request);
/// Arcs of a divided network as arcs of the one asked about, by the segment each of its segments comes from.
[[nodiscard]] std::vector<ArcId> original_arcs(const std::vector<ArcId>& arcs, const std::vector<std::uint32_t>& original);
/// Nodes made for a question have no number anybody knows: findings there keep their position alone.
void forget_new_nodes(Findings& findings, const Network& network, const Network& divided);

struct Answer {
  Way way;
  Attempt attempt;
};

/// The attempt with one rule after the other relaxed: first no runway lengthwise and nothing that is to be avoided, then
/// what is to be avoided, at last runways lengthwise.
[[nodiscard]] std::vector<Attempt> relaxations(const Question& q, Attempt attempt);

/// Relaxes until there is a way.
[[nodiscard]] std::optional<Answer> relax(const Question& q, Attempt attempt);

/// The attempt with every rule relaxed: any entry, runways lengthwise, and what is to be avoided.
[[nodiscard]] Attempt everything_open(const Question& q, Attempt attempt);

/// The worst verdict a place of the way may have.
[[nodiscard]] Verdict worst_allowed(const Question& q);

/// How every engine asks; `strict`: only over places that it keeps rolling, or starts from rest where that is required.
[[nodiscard]] Attempt attempt_of_every_engine(const Question& q, const CostTable& all, bool strict);
/// The way on every engine.
[[nodiscard]] std::optional<Answer> on_every_engine(const Question& q, const CostTable& all, bool strict);

}  // namespace solotaxi::routing
