// The network while it is being built: lines over a pool of shared vertices.
//
// Lines are noded by giving them common vertices; nothing is moved. The steps, in order (build.cpp), each in its own file:
// start_draft, node_lines, join_ends, join_ring_runways, join_stands, place_holding_points, mark_spikes, lay_out.
#pragma once

#include <cmath>
#include <cstdint>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "network/geos.hpp"
#include "solotaxi/network/build.hpp"

namespace solotaxi::network::detail {

/// A foot this near a vertex of the line uses that vertex [m]; assumed.
inline constexpr double kSameVertex = 0.5;

using VertexId = std::uint32_t;
inline constexpr VertexId kNoVertex = 0xFFFFFFFF;

struct DraftVertex {
  LatLon at;
  LocalXY xy;
  std::optional<double> height_m;
  std::int64_t ref = 0;
  bool height_is_tag = false;
};

struct DraftLine {
  Segment like;                    ///< its attributes; no geometry
  std::vector<VertexId> vertices;  ///< at least 2, no two neighbours equal
  [[nodiscard]] bool is_runway() const { return like.kind == LineKind::runway; }
  /// The level it lies on: its layer, else one up for a bridge and one down for a tunnel.
  [[nodiscard]] int level() const {
    if (like.layer != 0) return like.layer;
    return like.bridge ? 1 : like.tunnel ? -1 : 0;
  }
};

/// The straight between vertices `at` and `at + 1` of a line.
struct Piece {
  std::uint32_t line = 0, at = 0;
  friend auto operator<=>(const Piece&, const Piece&) = default;
};

/// A vertex to be put into a piece, at fraction t of it.
struct Insertion {
  Piece piece;
  double t = 0.0;
  VertexId vertex = kNoVertex;
};

struct DraftStand {
  std::size_t stand = 0;  ///< index into Airfield::stands
  VertexId vertex = kNoVertex;
};

struct DraftHold {
  std::string id, ref;
  VertexId vertex = kNoVertex;
  int runway = -1;
  bool assumed = false;
};

struct Draft {
  const airfield::Airfield& field;
  const BuildOptions& options;
  GeosContext geos;
  std::vector<DraftVertex> vertices;
  std::vector<DraftLine> lines;    ///< first the field's centrelines by index, then its runways, then connectors
  std::vector<char> must_be_node;  ///< by vertex: a stand, holding position or spike
  std::set<std::pair<std::uint32_t, VertexId>> inserted;  ///< line, vertex: not drawn in it by the map
  std::vector<DraftStand> stands;
  std::vector<DraftHold> holds;
  Findings findings;

  Draft(const airfield::Airfield& f, const BuildOptions& o) : field(f), options(o) {}

  [[nodiscard]] LocalXY xy(VertexId v) const { return vertices[v].xy; }
  [[nodiscard]] LocalXY start(Piece p) const { return xy(lines[p.line].vertices[p.at]); }
  [[nodiscard]] LocalXY end(Piece p) const { return xy(lines[p.line].vertices[p.at + 1]); }
  [[nodiscard]] std::size_t first_runway_line() const { return field.centrelines.size(); }
  VertexId add_vertex(LocalXY xy);
  VertexId add_vertex(const DraftVertex& v);
  /// A straight of our own between two vertices.
  void add_connector(VertexId from, VertexId to, const std::string& source_id);
  /// Puts vertices into their lines and empties the list. Pieces are those before the call.
  void insert(std::vector<Insertion>& insertions);
  void report(std::string code, Severity severity, const std::string& id, LatLon at, std::string text);
  void report(std::string code, Severity severity, const std::string& id, VertexId at, std::string text) {
    report(std::move(code), severity, id, vertices[at].at, std::move(text));
  }
};

/// A finding at a place, or about the whole field where there is none.
[[nodiscard]] Finding finding_at(std::string code, Severity severity, const std::string& id, std::optional<LatLon> at,
                                 std::string text);

/// "taxiway A (way/7)", "unnamed taxilane (way/8)", "runway 05/23 (way/9)".
[[nodiscard]] std::string describe(const DraftLine& line);
/// "1.46 m".
[[nodiscard]] std::string metres(double m);

/// Heading out of a line beyond its first or last vertex, from the line simplified to the drawing noise.
[[nodiscard]] Radians heading_out(const Draft& draft, const DraftLine& line, bool at_front);

/// Nearest point of the straight a–b to p.
struct Foot {
  double t = 0.0;  ///< 0 at a … 1 at b
  LocalXY at;
  double distance_m = 0.0;
};
[[nodiscard]] inline Foot foot(LocalXY p, LocalXY a, LocalXY b) {
  const LocalXY d = b - a;
  const double len2 = d.x_m * d.x_m + d.y_m * d.y_m;
  double t = len2 > 0.0 ? ((p.x_m - a.x_m) * d.x_m + (p.y_m - a.y_m) * d.y_m) / len2 : 0.0;
  t = t < 0.0 ? 0.0 : t > 1.0 ? 1.0 : t;
  const LocalXY at = a + d * t;
  return {t, at, std::hypot(p.x_m - at.x_m, p.y_m - at.y_m)};
}

void start_draft(Draft& draft);           ///< draft.cpp: vertices by shared ref or equal position, lines over them
void node_lines(Draft& draft);            ///< noding.cpp: crossings and T-junctions
void join_ends(Draft& draft);             ///< joining.cpp: near-miss ends, ends just short of a runway
void join_ring_runways(Draft& draft);     ///< rings.cpp: ends on or inside a runway drawn as its edge
void join_stands(Draft& draft);           ///< stands.cpp
void place_holding_points(Draft& draft);  ///< holding.cpp
void unite_places(Draft& draft);          ///< draft.cpp: neighbours on a line that lie at one place become one vertex
void mark_spikes(Draft& draft);           ///< noding.cpp: places where a way turns back, loops without a node

[[nodiscard]] Network lay_out(Draft& draft);  ///< layout.cpp: nodes, segments, stands, holding points
void measure(Segment& segment);               ///< layout.cpp: chainage and length from its vertices
void index_arcs(Network& network);            ///< layout.cpp: arcs that leave each node
void lay_out_runways(Network& network, const airfield::Airfield& field);  ///< runways.cpp: ends, entries
/// runways.cpp: segments, heading, length and entries of a runway whose `front` and `back` are known. Throws Error (data).
void measure_runways(Network& network);
void add_movements(Network& network, const GeosContext& geos);  ///< movements.cpp
void number_components(Network& network);                       ///< components.cpp
void report_parts(Network& network);                            ///< components.cpp
/// stated_grade.cpp: profiles of segments whose grade the map states. Whether there are any.
bool follow_stated_grades(Network& network);
void add_profiles(Network& network, const Draft& draft,
                  std::span<const terrain::HeightSource* const> sources);  ///< profile.cpp

}  // namespace solotaxi::network::detail
