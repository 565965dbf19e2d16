// Stands: the free end of their line, a point on the network, or a point joined to it by a connector.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <unordered_map>

#include "network/draft.hpp"
#include "network/piece_index.hpp"
#include "network/vertex_graph.hpp"

namespace solotaxi::network::detail {
namespace {

/// A gate is served by a taxiway node within this [m]; assumed, half the length of a large aircraft and its taxilane's
/// clearance.
constexpr double kGateReach = 200.0;
/// A stand's line this near is a stand's own, and nearer than the taxiway is taken before it [m]; assumed.
constexpr double kBeside = 10.0;

class Stands {
 public:
  explicit Stands(Draft& draft) : draft_(draft) {
    for (VertexId v = 0; v < draft.vertices.size(); ++v)
      if (draft.vertices[v].ref != 0) by_ref_.emplace(draft.vertices[v].ref, v);
  }

  void run() {
    refresh();
    join_hanging_lines();
    draft_.insert(insertions_);
    for (const auto& [end, to] : extended_) {
      auto& line = draft_.lines[end.first].vertices;
      line.insert(end.second ? line.begin() : line.end(), to);
    }
    refresh();
    for (std::size_t i = 0; i < draft_.field.stands.size(); ++i) {
      const auto& stand = draft_.field.stands[i];
      const VertexId v = stand.line ? free_end(*stand.line) : stand.approximate ? gate(i) : point(i);
      if (v == kNoVertex) continue;
      draft_.must_be_node[v] = 1;
      draft_.stands.push_back({i, v});
    }
    draft_.insert(insertions_);
  }

 private:
  void refresh() {
    index_.emplace(draft_);
    graph_.emplace(draft_);
  }

  struct Near {
    Piece piece;
    Foot foot;
  };

  /// Pieces within reach that `wanted` lets pass, nearest first.
  template <typename Wanted>
  [[nodiscard]] std::vector<Near> nearest(LocalXY p, double reach, Wanted wanted) const {
    std::vector<Near> found;
    for (const Piece piece : index_->near(p, reach)) {
      if (draft_.lines[piece.line].is_runway() || !wanted(draft_.lines[piece.line], piece)) continue;
      const Foot f = foot(p, draft_.start(piece), draft_.end(piece));
      if (f.distance_m <= reach) found.push_back({piece, f});
    }
    std::stable_sort(found.begin(), found.end(),
                     [](const Near& a, const Near& b) { return a.foot.distance_m < b.foot.distance_m; });
    return found;
  }

  static bool is_taxi(const DraftLine& line) {
    return line.like.kind == LineKind::taxiway || line.like.kind == LineKind::taxilane;
  }

  [[nodiscard]] bool crosses_runway(LocalXY a, LocalXY b) const {
    for (const Piece p : index_->near(a, b, 0.0)) {
      if (!draft_.lines[p.line].is_runway()) continue;
      const LocalXY c = draft_.start(p), d = draft_.end(p);
      LocalXY at;
      if (GEOSSegmentIntersection_r(draft_.geos.handle(), a.x_m, a.y_m, b.x_m, b.y_m, c.x_m, c.y_m, d.x_m, d.y_m, &at.x_m,
                                    &at.y_m) == 1)
        return true;
    }
    return false;
  }

  VertexId vertex_at(const Near& n) {
    const auto& v = draft_.lines[n.piece.line].vertices;
    for (const VertexId w : {v[n.piece.at], v[n.piece.at + 1]})
      if (distance_m(draft_.xy(w), n.foot.at) <= kSameVertex) return w;
    for (const auto& i : insertions_)
      if (i.piece == n.piece && distance_m(draft_.xy(i.vertex), n.foot.at) <= kSameVertex) return i.vertex;
    insertions_.push_back({n.piece, n.foot.t, draft_.add_vertex(n.foot.at)});
    return insertions_.back().vertex;
  }

