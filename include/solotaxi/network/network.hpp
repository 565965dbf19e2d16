// The taxi network: nodes, segments between them, arcs (a segment in one direction) and movements (arc to arc at a node).
//
// Immutable once built (network/build.hpp). Flat arrays, plain doubles with a unit suffix. Lengths are geodesic along the
// drawn vertices; angles are planar in the field's local frame, right positive.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "solotaxi/airfield/airfield.hpp"
#include "solotaxi/base/finding.hpp"
#include "solotaxi/geo/geodesic.hpp"
#include "solotaxi/terrain/heights.hpp"

namespace solotaxi::network {

using airfield::LineKind;
using airfield::OneWay;

enum class NodeId : std::uint32_t {};
enum class SegmentId : std::uint32_t {};
enum class ArcId : std::uint32_t {};
constexpr std::uint32_t index(NodeId id) { return static_cast<std::uint32_t>(id); }
constexpr std::uint32_t index(SegmentId id) { return static_cast<std::uint32_t>(id); }
constexpr std::uint32_t index(ArcId id) { return static_cast<std::uint32_t>(id); }

/// Arcs 2 s and 2 s + 1 are segment s along and against its drawing.
constexpr ArcId arc_along(SegmentId s) { return ArcId{2 * index(s)}; }
constexpr ArcId arc_against(SegmentId s) { return ArcId{2 * index(s) + 1}; }
constexpr SegmentId segment_of(ArcId a) { return SegmentId{index(a) / 2}; }
constexpr bool is_along(ArcId a) { return index(a) % 2 == 0; }
constexpr ArcId reversed(ArcId a) { return ArcId{index(a) ^ 1U}; }

struct Node {
  LatLon at;
  LocalXY xy;
  double height_m = std::numeric_limits<double>::quiet_NaN();
  std::string source_id;  ///< "node/7734068390" where the map has one, else ""
};

/// A point of the height profile: linear between knots.
struct Knot {
  double at_m = 0.0;      ///< from the segment's start
  double height_m = 0.0;  ///< NaN where unknown; then the grade is unknown too
};

struct Segment {
  NodeId from{}, to{};
  LineKind kind = LineKind::taxiway;
  std::string name;       ///< designator or ""
  std::string source_id;  ///< map feature it comes from
  int runway = -1;        ///< index into Network::runways for kind runway
  int layer = 0;
  bool bridge = false, tunnel = false, closed = false;
  bool assumed = false;   ///< not drawn in the map: connector, ring runway's centreline
  OneWay one_way = OneWay::no;
  std::optional<Metres> width, wingspan_limit;
  std::optional<Kilograms> mass_limit;
  std::optional<MetresPerSecond> speed_limit;
  std::optional<double> stated_grade;  ///< by the map, rise over run from `from` to `to`; the profile follows it
  std::string surface;
  std::vector<LatLon> geodetic;     ///< vertices from `from` to `to`, at least 2
  std::vector<LocalXY> line;        ///< the same in the local plane
  std::vector<double> chainage_m;   ///< geodesic way to each vertex; back() is the length
  std::vector<Knot> profile;        ///< at least 2 knots, first at 0, last at the length, ascending
  std::vector<double> grade_sd;     ///< of each profile interval (profile.size() - 1), rise over run
  double length_m = 0.0;
};

/// Turning from one arc into another at their node.
struct Movement {
  ArcId from{}, to{};
  /// Signed turn of the drawn lines (simplified to 0.3 m) at the node, right positive; |angle| ≤ 135° unless turn_round.
  float angle_rad = 0.0F;
  /// A turn of 180° on the runway at its end; only a backtrack may use it.
  bool turn_round = false;
};

struct RunwayEntry {
  NodeId node{};                     ///< on the centreline, where a taxiway joins
  double at_m = 0.0;                 ///< from the runway's front end
  std::vector<std::string> names;    ///< designators of the taxiways that join here, sorted, without ""
};

struct Runway {
  std::string id;
  std::string name;                        ///< "05/23"
  std::array<std::string, 2> designators;  ///< [0] takes off from front to back
  NodeId front{}, back{};                  ///< nodes at its two ends
  double length_m = 0.0;
  std::array<double, 2> displaced_m{};     ///< landing threshold in from front, from back
  double heading_rad = 0.0;                ///< front to back, planar, clockwise from north
  bool closed = false;
  std::array<bool, 2> no_take_off{}, no_landing{};  ///< by designator, of a runway that is not closed
  std::vector<SegmentId> segments;         ///< front to back
  std::vector<RunwayEntry> entries;        ///< front to back
};

struct Stand {
  std::string id;
  std::string ref;
  NodeId node{};  ///< where the aircraft stands: the free end of its line or connector
  bool approximate = false;
  bool closed = false;
  std::string apron{};  ///< name of the apron it lies on, "" where the map has none
};

struct HoldingPoint {
  std::string id;   ///< map id, or "assumed" ones: "assumed/1"
  std::string ref;  ///< "" where the map gives none
  NodeId node{};
  int runway = -1;  ///< the runway it protects, -1 where none is near
  bool assumed = false;
};

struct Network {
  std::string name, ident;
  std::optional<Metres> elevation;  ///< of the field, from the map
  LocalFrame frame;
  std::vector<Node> nodes;
  std::vector<Segment> segments;
  std::vector<Movement> movements;            ///< sorted by from, then to
  std::vector<std::uint32_t> first_movement;  ///< by arc: its movements are [first_movement[a], first_movement[a + 1])
  std::vector<std::uint32_t> first_out;       ///< by node, into out_arcs
  std::vector<ArcId> out_arcs;                ///< arcs that leave each node and may be driven (one-way respected)
  std::vector<Runway> runways;
  std::vector<Stand> stands;
  std::vector<HoldingPoint> holding_points;
  std::vector<std::uint32_t> component;       ///< by node: number of its connected part (direction ignored), 0 the longest
  std::size_t components = 0;
  std::vector<terrain::SourceFit> height_sources;  ///< how each source of heights fits
  double gradient_wander_per_m = 0.0;              ///< found for the field; 0 without heights
  std::size_t centrelines = 0;                ///< lines of the map that went in
  Findings findings;                          ///< airfield's and builder's

