// Places as a person writes them, and what they mean on a network.
//
//   stand:12   runway:08L   runway:08L@A2   hold:A1   node:57   35.8512,14.4771
//   any of the first four with "#id" appended picks one of several of that name: stand:3#551504298
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "solotaxi/network/network.hpp"

namespace solotaxi::routing {

struct Place {
  enum class Kind { stand, runway, hold, node, position };
  Kind kind = Kind::node;
  std::string text;        ///< as written
  std::string name;        ///< "12", "08L", "A1"
  std::string at;          ///< "A2" of runway:08L@A2
  std::string id;          ///< "551504298" of stand:3#551504298
  std::optional<LatLon> position;
  std::uint32_t node = 0;  ///< of node:57
};

/// Throws Error (usage) with the forms a place may take.
[[nodiscard]] Place parse_place(const std::string& text);

/// A place on a network. For kind runway `runway` and `end` are set (end 0: takes off from the front).
struct ResolvedPlace {
  Place place;
  network::NodeId node{};  ///< where the route starts or ends; for a runway the entry (or the threshold to backtrack to)
  int stand = -1, hold = -1, runway = -1, end = 0;
  std::optional<std::uint32_t> entry;  ///< index into Runway::entries for runway:08L@A2
  double off_m = 0.0;                  ///< kind position: how far the network lies from it
};

/// Resolves a place. Throws Error (data) for an unknown place (nearest spellings as hint), an ambiguous one (candidates with
/// ids as hint), or a position more than 60 m from the network.
/// A position in the middle of a segment resolves to its nearer end node only if that is the nearest point; networks are cut
/// there beforehand by `with_node_at`.
[[nodiscard]] ResolvedPlace resolve(const network::Network& network, const Place& place);

/// How far a written position may lie from the network [m]; assumed.
inline constexpr double kPositionReach_m = 60.0;

}  // namespace solotaxi::routing
