// Holding points: the map's, put on the network and given to their runway, and assumed ones where a runway has none.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <tuple>
#include <unordered_map>

#include "network/draft.hpp"
#include "network/piece_index.hpp"
#include "network/vertex_graph.hpp"

namespace solotaxi::network::detail {
namespace {

/// A holding position this far from a line belongs to it [m]; assumed, half the width of the widest taxiway.
constexpr double kOffLine = 15.0;
/// How far from a runway its holding positions are looked for, along the way and straight [m]; assumed.
constexpr double kHoldReach = 250.0;

/// A vertex this little short of the assumed distance is at it [m]: the last digit OpenStreetMap stores.
constexpr double kDrawn = 0.01;

/// The places where taxiways leave one runway, and whether some way out of each meets a holding point. Entries whose ways
/// out run together are one.
class Entries {
 public:
  void open(VertexId v, bool guarded) {
    parent_.try_emplace(v, v);
    guarded_[v] = guarded_[v] || guarded;
  }
  /// The way out over `from` goes on to `to`.
  void lead(VertexId from, VertexId to) {
    const VertexId a = find(from);
    const auto [it, fresh] = parent_.try_emplace(to, a);
    if (fresh) return;
    const VertexId b = find(to);
    if (a == b) return;
    parent_[b] = a;
    joined_[a] += joined_[b] + 1;
    if (guarded_[b]) guarded_[a] = true;
  }
  void guard(VertexId from) { guarded_[find(from)] = true; }
  [[nodiscard]] std::size_t unguarded() {
    std::size_t n = 0;
    for (const auto& [v, guarded] : guarded_)
      if (!guarded && find(v) == v) n += 1 + joined_[v];
    return n;
  }

 private:
  VertexId find(VertexId v) {
    while (parent_[v] != v) v = parent_[v];
    return v;
  }
  std::unordered_map<VertexId, VertexId> parent_;
  std::unordered_map<VertexId, std::size_t> joined_;
  std::unordered_map<VertexId, bool> guarded_;
};

class Holding {
 public:
  explicit Holding(Draft& draft) : draft_(draft), far_enough_(draft.options.assumed_hold_m - kDrawn) {}

  void run() {
    place_mapped();
    draft_.insert(insertions_);
    const VertexGraph graph(draft_);
    assign(graph);
    assume(graph);
    draft_.insert(insertions_);
    for (const auto& h : draft_.holds) draft_.must_be_node[h.vertex] = 1;
  }

 private:
  void place_mapped() {
    std::unordered_map<std::int64_t, VertexId> by_ref;
    std::vector<char> used(draft_.vertices.size(), 0);
    for (const auto& line : draft_.lines)
      if (line.vertices.size() > 1 && !line.is_runway())
        for (const VertexId v : line.vertices) used[v] = 1;
    for (VertexId v = 0; v < draft_.vertices.size(); ++v)
      if (used[v] != 0 && draft_.vertices[v].ref != 0) by_ref.emplace(draft_.vertices[v].ref, v);
    const PieceIndex index(draft_);
    for (const auto& h : draft_.field.holding_positions) {
      VertexId v = kNoVertex;
      if (const auto it = by_ref.find(h.at.ref); h.at.ref != 0 && it != by_ref.end())
        v = it->second;
      else
        v = beside_line(index, h);
      if (v == kNoVertex) continue;
      draft_.holds.push_back({h.id, h.ref, v, -1, false});
      intermediate_.push_back(h.type == "intermediate");
    }
  }

  VertexId beside_line(const PieceIndex& index, const airfield::HoldingPosition& h) {
    const LocalXY at = draft_.field.frame.to_local(h.at.at);
    std::optional<Piece> best;
    Foot best_foot{0.0, {}, kOffLine};
    for (const Piece p : index.near(at, kOffLine)) {
      const auto kind = draft_.lines[p.line].like.kind;
      if (kind != LineKind::taxiway && kind != LineKind::taxilane) continue;
      if (const Foot f = foot(at, draft_.start(p), draft_.end(p)); f.distance_m < best_foot.distance_m) {
        best = p;
        best_foot = f;
      }
    }
    if (!best) {
      draft_.report(
          "holding-position-off-network", Severity::caution, h.id, h.at.at,
          fmt::format("Holding position {} lies more than {:.0f} m from every taxiway; left out.", h.ref, kOffLine));
      return kNoVertex;
    }
    if (best_foot.distance_m > draft_.options.snap_m)
      draft_.report("holding-position-moved", Severity::note, h.id, h.at.at,
                    fmt::format("Holding position {} lies {} beside {}; put on it.", h.ref, metres(best_foot.distance_m),
                                describe(draft_.lines[best->line])));
    const auto& v = draft_.lines[best->line].vertices;
    for (const VertexId w : {v[best->at], v[best->at + 1]})
      if (distance_m(draft_.xy(w), best_foot.at) <= kSameVertex && !on_a_runway(w)) return w;
    insertions_.push_back({*best, best_foot.t, draft_.add_vertex(best_foot.at)});
    return insertions_.back().vertex;
  }

