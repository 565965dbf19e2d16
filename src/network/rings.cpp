// Runways drawn as their pavement edge: taxiways that end on or inside the ring are led on to the assumed centreline.
#include <fmt/format.h>

#include <algorithm>

#include "network/draft.hpp"
#include "network/piece_index.hpp"
#include "network/vertex_graph.hpp"

namespace solotaxi::network::detail {
namespace {

/// A connector along a taxiway's own heading is at most this many times as long as straight across: an angle of 15°;
/// assumed.
constexpr double kLongestSlant = 4.0;
/// Joined on this way inside the pavement, an end needs no connector [m]; assumed, a wide runway with room for a slant.
constexpr double kJoinedInside = 100.0;

class RingRunway {
 public:
  RingRunway(Draft& draft, std::size_t runway)
      : draft_(draft), line_(static_cast<std::uint32_t>(draft.first_runway_line() + runway)), graph_(draft) {
    std::vector<LocalXY> edge;
    for (const LatLon at : draft.field.runways[runway].ring) edge.push_back(draft.field.frame.to_local(at));
    if (!(edge.front() == edge.back())) edge.push_back(edge.front());
    low_ = high_ = edge.front();
    for (const LocalXY p : edge) {
      low_ = {std::min(low_.x_m, p.x_m), std::min(low_.y_m, p.y_m)};
      high_ = {std::max(high_.x_m, p.x_m), std::max(high_.y_m, p.y_m)};
    }
    pavement_ = geos_polygon(draft.geos, edge);
    runway_.assign(draft.vertices.size(), 0);
    for (const VertexId v : draft.lines[line_].vertices) runway_[v] = 1;
  }

  void run() {
    const auto lines = static_cast<std::uint32_t>(draft_.lines.size());
    std::set<VertexId> done;
    for (std::uint32_t l = 0; l < lines; ++l) {
      if (draft_.lines[l].is_runway() || draft_.lines[l].vertices.size() < 2) continue;
      if (draft_.lines[l].like.kind == LineKind::stand_line || draft_.lines[l].level() != draft_.lines[line_].level())
        continue;
      for (const bool front : {true, false}) {
        const auto& v = draft_.lines[l].vertices;
        const VertexId end = front ? v.front() : v.back();
        if (on_pavement(end) && !joined(end) && leads_in(l, front) && done.insert(end).second) connect(l, front, end);
      }
    }
    draft_.insert(insertions_);
  }

 private:
  [[nodiscard]] bool on_pavement(VertexId v) const {
    const LocalXY p = draft_.xy(v);
    const double snap = draft_.options.snap_m;
    if (p.x_m < low_.x_m - snap || p.x_m > high_.x_m + snap || p.y_m < low_.y_m - snap || p.y_m > high_.y_m + snap)
      return false;
    return geos_distance(draft_.geos, geos_point(draft_.geos, p).get(), pavement_.get()) <= snap;
  }

  /// Whether lines on the pavement lead from here to the centreline already.
  [[nodiscard]] bool joined(VertexId v) const {
    const auto reached = graph_.walk({&v, 1}, kJoinedInside, [&](const auto& from, const VertexGraph::Edge& e) {
      return runway_[from.vertex] == 0 && on_pavement(e.to);
    });
    return std::any_of(reached.begin(), reached.end(), [&](const auto& r) { return runway_[r.vertex] != 0; });
  }

  /// Nearest point of the centreline, and where it lies.
  struct Across {
    Piece piece;
    Foot foot;
  };
  [[nodiscard]] Across across(LocalXY p) const {
    Across best{{}, {0.0, {}, 1e300}};
    for (std::uint32_t i = 0; i + 1 < draft_.lines[line_].vertices.size(); ++i) {
      const Piece piece{line_, i};
      if (const Foot f = foot(p, draft_.start(piece), draft_.end(piece)); f.distance_m < best.foot.distance_m)
        best = {piece, f};
    }
    return best;
  }

  /// A line that ends at the edge leads onto the runway when it comes nearer to the centreline towards its end, and no
  /// other line goes on from that end outside.
  [[nodiscard]] bool leads_in(std::uint32_t l, bool front) const {
    const auto& v = draft_.lines[l].vertices;
    const LocalXY end = draft_.xy(front ? v.front() : v.back()), before = draft_.xy(front ? v[1] : v[v.size() - 2]);
    return across(end).foot.distance_m < across(before).foot.distance_m;
  }

  void connect(std::uint32_t l, bool front, VertexId end) {
    const LocalXY from = draft_.xy(end);
    Across to = across(from);
    const double reach = kLongestSlant * to.foot.distance_m;
    const Radians out = heading_out(draft_, draft_.lines[l], front);
    const LocalXY far = from + LocalXY{std::sin(out.value()), std::cos(out.value())} * reach;
    for (std::uint32_t i = 0; i + 1 < draft_.lines[line_].vertices.size(); ++i) {
      const Piece piece{line_, i};
      const LocalXY a = draft_.start(piece), b = draft_.end(piece);
      LocalXY at;
      if (GEOSSegmentIntersection_r(draft_.geos.handle(), from.x_m, from.y_m, far.x_m, far.y_m, a.x_m, a.y_m, b.x_m, b.y_m,
                                    &at.x_m, &at.y_m) == 1) {
        to = {piece, foot(at, a, b)};
        break;
      }
    }
    const VertexId on_line = centreline_vertex(to);
    draft_.add_connector(end, on_line, draft_.lines[l].like.source_id);
    draft_.report(
        "joined-to-ring-runway", Severity::note, draft_.lines[l].like.source_id, end,
        fmt::format("{} ends at the edge of {}, drawn as a ring; led on {} to its assumed centreline.",
                    describe(draft_.lines[l]), describe(draft_.lines[line_]), metres(distance_m(from, to.foot.at))));
  }

  /// A vertex of the centreline within the snap distance, so that taxiways that face each other meet, else a new one.
  VertexId centreline_vertex(const Across& to) {
    for (const VertexId v : draft_.lines[line_].vertices)
      if (distance_m(draft_.xy(v), to.foot.at) <= draft_.options.snap_m) return v;
    for (const auto& i : insertions_)
      if (distance_m(draft_.xy(i.vertex), to.foot.at) <= draft_.options.snap_m) return i.vertex;
    insertions_.push_back({to.piece, to.foot.t, draft_.add_vertex(to.foot.at)});
    return insertions_.back().vertex;
  }

  Draft& draft_;
  std::uint32_t line_;
  VertexGraph graph_;
  GeosGeometry pavement_;
  LocalXY low_, high_;
  std::vector<char> runway_;
  std::vector<Insertion> insertions_;
};

}  // namespace

void join_ring_runways(Draft& draft) {
  for (std::size_t r = 0; r < draft.field.runways.size(); ++r)
    if (draft.field.runways[r].ring.size() >= 4) RingRunway(draft, r).run();
}

}  // namespace solotaxi::network::detail
