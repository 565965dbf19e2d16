// Common vertices where lines of one level cross or touch, and nodes where a way turns back on itself.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

#include "network/draft.hpp"
#include "network/piece_index.hpp"

namespace solotaxi::network::detail {
namespace {

/// A vertex this near a line lies on it [m]: ten units of the last digit OpenStreetMap stores; assumed.
constexpr double kOnLine = 0.1;
/// A way that turns more than this turns back [the ground-movement model, section 2].
constexpr double kTurnsBack = 135.0 * std::numbers::pi / 180.0;

class Noding {
 public:
  explicit Noding(Draft& draft) : draft_(draft), index_(draft) {}

  void run() {
    for (const Piece p : index_.all()) {
      const auto near = index_.near(draft_.start(p), draft_.end(p), kOnLine);
      for (const Piece q : near)
        if (p < q) meet(p, q);
    }
    draft_.insert(insertions_);
  }

 private:
  [[nodiscard]] std::array<VertexId, 2> ends(Piece p) const {
    const auto& v = draft_.lines[p.line].vertices;
    return {v[p.at], v[p.at + 1]};
  }

  void meet(Piece p, Piece q) {
    const bool one_line = p.line == q.line;
    if (one_line && q.at == p.at + 1) return;
    const auto a = ends(p), b = ends(q);
    if (one_line && (a[0] == b[1] || a[1] == b[0])) return;  // closing piece of a loop
    const auto& la = draft_.lines[p.line];
    const auto& lb = draft_.lines[q.line];
    const bool share = a[0] == b[0] || a[0] == b[1] || a[1] == b[0] || a[1] == b[1];
    if (la.level() != lb.level()) {
      if (!share) note_passing(p, q);
      return;
    }
    bool touched = share;
    for (const VertexId v : a)
      if (v != b[0] && v != b[1]) touched |= touch(v, p, q);
    for (const VertexId v : b)
      if (v != a[0] && v != a[1]) touched |= touch(v, q, p);
    if (!touched) cross(p, q);
  }

  /// Puts vertex v of piece `of` into piece `on` where it lies on it.
  bool touch(VertexId v, Piece of, Piece on) {
    const Foot f = foot(draft_.xy(v), draft_.start(on), draft_.end(on));
    if (f.distance_m > kOnLine) return false;
    for (const VertexId w : ends(on)) {
      if (distance_m(draft_.xy(v), draft_.xy(w)) > kOnLine) continue;
      // Beside a vertex w of the piece. Two ends of lines are the matter of join_ends; where w ends its line, it is w that
      // goes into the other line; of two inner vertices one goes into the other's line.
      if (is_end(w, on.line) || (v > w && !is_end(v, of.line))) return true;
    }
    if (!put_.insert({on.line, v}).second) return true;  // beside a bend it lies on both straights
    insertions_.push_back({on, f.t, v});
    report_join(v, of, on, true);
    return true;
  }

  [[nodiscard]] bool is_end(VertexId v, std::uint32_t line) const {
    const auto& vertices = draft_.lines[line].vertices;
    return v == vertices.front() || v == vertices.back();
  }

  void cross(Piece p, Piece q) {
    const auto at = crossing(p, q);
    if (!at) return;
    const VertexId v = vertex_at(*at);
    insertions_.push_back({p, foot(*at, draft_.start(p), draft_.end(p)).t, v});
    insertions_.push_back({q, foot(*at, draft_.start(q), draft_.end(q)).t, v});
    report_join(v, p, q, false);
  }

  [[nodiscard]] std::optional<LocalXY> crossing(Piece p, Piece q) const {
    const LocalXY a = draft_.start(p), b = draft_.end(p), c = draft_.start(q), d = draft_.end(q);
    LocalXY at;
    const int found = GEOSSegmentIntersection_r(draft_.geos.handle(), a.x_m, a.y_m, b.x_m, b.y_m, c.x_m, c.y_m, d.x_m,
                                                d.y_m, &at.x_m, &at.y_m);
    if (found == 0) draft_.geos.fail("crossing two lines");
    return found == 1 ? std::optional(at) : std::nullopt;
  }

  /// One vertex for all lines that cross in one place.
  VertexId vertex_at(LocalXY at) {
    for (const VertexId v : made_)
      if (distance_m(draft_.xy(v), at) < kOnLine) return v;
    made_.push_back(draft_.add_vertex(at));
    return made_.back();
  }