  /// The nearest way onto the network without crossing a runway: a stand's line close by, else a taxiway or taxilane, else
  /// another stand's line.
  template <typename Allowed>
  [[nodiscard]] std::optional<Near> way_on(LocalXY from, Allowed allowed) const {
    const auto first = [&](double reach, bool taxi) -> std::optional<Near> {
      for (const Near& n :
           nearest(from, reach, [&](const DraftLine&l, Piece p) { return is_taxi(l) == taxi && allowed(p); }))
        if (!crosses_runway(from, n.foot.at)) return n;
      return std::nullopt;
    };
    const double reach = draft_.options.stand_reach_m;
    const auto beside = first(std::min(kBeside, reach), false), taxi = first(reach, true);
    if (beside && (!taxi || beside->foot.distance_m < taxi->foot.distance_m)) return beside;
    return taxi ? taxi : first(reach, false);
  }

  /// Groups of stand lines that meet one another and nothing else, by line; -1 for lines that are on the network.
  [[nodiscard]] std::vector<int> hanging_groups() const {
    std::vector<int> group(draft_.lines.size(), -1);
    std::vector<char> seen(draft_.lines.size(), 0);
    int count = 0;
    for (std::uint32_t l = 0; l < draft_.first_runway_line(); ++l) {
      if (draft_.lines[l].like.kind != LineKind::stand_line || draft_.lines[l].vertices.size() < 2 || seen[l] != 0)
        continue;
      std::vector<std::uint32_t> members{l};
      seen[l] = 1;
      bool hangs = true;
      for (std::size_t i = 0; i < members.size(); ++i)
        for (const VertexId v : draft_.lines[members[i]].vertices)
          for (const auto& e : graph_->at(v)) {
            const auto other = e.piece.line;
            if (draft_.lines[other].like.kind != LineKind::stand_line)
              hangs = false;
            else if (seen[other] == 0) {
              seen[other] = 1;
              members.push_back(other);
            }
          }
      if (hangs)
        for (const auto m : members) group[m] = count;
      ++count;
    }
    return group;
  }

  /// Joins each group of stand lines that hangs free, by its end nearest to the network.
  void join_hanging_lines() {
    struct Join {
      std::uint32_t line = 0;
      bool front = false;
      Near to;
    };
    const auto group = hanging_groups();
    std::map<int, Join> best;
    for (std::uint32_t l = 0; l < draft_.first_runway_line(); ++l) {
      if (group[l] < 0) continue;
      const auto& v = draft_.lines[l].vertices;
      // The map draws them from taxiway to stand as a rule: the first vertex wins a draw.
      for (const bool front : {true, false})
        if (const auto n = way_on(draft_.xy(front ? v.front() : v.back()), [&](Piece p) { return group[p.line] < 0; })) {
          const auto it = best.find(group[l]);
          if (it == best.end() || n->foot.distance_m < it->second.to.foot.distance_m - 1e-6)
            best[group[l]] = {l, front, *n};
        }
    }
    for (const auto& [number, j] : best) join_line(j.line, j.front, j.to);
  }

  void join_line(std::uint32_t l, bool front, const Near& n) {
    const auto& v = draft_.lines[l].vertices;
    const VertexId end = front ? v.front() : v.back(), to = vertex_at(n);
    const double gap = distance_m(draft_.xy(end), draft_.xy(to));
    const std::string text = describe(draft_.lines[l]), other = describe(draft_.lines[n.piece.line]),
                      id = draft_.lines[l].like.source_id;
    if (gap <= draft_.options.snap_m) {
      extended_.push_back({{l, front}, to});
      draft_.report("joined-near-miss", Severity::note, id, end,
                    fmt::format("An end of {} misses {} by {}; joined.", text, other, metres(gap)));
    } else {
      draft_.add_connector(end, to, id);
      draft_.report(
          "stand-connector", Severity::caution, id, end,
          fmt::format("{} ends {} from {}; joined by a connector that the map does not have.", text, metres(gap), other));
    }
  }

