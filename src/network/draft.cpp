#include "network/draft.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <unordered_map>

namespace solotaxi::network::detail {

VertexId Draft::add_vertex(const DraftVertex& v) {
  vertices.push_back(v);
  must_be_node.push_back(0);
  return static_cast<VertexId>(vertices.size() - 1);
}

VertexId Draft::add_vertex(LocalXY xy) { return add_vertex({field.frame.to_geodetic(xy), xy, std::nullopt, 0}); }

void Draft::add_connector(VertexId from, VertexId to, const std::string& source_id) {
  DraftLine line;
  line.like.kind = LineKind::connector;
  line.like.source_id = source_id;
  line.like.assumed = true;
  line.vertices = {from, to};
  lines.push_back(std::move(line));
}

void Draft::insert(std::vector<Insertion>& insertions) {
  std::sort(insertions.begin(), insertions.end(), [](const Insertion& a, const Insertion& b) {
    return std::tie(a.piece, a.t, a.vertex) < std::tie(b.piece, b.t, b.vertex);
  });
  for (std::size_t i = 0; i < insertions.size();) {
    const auto line = insertions[i].piece.line;
    const auto& old = lines[line].vertices;
    std::vector<VertexId> now;
    now.reserve(old.size() + 4);
    for (std::uint32_t at = 0; at < old.size(); ++at) {
      if (now.empty() || now.back() != old[at]) now.push_back(old[at]);
      for (; i < insertions.size() && insertions[i].piece == Piece{line, at}; ++i)
        if (now.back() != insertions[i].vertex) {
          now.push_back(insertions[i].vertex);
          inserted.emplace(line, insertions[i].vertex);
        }
    }
    lines[line].vertices = std::move(now);
  }
  insertions.clear();
}

Radians heading_out(const Draft& draft, const DraftLine& line, bool at_front) {
  std::vector<LocalXY> xy;
  for (const VertexId v : line.vertices) xy.push_back(draft.xy(v));
  if (at_front) std::reverse(xy.begin(), xy.end());
  const auto simple = simplified(draft.geos, xy, kDrawingNoise);
  return heading(simple[simple.size() - 2], simple.back());
}

void Draft::report(std::string code, Severity severity, const std::string& id, LatLon at, std::string text) {
  findings.push_back(finding_at(std::move(code), severity, id, at, std::move(text)));
}

Finding finding_at(std::string code, Severity severity, const std::string& id, std::optional<LatLon> at, std::string text) {
  Finding f;
  f.code = std::move(code);
  f.severity = severity;
  f.where.id = id;
  f.where.has_position = at.has_value();
  if (at) {
    f.where.lat_deg = at->lat_deg();
    f.where.lon_deg = at->lon_deg();
  }
  f.text = std::move(text);
  return f;
}

std::string describe(const DraftLine& line) {
  std::string kind = airfield::to_string(line.like.kind);
  std::replace(kind.begin(), kind.end(), '_', ' ');
  const auto& s = line.like;
  return s.name.empty() ? fmt::format("unnamed {} ({})", kind, s.source_id)
                        : fmt::format("{} {} ({})", kind, s.name, s.source_id);
}

std::string metres(double m) { return fmt::format("{:.{}f} m", m, m < 10.0 ? 2 : 1); }

namespace {

/// Vertices of the map to vertices of the pool: one for each shared ref, and for each position where there is no ref.
class Pool {
 public:
  explicit Pool(Draft& draft) : draft_(draft) {}

  VertexId operator()(const airfield::Vertex& v) {
    VertexId& id = v.ref != 0 ? by_ref_.try_emplace(v.ref, kNoVertex).first->second
                              : by_place_.try_emplace({v.at.lat_deg(), v.at.lon_deg()}, kNoVertex).first->second;
    if (id == kNoVertex) id = draft_.add_vertex({v.at, draft_.field.frame.to_local(v.at), std::nullopt, v.ref});
    if (v.height && !draft_.vertices[id].height_m) {
      draft_.vertices[id].height_m = v.height->value();
      draft_.vertices[id].height_is_tag = v.height_is_tag;
    }
    return id;
  }

