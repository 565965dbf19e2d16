// Places as a person writes them, and what they mean on a network.
//
//   stand:12   runway:08L   runway:08L@A2   hold:A1   node:57   35.8512,14.4771
//
// stand, runway and hold take "#id" behind the name to pick one of several of that name: stand:3#551504298; the name may
// then be left out. Names are compared without regard to case, runway designators without regard to a leading nought (8L is
// 08L). A holding position without a name, as assumed ones are, is named by the taxiway it lies on. A runway entry is named
// by its taxiway, else by the holding position before it, else by its node: runway:08L@node:57.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "solotaxi/network/network.hpp"

namespace solotaxi::routing {

struct Place {
  enum class Kind { stand, runway, hold, node, position };
  Kind kind = Kind::node;
  std::string text;  ///< as written, without blanks around it
  std::string name;  ///< "12", "08L", "A1"; may be "" where an id is given
  std::string at;    ///< "A2" of runway:08L@A2
  std::string id;    ///< "551504298" of stand:3#551504298
  std::optional<LatLon> position;
  std::uint32_t node = 0;  ///< of node:57
};

/// Throws Error (usage) with the forms a place may take.
[[nodiscard]] Place parse_place(const std::string& text);

/// How far a written position may lie from the network [m]; assumed.
inline constexpr double kPositionReach_m = 60.0;
/// A position nearer than this to a node is that node [m]: well under the noise of drawn maps; assumed.
inline constexpr double kPositionIsNode_m = 0.5;

/// A place on a network. For kind runway `runway` and `end` are set (end 0: takes off from the front).
struct ResolvedPlace {
  Place place;
  /// Stand, hold or node. Runway: the entry written with @, else the entry nearest to the end where that designator's
  /// take-off begins (that end itself where no taxiway joins the runway). Position: the nearer end of `segment`.
  network::NodeId node{};
  int stand = -1, hold = -1, runway = -1, end = 0;
  std::optional<std::uint32_t> entry;  ///< index into Runway::entries for runway:08L@A2
  double off_m = 0.0;                  ///< kind position: how far the network lies from it
  /// Kind position in the middle of a segment: where. Such a place becomes a node by `network_with_node_at`.
  std::optional<network::SegmentId> segment;
  double at_m = 0.0;  ///< along `segment`, strictly between its ends
};

/// Resolves a place. Throws Error (data) for an unknown place (nearest spellings as hint), an ambiguous one (candidates
/// with ids as hint), or a position more than kPositionReach_m from the network. O(network).
[[nodiscard]] ResolvedPlace resolve(const network::Network& network, const Place& place);

/// A network in which one segment is divided. Existing nodes, segments and arcs keep their numbers: the segment keeps its
/// part before the cut, the part behind it comes last, and so does the node.
struct CutNetwork {
  network::Network network;
  network::NodeId node{};
};

/// Divides a segment at a chainage strictly between its ends [m]. The way runs on over the new node as it was drawn, so
/// no route costs more or less than before. Throws std::invalid_argument for a chainage outside. O(network), a copy.
[[nodiscard]] CutNetwork network_with_node_at(const network::Network& network, network::SegmentId segment, double at_m);

/// A network whose segments are cut into equal parts. Existing nodes keep their numbers, and each segment its first part.
struct PartedNetwork {
  network::Network network;
  std::vector<network::SegmentId> original;  ///< by segment of `network`: the one it is part of
};

/// Every segment cut into ⌈length / most⌉ equal parts [m, over 0]; no route costs more or less than before. A copy, linear.
[[nodiscard]] PartedNetwork network_in_parts(const network::Network& network, double most_m);

}  // namespace solotaxi::routing