  /// Where the aircraft stands on its line: the end that leads nowhere else, the last one where the line leads through.
  [[nodiscard]] VertexId free_end(std::size_t l) const {
    const auto& v = draft_.lines[l].vertices;
    if (v.size() < 2) return kNoVertex;
    const auto open = [&](VertexId w) { return graph_->degree(w) == 1; };
    const auto on_taxiway = [&](VertexId w) {
      const auto edges = graph_->at(w);
      return std::any_of(edges.begin(), edges.end(),
                         [&](const auto& e) { return draft_.lines[e.piece.line].like.kind != LineKind::stand_line; });
    };
    const VertexId first = v.front(), last = v.back();
    if (open(first) != open(last)) return open(first) ? first : last;
    return on_taxiway(last) && !on_taxiway(first) ? first : last;
  }

  [[nodiscard]] VertexId drawn_vertex(std::int64_t ref) const {
    if (ref == 0) return kNoVertex;
    const auto it = by_ref_.find(ref);
    return it != by_ref_.end() && graph_->degree(it->second) > 0 ? it->second : kNoVertex;
  }

  VertexId point(std::size_t i) {
    const auto& stand = draft_.field.stands[i];
    if (const VertexId v = drawn_vertex(stand.vertex_ref); v != kNoVertex) return v;
    const LocalXY at = draft_.field.frame.to_local(stand.at);
    const auto on = nearest(at, draft_.options.snap_m, [](auto&, auto) { return true; });
    if (!on.empty()) return vertex_at(on.front());
    const auto n = way_on(at, [](Piece) { return true; });
    if (!n) {
      draft_.report(
          "stand-off-network", Severity::caution, stand.id, stand.at,
          fmt::format("Stand {} lies more than {:.0f} m from every taxiway, or behind a runway; it cannot be used.",
                      name(stand), draft_.options.stand_reach_m));
      return kNoVertex;
    }
    const VertexId v = draft_.add_vertex({stand.at, at, std::nullopt, stand.vertex_ref});
    const VertexId to = vertex_at(*n);
    draft_.add_connector(v, to, stand.id);
    draft_.report("stand-connector", Severity::caution, stand.id, stand.at,
                  fmt::format("Stand {} lies {} from {}; joined by a connector that the map does not have.", name(stand),
                              metres(n->foot.distance_m), describe(draft_.lines[n->piece.line])));
    return v;
  }

  /// The taxiway node nearest to a gate on a building.
  VertexId gate(std::size_t i) {
    const auto& stand = draft_.field.stands[i];
    const LocalXY at = draft_.field.frame.to_local(stand.at);
    VertexId best = kNoVertex;
    double best_m = kGateReach;
    for (const Piece p : index_->near(at, kGateReach)) {
      const auto& line = draft_.lines[p.line];
      if (!is_taxi(line)) continue;
      for (const VertexId v : {line.vertices[p.at], line.vertices[p.at + 1]}) {
        const bool node = graph_->degree(v) != 2 || v == line.vertices.front() || v == line.vertices.back();
        if (const double d = distance_m(at, draft_.xy(v)); node && d < best_m && !crosses_runway(at, draft_.xy(v))) {
          best = v;
          best_m = d;
        }
      }
    }
    if (best == kNoVertex)
      draft_.report("stand-off-network", Severity::caution, stand.id, stand.at,
                    fmt::format("No taxiway node within {:.0f} m of gate {}; it cannot be used.", kGateReach, name(stand)));
    else
      draft_.report(
          "gate-as-stand", Severity::note, stand.id, stand.at,
          fmt::format("Gate {} stands for a stand: the taxiway node {} away is used.", name(stand), metres(best_m)));
    return best;
  }

  static std::string name(const airfield::Stand& s) { return s.ref.empty() ? "(" + s.id + ")" : s.ref + " (" + s.id + ")"; }

  Draft& draft_;
  std::optional<PieceIndex> index_;
  std::optional<VertexGraph> graph_;
  std::unordered_map<std::int64_t, VertexId> by_ref_;
  std::vector<Insertion> insertions_;
  std::vector<std::pair<std::pair<std::uint32_t, bool>, VertexId>> extended_;
};

}  // namespace

void join_stands(Draft& draft) { Stands(draft).run(); }

}  // namespace solotaxi::network::detail
