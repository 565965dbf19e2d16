// Ends of taxiways that miss what they plainly lead to: near misses, overshoots, and ends just short of a runway.
#include <fmt/format.h>

#include <algorithm>
#include <unordered_map>

#include "network/draft.hpp"
#include "network/piece_index.hpp"
#include "network/vertex_graph.hpp"

namespace solotaxi::network::detail {
namespace {

/// Ends that are shared by several lines are through-lines: joined only where they touch [m]; as in noding.
constexpr double kTouching = 0.1;
/// An end joined by this way to what it misses is joined already: ten times the gap, at least this [m]; assumed.
constexpr double kJoinedNearby = 8.0;
/// A taxiway within this of the direction to a runway's end is in line with it; assumed.
constexpr double kInLine = 30.0 * std::numbers::pi / 180.0;
/// A dead end joined by this way to the runway it lies beside is no entry to it [m]; assumed.
constexpr double kServedNearby = 250.0;
/// Dead ends that point at a runway from within this are reported where they are not joined [m]; assumed, half a wide
/// runway.
constexpr double kReportShort = 30.0;
/// An entry meets the runway at this angle at least; assumed, rapid exits have 25–45°.
constexpr double kEntryAngle = 15.0 * std::numbers::pi / 180.0;

struct End {
  std::uint32_t line = 0;
  bool front = false;
};

bool is_taxi(const DraftLine& line) { return line.like.kind == LineKind::taxiway || line.like.kind == LineKind::taxilane; }

std::vector<End> taxi_ends(const Draft& draft) {
  std::vector<End> ends;
  for (std::uint32_t l = 0; l < draft.lines.size(); ++l) {
    const auto& line = draft.lines[l];
    if (!is_taxi(line) || line.vertices.size() < 2) continue;
    ends.push_back({l, true});
    ends.push_back({l, false});
  }
  return ends;
}

VertexId vertex_of(const Draft& draft, End e) {
  const auto& v = draft.lines[e.line].vertices;
  return e.front ? v.front() : v.back();
}

/// Leaves out the few centimetres or decimetres by which a line runs past a crossing that the map does not have.
void trim_overshoots(Draft& draft) {
  const VertexGraph graph(draft);
  for (std::uint32_t l = 0; l < draft.lines.size(); ++l) {
    auto& line = draft.lines[l];
    if (line.is_runway() || line.vertices.size() < 3) continue;
    for (const bool front : {true, false}) {
      auto& v = line.vertices;
      if (graph.degree(front ? v.front() : v.back()) != 1) continue;
      double way = 0.0;
      std::size_t n = 1;
      for (; n + 1 < v.size(); ++n) {
        const VertexId outer = front ? v[n - 1] : v[v.size() - n], inner = front ? v[n] : v[v.size() - 1 - n];
        way += distance_m(draft.xy(outer), draft.xy(inner));
        if (way > draft.options.snap_m || graph.degree(inner) > 2) break;
      }
      if (n + 1 >= v.size() || way > draft.options.snap_m) continue;
      const VertexId junction = front ? v[n] : v[v.size() - 1 - n];
      if (draft.inserted.count({l, junction}) == 0) continue;
      draft.report(
          "overshoot", Severity::note, line.like.source_id, junction,
          fmt::format("{} runs {} past its junction to a dead end; that piece is left out.", describe(line), metres(way)));
      if (front)
        v.erase(v.begin(), v.begin() + static_cast<std::ptrdiff_t>(n));
      else
        v.erase(v.end() - static_cast<std::ptrdiff_t>(n), v.end());
    }
  }
}

class NearMisses {
 public:
  explicit NearMisses(Draft& draft) : draft_(draft), index_(draft), graph_(draft) {}

  void run() {
    for (const End e : taxi_ends(draft_)) {
      const VertexId v = vertex_of(draft_, e);
      if (!settled_.insert(v).second) continue;
      if (const auto target = find(e, v)) join(e, v, *target);
    }
    draft_.insert(insertions_);
    for (const auto& [end, to] : extended_) {
      auto& line = draft_.lines[end.line].vertices;
      line.insert(end.front ? line.begin() : line.end(), to);
    }
    for (auto& line : draft_.lines) {
      for (auto& v : line.vertices)
        for (auto it = merged_.find(v); it != merged_.end(); it = merged_.find(v)) v = it->second;
      line.vertices.erase(std::unique(line.vertices.begin(), line.vertices.end()), line.vertices.end());
    }
  }

