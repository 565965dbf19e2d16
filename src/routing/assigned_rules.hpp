// A clearance turned into numbers on one network: which lines its items are, where its bindings are met, what may be driven
// at the ends. Shared by the parts of assigned_way; not public.
#pragma once

#include <algorithm>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "routing/terminals.hpp"
#include "solotaxi/routing/assigned_way.hpp"

namespace solotaxi::routing {

/// Number of a taxiway's name; runway r is kRunwayLine + r.
using LineId = std::int32_t;
inline constexpr LineId kRunwayLine = 1 << 15;
/// Not on a line: at the start, before the first taxiway; at the end, behind the last.
inline constexpr LineId kStartLine = -1, kEndLine = -2;

[[nodiscard]] inline bool has(const std::vector<LineId>& lines, LineId line) {
  return std::find(lines.begin(), lines.end(), line) != lines.end();
}

/// Names of taxiways and taxilanes by number. A segment may bear several ("A;B").
class Lines {
 public:
  explicit Lines(const Network& net);
  /// Of the segment, sorted; empty where it has no name, or is no taxiway or taxilane.
  [[nodiscard]] const std::vector<LineId>& of(network::SegmentId s) const { return of_segment_[index(s)]; }
  /// Of these names; those the network does not have are left out.
  [[nodiscard]] std::vector<LineId> find(const std::vector<std::string>& names) const;
  [[nodiscard]] const std::string& name(LineId line) const { return names_[static_cast<std::size_t>(line)]; }

 private:
  std::vector<std::vector<LineId>> of_segment_;
  std::vector<std::string> names_;
  std::map<std::string, LineId> number_;  ///< by folded name
};

/// How far from a junction's node the turn at it may be drawn, and how long the unnamed pieces of the turn may be [m]; a
/// turn of less is straight on, and one of less along the same taxiway a bend of that taxiway [rad]. Assumed.
inline constexpr double kJunctionReach_m = 40.0, kJunctionPieces_m = 150.0;
inline constexpr double kLeastTurn_rad = 0.17453292519943295, kLeastBend_rad = 3.0 * kLeastTurn_rad;

/// What a segment's drawn line turns between its ends, right positive, driven along or against its drawing.
[[nodiscard]] double turned_rad(const network::Segment& segment, bool along);

struct RuleItem {
  ClearanceItem::Kind kind{};
  std::vector<LineId> lines;
  Side side{};
  std::vector<std::uint8_t> near;  ///< by node, of a turn: within kJunctionReach_m of the taxiway
};

/// Bits of a state: bindings met, one each; then what backtracking is allowed.
using Mask = std::uint16_t;
inline constexpr Mask kBacktrackGiven = 1U << kClearanceBindings;       ///< on Rules::backtrack_runway
inline constexpr Mask kBacktrackAny = 1U << (kClearanceBindings + 1U);  ///< on every runway
inline constexpr Mask kBindingBits = kBacktrackGiven - 1U;

struct Rules {
  const Question* q = nullptr;
  const Lines* lines = nullptr;
  std::vector<RuleItem> items;
  std::vector<Mask> reach;  ///< by arc: bindings met at its head when it is driven
  std::vector<Mask> pass;   ///< by node: bindings met when it is passed off the runway's own arcs
  Mask start = 0;           ///< bits every way begins with
  Mask all = 0;             ///< binding bits a way must end with
  int backtrack_runway = -1;
  bool start_taxilanes = false, end_taxilanes = false;
  std::vector<LineId> end_lines;  ///< named by the end
  bool stand_lines = false;       ///< they may join taxiways
  bool edits = false;             ///< items may be left out and put in, at a price
};

/// The rules of a clearance for a question whose ends are resolved. `end_names`: taxiways the end names.
[[nodiscard]] Rules make_rules(const Question& q, const Lines& lines, const Clearance& clearance,
                               const std::vector<std::string>& end_names);

/// The runway a designator names, or -1.
[[nodiscard]] int runway_named(const Network& net, const std::string& name);
/// Nodes of a runway.
[[nodiscard]] std::vector<std::uint8_t> nodes_of_runway(const Network& net, int runway);
/// Nodes of the segments that bear one of these names.
[[nodiscard]] std::vector<std::uint8_t> nodes_of_lines(const Network& net, const Lines& lines,
                                                       const std::vector<LineId>& wanted);
/// Nodes of holding positions of a name, or, where none bears it, of unnamed ones on a taxiway of that name.
[[nodiscard]] std::vector<std::size_t> holds_named(const Network& net, const std::vector<std::string>& names);
/// Names of the taxiways at a node, each once, in order of the network.
[[nodiscard]] std::vector<std::string> taxiways_at(const Network& net, NodeId node);

}  // namespace solotaxi::routing