 private:
  Draft& draft_;
  std::map<std::int64_t, VertexId> by_ref_;
  std::map<std::pair<double, double>, VertexId> by_place_;
};

void add_line(Draft& draft, Pool& pool, Segment like, const std::vector<airfield::Vertex>& drawn) {
  DraftLine line;
  line.like = std::move(like);
  std::size_t dropped = 0;
  for (const auto& v : drawn) {
    const VertexId id = pool(v);
    if (line.vertices.empty() || line.vertices.back() != id)
      line.vertices.push_back(id);
    else
      ++dropped;
  }
  if (dropped > 0)
    draft.report(
        "zero-length-piece", Severity::note, line.like.source_id, line.vertices.front(),
        fmt::format("{} repeats a vertex {} time(s) in a row; pieces without length left out.", describe(line), dropped));
  if (line.vertices.size() == 1)
    draft.report("zero-length-line", Severity::caution, line.like.source_id, line.vertices.front(),
                 fmt::format("{} has no length and is left out.", describe(line)));
  draft.lines.push_back(std::move(line));
}

}  // namespace

void unite_places(Draft& draft) {
  // Two joins of opposite ends make two vertices at one place, and a piece without length between them.
  constexpr double kOnePlace = 1e-6;  // [m]; over the rounding of a foot in the local plane, assumed
  std::vector<VertexId> same(draft.vertices.size());
  std::iota(same.begin(), same.end(), VertexId{0});
  const auto first = [&](VertexId v) {
    while (same[v] != v) v = same[v];
    return v;
  };
  for (const auto& line : draft.lines)
    for (std::size_t i = 1; i < line.vertices.size(); ++i) {
      const VertexId a = first(line.vertices[i - 1]), b = first(line.vertices[i]);
      if (a == b || distance_m(draft.xy(a), draft.xy(b)) > kOnePlace) continue;
      const auto [kept, gone] = std::minmax(a, b);  // the map's own come first
      same[gone] = kept;
      draft.must_be_node[kept] = static_cast<char>(draft.must_be_node[kept] != 0 || draft.must_be_node[gone] != 0);
      DraftVertex& to = draft.vertices[kept];
      const DraftVertex& from = draft.vertices[gone];
      if (!to.height_m) to.height_m = from.height_m, to.height_is_tag = from.height_is_tag;
    }
  for (auto& line : draft.lines) {
    for (VertexId& v : line.vertices) v = first(v);
    line.vertices.erase(std::unique(line.vertices.begin(), line.vertices.end()), line.vertices.end());
  }
  for (auto& stand : draft.stands) stand.vertex = first(stand.vertex);
  for (auto& hold : draft.holds) hold.vertex = first(hold.vertex);
}

void start_draft(Draft& draft) {
  Pool pool(draft);
  draft.lines.reserve(draft.field.centrelines.size() + draft.field.runways.size() + draft.field.stands.size());
  for (const auto& c : draft.field.centrelines) {
    Segment like;
    like.kind = c.kind;
    like.name = c.name;
    like.source_id = c.id;
    like.layer = c.layer;
    like.bridge = c.bridge;
    like.tunnel = c.tunnel;
    like.closed = c.closed;
    like.one_way = c.one_way;
    like.width = c.width;
    like.wingspan_limit = c.wingspan_limit;
    like.mass_limit = c.mass_limit;
    like.stated_grade = c.grade;
    like.speed_limit = c.speed_limit;
    like.surface = c.surface;
    add_line(draft, pool, std::move(like), c.line);
  }
  for (std::size_t r = 0; r < draft.field.runways.size(); ++r) {
    const auto& runway = draft.field.runways[r];
    Segment like;
    like.kind = LineKind::runway;
    like.name = runway.name();
    like.source_id = runway.id;
    like.runway = static_cast<int>(r);
    like.layer = runway.layer;
    like.closed = runway.closed;
    like.assumed = runway.assumed_centreline;
    like.width = runway.width;
    add_line(draft, pool, std::move(like), runway.line);
  }
}

}  // namespace solotaxi::network::detail