 private:
  struct Target {
    Piece piece;
    Foot foot;
    VertexId vertex = kNoVertex;  ///< an existing vertex, else a new one at the foot
    double gap_m = 0.0;
  };

  [[nodiscard]] bool ends_line(VertexId v, std::uint32_t line) const {
    const auto& vertices = draft_.lines[line].vertices;
    return v == vertices.front() || v == vertices.back();
  }

  [[nodiscard]] std::optional<Target> find(End e, VertexId v) const {
    const double snap = draft_.options.snap_m;
    const LocalXY at = draft_.xy(v);
    const auto near = index_.near(at, snap);
    std::optional<Target> best;
    std::optional<std::vector<VertexGraph::Reached>> joined;
    for (const Piece p : near) {
      const auto& line = draft_.lines[p.line];
      const VertexId ends[] = {line.vertices[p.at], line.vertices[p.at + 1]};
      if (ends[0] == v || ends[1] == v) continue;
      Target t{p, foot(at, draft_.start(p), draft_.end(p)), kNoVertex, 0.0};
      t.gap_m = t.foot.distance_m;
      // An end of a line, or a vertex beside the foot, is met itself.
      for (const VertexId w : ends) {
        const double d = distance_m(at, draft_.xy(w));
        const bool line_end = ends_line(w, p.line) && graph_.degree(w) == 1 && !line.is_runway();
        if (d <= snap && (line_end || distance_m(t.foot.at, draft_.xy(w)) <= kSameVertex) &&
            (t.vertex == kNoVertex || d < t.gap_m)) {
          t.vertex = w;
          t.gap_m = d;
        }
      }
      if (t.gap_m > (graph_.degree(v) == 1 ? snap : kTouching)) continue;
      const bool end_to_end = t.vertex != kNoVertex && ends_line(t.vertex, p.line);
      if (line.level() != draft_.lines[e.line].level() && !end_to_end) continue;
      if (best && best->gap_m <= t.gap_m) continue;
      const double limit = std::max(kJoinedNearby, 10.0 * t.gap_m);
      if (!joined) joined = graph_.walk({&v, 1}, std::max(kJoinedNearby, 10.0 * snap), [](auto&, auto&) { return true; });
      const bool already = std::any_of(joined->begin(), joined->end(), [&](const auto& r) {
        return (r.vertex == ends[0] || r.vertex == ends[1]) &&
               r.way_m + distance_m(draft_.xy(r.vertex), t.foot.at) <= limit;
      });
      if (!already) best = t;
    }
    return best;
  }

  void join(End e, VertexId v, Target t) {
    const auto& line = draft_.lines[e.line];
    const auto& other = draft_.lines[t.piece.line];
    if (t.vertex == kNoVertex) {
      t.vertex = draft_.add_vertex(t.foot.at);
      insertions_.push_back({t.piece, t.foot.t, t.vertex});
    }
    settled_.insert(t.vertex);
    draft_.report("joined-near-miss", Severity::note, line.like.source_id, v,
                  fmt::format("An end of {} misses {} by {}; joined.", describe(line), describe(other), metres(t.gap_m)));
    const auto gap = heading(draft_.xy(v), draft_.xy(t.vertex));
    // A gap along the line's own heading is closed by going on; one to the side would make a kink, so there the end gives
    // way.
    const double aside = deflection(heading_out(draft_, line, e.front), gap).value();
    const bool goes_on = std::cos(aside) > 0.0 && t.gap_m * std::abs(std::sin(aside)) <= kDrawingNoise;
    if (graph_.degree(v) == 1 && goes_on && t.gap_m > kTouching)
      extended_.push_back({e, t.vertex});
    else if (merged_.count(t.vertex) == 0)
      merged_[v] = t.vertex;
  }

  Draft& draft_;
  PieceIndex index_;
  VertexGraph graph_;
  std::set<VertexId> settled_;
  std::vector<Insertion> insertions_;
  std::vector<std::pair<End, VertexId>> extended_;
  std::unordered_map<VertexId, VertexId> merged_;
};

class ShortOfRunway {
 public:
  explicit ShortOfRunway(Draft& draft) : draft_(draft), index_(draft), graph_(draft) {}

  void run() {
    for (const End e : taxi_ends(draft_))
      if (graph_.degree(vertex_of(draft_, e)) == 1) consider(e);
    draft_.insert(insertions_);
    for (const auto& [end, to] : extended_) {
      auto& line = draft_.lines[end.line].vertices;
      line.insert(end.front ? line.begin() : line.end(), to);
    }
  }