  void report_join(VertexId v, Piece p, Piece q, bool touching) {
    const auto& a = draft_.lines[p.line];
    const auto& b = draft_.lines[q.line];
    // A line that touches another in several of its vertices, or a crossing at a vertex, is one join.
    if (!reported_.insert({{std::min(p.line, q.line), std::max(p.line, q.line)}, v}).second) return;
    const auto& line = a.is_runway() ? b : a;
    const auto& other = a.is_runway() ? a : b;
    const bool ring = other.is_runway() && !draft_.field.runways[static_cast<std::size_t>(other.like.runway)].ring.empty();
    if (a.is_runway() != b.is_runway() && ring)
      draft_.report("joined-to-ring-runway", Severity::note, line.like.source_id, v,
                    fmt::format("{} crosses {}, drawn as a ring; joined to its assumed centreline.", describe(line),
                                describe(other)));
    else if (a.is_runway() != b.is_runway() && !(touching && (is_end(v, p.line) || is_end(v, q.line))))
      draft_.report("hidden-runway-crossing", Severity::serious, line.like.source_id, v,
                    fmt::format("{} crosses {} without a common vertex in the map; joined at grade as a runway crossing.",
                                describe(line), describe(other)));
    else if (touching)
      draft_.report(
          "joined-touching", Severity::note, line.like.source_id, v,
          fmt::format("{} meets {} without a common vertex in the map; joined.", describe(line), describe(other)));
    else
      draft_.report("joined-crossing", Severity::caution, line.like.source_id, v,
                    fmt::format("{} crosses {} without a common vertex in the map; joined at grade.", describe(line),
                                describe(other)));
  }

  void note_passing(Piece p, Piece q) {
    const auto at = crossing(p, q);
    if (!at) return;
    const auto& a = draft_.lines[p.line];
    const auto& b = draft_.lines[q.line];
    draft_.report("passes-over", Severity::note, a.like.source_id, draft_.field.frame.to_geodetic(*at),
                  fmt::format("{} and {} cross at different levels; not joined.", describe(a), describe(b)));
  }

  Draft& draft_;
  PieceIndex index_;
  std::vector<Insertion> insertions_;
  std::vector<VertexId> made_;
  std::set<std::pair<std::uint32_t, VertexId>> put_;
  std::set<std::pair<std::pair<std::uint32_t, std::uint32_t>, VertexId>> reported_;
};

/// The vertices of a line where, simplified to the drawing noise, it turns back.
std::vector<VertexId> turns_back(const Draft& draft, const DraftLine& line) {
  std::vector<LocalXY> drawn;
  for (const VertexId v : line.vertices) drawn.push_back(draft.xy(v));
  const auto simple = simplified(draft.geos, drawn, kDrawingNoise);
  std::vector<VertexId> found;
  std::size_t at = 0;  // of simple[i] in drawn
  for (std::size_t i = 1; i + 1 < simple.size(); ++i) {
    while (!(drawn[at] == simple[i])) ++at;
    const auto turn = deflection(heading(simple[i - 1], simple[i]), heading(simple[i], simple[i + 1]));
    if (std::abs(turn.value()) > kTurnsBack) found.push_back(line.vertices[at]);
  }
  return found;
}

}  // namespace

void node_lines(Draft& draft) { Noding(draft).run(); }

void mark_spikes(Draft& draft) {
  std::vector<char> met(draft.vertices.size(), 0), shared(draft.vertices.size(), 0);
  for (const auto& line : draft.lines)
    for (const VertexId v : line.vertices) (met[v] != 0 ? shared : met)[v] = 1;
  for (const auto& line : draft.lines) {
    const auto& v = line.vertices;
    if (v.size() < 2) continue;
    for (const VertexId at : turns_back(draft, line)) {
      if (shared[at] != 0) continue;  // a node in any case: two branches drawn as one way
      draft.must_be_node[at] = 1;
      draft.report(
          "turns-back", Severity::caution, line.like.source_id, at,
          fmt::format("{} turns back on itself by more than 135 degrees where no other line meets it; cut there, and "
                      "nothing can turn from one half into the other.",
                      describe(line)));
    }
    // A closed loop gets a second node, so that no segment begins and ends at one.
    if (v.front() == v.back() && v.size() > 3) draft.must_be_node[v[v.size() / 2]] = 1;
  }
}

}  // namespace solotaxi::network::detail
