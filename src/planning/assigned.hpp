// A way assigned on the network asked about, told on the divided one that plans are made on. Shared by the parts of
// make_plan; not public.
#pragma once

#include <cstdint>
#include <vector>

#include "routing/way_search.hpp"
#include "solotaxi/planning/plan.hpp"

namespace solotaxi::planning {

/// `original`: by segment of `divided`, the one it is part of. Throws Error (usage) for arcs that do not hang together, or
/// one that is used twice in the same direction, or ends that are not those asked.
[[nodiscard]] routing::Way assigned_on(const network::Network& divided, const std::vector<std::uint32_t>& original,
                                       const AssignedArcs& assigned, const routing::RouteRequest& request);

}  // namespace solotaxi::planning