  [[nodiscard]] std::size_t arc_count() const { return 2 * segments.size(); }
  [[nodiscard]] const Segment& segment(ArcId a) const { return segments[index(segment_of(a))]; }
  [[nodiscard]] const Segment& segment(SegmentId s) const { return segments[index(s)]; }
  [[nodiscard]] const Node& node(NodeId n) const { return nodes[index(n)]; }
  [[nodiscard]] NodeId tail(ArcId a) const { return is_along(a) ? segment(a).from : segment(a).to; }
  [[nodiscard]] NodeId head(ArcId a) const { return is_along(a) ? segment(a).to : segment(a).from; }
  [[nodiscard]] bool may_drive(ArcId a) const {
    const OneWay w = segment(a).one_way;
    return w == OneWay::no || (w == OneWay::forward) == is_along(a);
  }
  [[nodiscard]] std::span<const Movement> movements_from(ArcId a) const {
    return {movements.data() + first_movement[index(a)], movements.data() + first_movement[index(a) + 1]};
  }
  [[nodiscard]] std::span<const ArcId> arcs_from(NodeId n) const {
    return {out_arcs.data() + first_out[index(n)], out_arcs.data() + first_out[index(n) + 1]};
  }
};

/// Position on a segment so many metres of way from its start; its end nodes beyond 0 and the length. Exact at vertices, and
/// straight in the local plane between them.
[[nodiscard]] LatLon position_at(const Network& network, const Segment& segment, double at_m);

}  // namespace solotaxi::network