 private:
  struct Hit {
    Piece piece;
    double t = 0.0;
    double way_m = 0.0;  ///< from the end, along its heading
    LocalXY at;
    VertexId vertex = kNoVertex;  ///< the runway's own end, for a taxiway in line with it
  };

  /// Where the end's own heading, gone on, meets a runway of its level within `reach`.
  [[nodiscard]] std::optional<Hit> ahead(End e, double reach) const {
    const LocalXY from = draft_.xy(vertex_of(draft_, e));
    const auto& line = draft_.lines[e.line];
    const Radians out = heading_out(draft_, line, e.front);
    const LocalXY to = from + LocalXY{std::sin(out.value()), std::cos(out.value())} * (reach / std::sin(kEntryAngle));
    std::optional<Hit> best;
    for (const Piece p : index_.near(from, to, draft_.options.runway_reach_m)) {
      const auto& other = draft_.lines[p.line];
      if (!other.is_runway() || other.level() != line.level()) continue;
      const LocalXY a = draft_.start(p), b = draft_.end(p);
      for (const VertexId w : {other.vertices.front(), other.vertices.back()}) {
        const double way = distance_m(from, draft_.xy(w));
        if (w != other.vertices[p.at] && w != other.vertices[p.at + 1]) continue;
        if (way > draft_.options.runway_reach_m || (best && best->way_m <= way)) continue;
        if (std::abs(deflection(out, heading(from, draft_.xy(w))).value()) < kInLine)
          best = Hit{p, 0.0, way, draft_.xy(w), w};
      }
      LocalXY at;
      if (GEOSSegmentIntersection_r(draft_.geos.handle(), from.x_m, from.y_m, to.x_m, to.y_m, a.x_m, a.y_m, b.x_m, b.y_m,
                                    &at.x_m, &at.y_m) != 1)
        continue;
      if (foot(from, a, b).distance_m > reach) continue;
      const double way = distance_m(from, at);
      if (!best || way < best->way_m) best = Hit{p, foot(at, a, b).t, way, at, kNoVertex};
    }
    return best;
  }

  void consider(End e) {
    const VertexId v = vertex_of(draft_, e);
    const auto hit = ahead(e, std::max(kReportShort, draft_.options.runway_reach_m));
    if (!hit) return;
    const auto& line = draft_.lines[e.line];
    const auto& runway = draft_.lines[hit->piece.line];
    // A ring's own rule joins what ends on or inside it.
    if (!draft_.field.runways[static_cast<std::size_t>(runway.like.runway)].ring.empty()) return;
    const double gap = foot(draft_.xy(v), draft_.start(hit->piece), draft_.end(hit->piece)).distance_m;
    const auto reached = graph_.walk({&v, 1}, kServedNearby, [&](auto&, const VertexGraph::Edge& edge) {
      return !draft_.lines[edge.piece.line].is_runway();
    });
    const std::set<VertexId> on_runway(runway.vertices.begin(), runway.vertices.end());
    const auto meets = [&](VertexId w) { return on_runway.count(w) != 0; };
    const bool served = std::any_of(line.vertices.begin(), line.vertices.end(), meets) ||
                        std::any_of(reached.begin(), reached.end(), [&](const auto& r) { return meets(r.vertex); });
    if (gap > draft_.options.runway_reach_m || served) {
      draft_.report(
          "ends-short-of-runway", Severity::note, line.like.source_id, v,
          fmt::format("An end of {} points at {} and stops {} short of its centreline; not joined{}.", describe(line),
                      describe(runway), metres(gap), served ? ", its lines reach the runway nearby" : ""));
      return;
    }
    VertexId to = hit->vertex;
    if (to == kNoVertex) {
      to = draft_.add_vertex(hit->at);
      insertions_.push_back({hit->piece, hit->t, to});
    }
    extended_.push_back({e, to});
    draft_.report(
        "joined-to-runway", Severity::caution, line.like.source_id, v,
        fmt::format("{} stops {} short of {}, which it serves; joined.", describe(line), metres(gap), describe(runway)));
  }

  Draft& draft_;
  PieceIndex index_;
  VertexGraph graph_;
  std::vector<Insertion> insertions_;
  std::vector<std::pair<End, VertexId>> extended_;
};

}  // namespace

void join_ends(Draft& draft) {
  trim_overshoots(draft);
  NearMisses(draft).run();
  ShortOfRunway(draft).run();
}

}  // namespace solotaxi::network::detail