  [[nodiscard]] bool on_a_runway(VertexId v) const {
    for (std::size_t r = 0; r < draft_.field.runways.size(); ++r) {
      const auto& line = runway(r).vertices;
      if (std::find(line.begin(), line.end(), v) != line.end()) return true;
    }
    return false;
  }

  [[nodiscard]] const DraftLine& runway(std::size_t r) const { return draft_.lines[draft_.first_runway_line() + r]; }

  [[nodiscard]] double from_centreline(LocalXY p, std::size_t r) const {
    double best = std::numeric_limits<double>::infinity();
    const auto& v = runway(r).vertices;
    for (std::size_t i = 0; i + 1 < v.size(); ++i)
      best = std::min(best, foot(p, draft_.xy(v[i]), draft_.xy(v[i + 1])).distance_m);
    return best;
  }

  /// Out of a runway over taxiways, no farther than the first holding point on each way and never over another runway.
  template <typename OnEdge>
  std::vector<VertexGraph::Reached> walk_out(const VertexGraph& graph, std::size_t r, const std::vector<char>& hold,
                                             const std::vector<char>& on_runway, OnEdge on_edge) const {
    const auto& starts = runway(r).vertices;
    return graph.walk(starts, kHoldReach, [&](const VertexGraph::Reached& from, const VertexGraph::Edge& e) {
      if (draft_.lines[e.piece.line].is_runway() || hold[from.vertex] != 0) return false;
      if (on_runway[from.vertex] != 0 && from.way_m > 0.0) return false;
      return on_edge(from, e);
    });
  }

  [[nodiscard]] std::vector<char> hold_vertices() const {
    std::vector<char> hold(draft_.vertices.size(), 0);
    for (std::size_t i = 0; i < draft_.holds.size(); ++i)
      if (!draft_.holds[i].assumed && !intermediate_[i]) hold[draft_.holds[i].vertex] = 1;
    return hold;
  }

  [[nodiscard]] std::vector<char> runway_vertices() const {
    std::vector<char> on(draft_.vertices.size(), 0);
    for (std::size_t r = 0; r < draft_.field.runways.size(); ++r)
      for (const VertexId v : runway(r).vertices) on[v] = 1;
    return on;
  }

  /// Each mapped holding point protects the runway from which the way out meets it first, else the nearest within reach.
  void assign(const VertexGraph& graph) {
    const auto hold = hold_vertices(), on_runway = runway_vertices();
    std::unordered_map<VertexId, std::pair<double, int>> met;
    for (std::size_t r = 0; r < draft_.field.runways.size(); ++r)
      for (const auto& reached : walk_out(graph, r, hold, on_runway, [](auto&, auto&) { return true; }))
        if (hold[reached.vertex] != 0) {
          const auto [it, fresh] = met.try_emplace(reached.vertex, reached.way_m, static_cast<int>(r));
          if (!fresh && reached.way_m < it->second.first) it->second = {reached.way_m, static_cast<int>(r)};
        }
    for (std::size_t i = 0; i < draft_.holds.size(); ++i) {
      auto& h = draft_.holds[i];
      if (intermediate_[i]) continue;
      if (const auto it = met.find(h.vertex); it != met.end()) {
        h.runway = it->second.second;
        continue;
      }
      double best = kHoldReach;
      for (std::size_t r = 0; r < draft_.field.runways.size(); ++r)
        if (const double d = from_centreline(draft_.xy(h.vertex), r); d < best) {
          best = d;
          h.runway = static_cast<int>(r);
        }
      if (h.runway < 0)
        draft_.report("holding-position-without-runway", Severity::note, h.id, h.vertex,
                      fmt::format("Holding position {} is near no runway.", h.ref));
    }
  }

  /// Where the way over an edge away from the runway reaches the assumed distance, as a fraction of the way from a to b.
  [[nodiscard]] double reaches(LocalXY a, LocalXY b, std::size_t r) const {
    double low = 0.0, high = 1.0;
    for (int i = 0; i < 40; ++i) {
      const double mid = (low + high) / 2.0;
      (from_centreline(a + (b - a) * mid, r) < far_enough_ ? low : high) = mid;
    }
    return high;
  }

  /// An edge on the way out of a runway that passes the assumed distance.
  struct Crossing {
    VertexGraph::Reached from;
    VertexGraph::Edge edge;
    double t = 0.0;   ///< where along the edge, away from the runway
    long way_cm = 0;  ///< from the runway to there
  };

