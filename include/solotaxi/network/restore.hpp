// A network put together from its parts again, as a planner may have mended them.
#pragma once

#include "solotaxi/network/network.hpp"

namespace solotaxi::network {

/// What a network was asked to hold without being built: nodes (position, height), segments (ends, attributes, vertices,
/// profile), runways (name, designators, ends), stands and holding points are given in `parts`; positions in the plane,
/// lengths, arcs, runway segments and entries, movements and connected parts are computed anew. With parts as build_network
/// left them the result is the same network.
///
/// A segment whose profile is not as long as its line has it stretched; one without a profile takes its nodes' heights; one
/// whose stated grade its profile does not follow gets that grade. Each is a finding (profile-stretched,
/// profile-from-nodes, grade-disagrees). Throws Error (data) for a segment of fewer than two vertices or no length, an end
/// that is no node, a runway that does not run on from end to end, and a field without runway.
[[nodiscard]] Network restore_network(Network parts);

}  // namespace solotaxi::network