  /// Whether the way out, up to where it divides, meets a mapped holding point beyond the assumed distance.
  [[nodiscard]] bool hold_farther_out(const VertexGraph& graph, const Crossing& c, const std::set<Piece>& inner,
                                      const std::vector<char>& hold, const std::vector<char>& on_runway) const {
    double way = c.from.way_m + c.edge.length_m;
    VertexId at = c.edge.to;
    Piece came = c.edge.piece;
    while (way <= kHoldReach && on_runway[at] == 0) {
      if (hold[at] != 0) return true;
      const VertexGraph::Edge* onward = nullptr;
      for (const auto& e : graph.at(at)) {
        if (e.piece == came || inner.count(e.piece) != 0) continue;
        if (onward != nullptr) return false;
        onward = &e;
      }
      if (onward == nullptr) return false;
      came = onward->piece;
      way += onward->length_m;
      at = onward->to;
    }
    return false;
  }

  void assume(const VertexGraph& graph) {
    const auto hold = hold_vertices(), on_runway = runway_vertices();
    int count = 0;
    for (std::size_t r = 0; r < draft_.field.runways.size(); ++r) {
      Entries entries;
      std::vector<Crossing> crossings;
      std::set<Piece> inner;  // pieces that lead toward the runway
      for (const VertexId v : runway(r).vertices)
        for (const auto& e : graph.at(v))
          if (!draft_.lines[e.piece.line].is_runway()) entries.open(v, hold[v] != 0);
      walk_out(graph, r, hold, on_runway, [&](const VertexGraph::Reached& from, const VertexGraph::Edge& e) {
        const double a = from_centreline(draft_.xy(from.vertex), r), b = from_centreline(draft_.xy(e.to), r);
        inner.insert(e.piece);
        if (hold[e.to] != 0 || b < far_enough_) {
          entries.lead(from.vertex, e.to);
          if (hold[e.to] != 0) entries.guard(from.vertex);
          return true;
        }
        if (a < far_enough_ && on_runway[e.to] == 0) crossings.push_back({from, e, 0.0, 0});
        return false;
      });
      std::erase_if(crossings, [&](const Crossing& c) {
        entries.guard(c.from.vertex);
        return hold_farther_out(graph, c, inner, hold, on_runway);
      });
      for (auto& c : crossings) {
        c.t = reaches(draft_.xy(c.from.vertex), draft_.xy(c.edge.to), r);
        c.way_cm = std::lround(100.0 * (c.from.way_m + c.t * c.edge.length_m));
      }
      // Numbered by way, then by line, so that the number does not hang on how finely lines are drawn.
      std::sort(crossings.begin(), crossings.end(), [](const Crossing& c, const Crossing& d) {
        return std::tie(c.way_cm, c.edge.piece) < std::tie(d.way_cm, d.edge.piece);
      });
      std::set<VertexId> made;
      for (const auto& c : crossings)
        if (const VertexId v = split(c.from.vertex, c.edge, c.t, on_runway); made.insert(v).second)
          draft_.holds.push_back({"assumed/" + std::to_string(++count), "", v, static_cast<int>(r), true});
      report(r, made.size(), entries.unguarded());
    }
  }

  /// The vertex at fraction t of an edge, one of its ends where that is near (but the runway's).
  VertexId split(VertexId from, const VertexGraph::Edge& e, double t, const std::vector<char>& on_runway) {
    if ((1.0 - t) * e.length_m <= kSameVertex) return e.to;
    if (t * e.length_m <= kSameVertex && on_runway[from] == 0) return from;
    const LocalXY at = draft_.xy(from) + (draft_.xy(e.to) - draft_.xy(from)) * t;
    const bool along = draft_.lines[e.piece.line].vertices[e.piece.at] == from;
    insertions_.push_back({e.piece, along ? t : 1.0 - t, draft_.add_vertex(at)});
    return insertions_.back().vertex;
  }

  void report(std::size_t r, std::size_t made, std::size_t open) {
    const auto& line = runway(r);
    const VertexId middle = line.vertices[line.vertices.size() / 2];
    if (made > 0)
      draft_.report(
          "assumed-holding-points", Severity::caution, line.like.source_id, middle,
          fmt::format("{}: {} way(s) onto it have no holding position in the map; assumed {:.0f} m from the centreline.",
                      describe(line), made, draft_.options.assumed_hold_m));
    if (open > 0)
      draft_.report(
          "no-holding-point", Severity::caution, line.like.source_id, middle,
          fmt::format("{}: {} place(s) where taxiways join it have no holding position in the map and none could be "
                      "assumed, as the way out does not reach {:.0f} m from the centreline within {:.0f} m.",
                      describe(line), open, draft_.options.assumed_hold_m, kHoldReach));
  }

  Draft& draft_;
  double far_enough_;               ///< from the centreline, for an assumed holding point [m]
  std::vector<bool> intermediate_;  ///< by index of the mapped holds
  std::vector<Insertion> insertions_;
};

}  // namespace

void place_holding_points(Draft& draft) { Holding(draft).run(); }

}  // namespace solotaxi::network::detail
