#include "network/shape_lines.hpp"

#include <algorithm>
#include <cmath>

#include "solotaxi/geo/line.hpp"

namespace solotaxi::network::detail {
namespace {

constexpr double kSameAngle = 1e-6;  ///< two continuations deflect equally [rad]; over rounding, under any drawing
constexpr double kSamePlace = 1e-6;  ///< vertices are one [m]

double turn(LocalXY a, LocalXY b, LocalXY c) { return deflection(heading(a, b), heading(b, c)).value(); }

}  // namespace

Lines::Lines(const Network& network, double simplify_m)
    : way_of_(network.arc_count(), kNone), place_(network.arc_count()), start_m_(network.arc_count()) {
  join_segments(network);
  draw(network, simplify_m);
  find_continuations(network);
  straight_.resize(2 * size());
  run_.resize(2 * size());
  for (Way w = 0; w < 2 * size(); ++w) {
    straight_[w] = trace_straight(w);
    run_[w] = trace_run(w);
  }
}

void Lines::join_segments(const Network& network) {
  // Where just two segment ends meet and a movement joins them (a reversal is left as it is), the line goes on.
  std::vector<std::uint32_t> ends(network.nodes.size(), 0);
  for (const Segment& s : network.segments) {
    ++ends[index(s.from)];
    ++ends[index(s.to)];
  }
  const ArcId none{kNone};
  std::vector<ArcId> next(network.arc_count(), none);
  for (const Movement& m : network.movements) {
    if (m.turn_round || ends[index(network.head(m.from))] != 2 || segment_of(m.from) == segment_of(m.to)) continue;
    next[index(m.from)] = m.to;
    next[index(reversed(m.to))] = reversed(m.from);
  }
  arcs_.reserve(network.segments.size());
  for (std::uint32_t s = 0; s < network.segments.size(); ++s) {
    for (const ArcId a : {arc_along(SegmentId{s}), arc_against(SegmentId{s})})
      if (way_of_[index(a)] == kNone && next[index(reversed(a))] == none) add_line(network, a, next);
  }
  for (std::uint32_t s = 0; s < network.segments.size(); ++s)  // rings without a junction
    if (way_of_[2 * s] == kNone) add_line(network, arc_along(SegmentId{s}), next);
}

void Lines::add_line(const Network& network, ArcId first, const std::vector<ArcId>& next) {
  const auto line = static_cast<std::uint32_t>(lines_.size());
  Line made;
  made.first_arc = static_cast<std::uint32_t>(arcs_.size());
  for (ArcId a = first; index(a) != kNone && way_of_[index(a)] == kNone; a = next[index(a)]) {
    way_of_[index(a)] = 2 * line;
    way_of_[index(reversed(a))] = 2 * line + 1;
    place_[index(a)] = made.arcs++;
    start_m_[index(a)] = made.length_m;
    made.length_m += network.segment(a).length_m;
    arcs_.push_back(a);
  }
  for (std::uint32_t k = 0; k < made.arcs; ++k) {
    const ArcId a = arcs_[made.first_arc + k];
    place_[index(reversed(a))] = made.arcs - 1 - k;
    start_m_[index(reversed(a))] = made.length_m - (start_m_[index(a)] + network.segment(a).length_m);
  }
  lines_.push_back(made);
}

void Lines::draw(const Network& network, double simplify_m) {
  first_heading_.resize(2 * size());
  std::vector<LocalXY> drawn;
  std::vector<double> at;
  for (std::size_t l = 0; l < size(); ++l) {
    Line& line = lines_[l];
    drawn.clear();
    at.clear();
    for (const ArcId a : arcs(l)) {
      const Segment& s = network.segment(a);
      const std::size_t n = s.line.size();
      for (std::size_t k = drawn.empty() ? 0 : 1; k < n; ++k) {
        const std::size_t v = is_along(a) ? k : n - 1 - k;
        const double along = k + 1 == n ? s.length_m : is_along(a) ? s.chainage_m[v] : s.length_m - s.chainage_m[v];
        if (!drawn.empty() && k + 1 < n && distance_m(drawn.back(), s.line[v]) < kSamePlace) continue;
        drawn.push_back(s.line[v]);
        at.push_back(start_m_[index(a)] + along);
      }
    }
    const std::vector<std::size_t> kept = simplify(drawn, simplify_m);
    line.first_bend = static_cast<std::uint32_t>(bends_.size());
    for (std::size_t k = 1; k + 1 < kept.size(); ++k) {
      const double angle = turn(drawn[kept[k - 1]], drawn[kept[k]], drawn[kept[k + 1]]);
      if (std::abs(angle) >= kNoBend) bends_.push_back({at[kept[k]], angle});
    }
    line.bends = static_cast<std::uint32_t>(bends_.size()) - line.first_bend;
    const std::size_t last = kept.size() - 1;
    first_heading_[2 * l] = heading(drawn[kept[0]], drawn[kept[std::min<std::size_t>(1, last)]]).value();
    first_heading_[2 * l + 1] = heading(drawn[kept[last]], drawn[kept[last > 0 ? last - 1 : 0]]).value();
  }
}

Radians Lines::last_heading(Way w) const { return Radians{first_heading_[w ^ 1U] + std::numbers::pi}; }

void Lines::find_continuations(const Network& network) {
  const auto first_arc = [&](Way w) { return w % 2 == 0 ? arcs(w / 2).front() : reversed(arcs(w / 2).back()); };
  std::vector<std::uint32_t> first(network.nodes.size() + 1, 0);
  for (Way w = 0; w < 2 * size(); ++w) ++first[index(network.tail(first_arc(w))) + 1];
  for (std::size_t n = 1; n < first.size(); ++n) first[n] += first[n - 1];
  std::vector<Way> leaving(2 * size());
  std::vector<std::uint32_t> filled(first.begin(), first.end() - 1);
  for (Way w = 0; w < 2 * size(); ++w) leaving[filled[index(network.tail(first_arc(w)))]++] = w;

  beyond_.resize(2 * size());
  for (Way w = 0; w < 2 * size(); ++w) {
    Continuation& c = beyond_[w];
    const std::size_t node = index(network.tail(first_arc(w ^ 1U)));
    c.dead_end = first[node + 1] - first[node] == 1;
    bool tied = false;
    for (std::uint32_t k = first[node]; k < first[node + 1]; ++k) {
      if (leaving[k] == (w ^ 1U)) continue;
      const double angle = deflection(last_heading(w), first_heading(leaving[k])).value();
      const double more = c.next == kNone ? -1.0 : std::abs(angle) - std::abs(c.angle_rad);
      if (more > kSameAngle) continue;
      if (more < -kSameAngle) {
        c.next = leaving[k];
        c.angle_rad = angle;
        tied = false;
      } else if (std::abs(angle - c.angle_rad) > kSameAngle) {
        tied = true;
      }
    }
    if (tied) c.next = kNone;
  }
}

VertexBend Lines::bend(Way w, std::size_t k) const {
  const auto all = bends(w / 2);
  if (w % 2 == 0) return all[k];
  const VertexBend& b = all[all.size() - 1 - k];
  return {length_m(w) - b.at_m, -b.angle_rad};
}

Straight Lines::trace_straight(Way w) const {
  for (double length = 0.0;;) {
    if (bend_count(w) > 0) return {std::min(kEndless, length + bend(w, 0).at_m), false};
    length += length_m(w);
    if (length >= kEndless) return {kEndless, false};
    const Continuation& c = beyond_[w];
    if (c.next == kNone || std::abs(c.angle_rad) >= kStraightOn) return {length, c.dead_end};
    w = c.next;
  }
}

Straight Lines::straight_beyond(Way w) const {
  const Continuation& c = beyond_[w];
  if (c.next == kNone || std::abs(c.angle_rad) >= kStraightOn) return {0.0, c.dead_end};
  return straight_[c.next];
}

Run Lines::trace_run(Way w) const {
  Run run;
  double base = 0.0;
  double last = 0.0;  // the last bend, or the start
  double turned = 0.0;
  const auto join = [&](double at, double angle) {
    if (std::abs(angle) >= kCurveBend || at - last >= kCurveLeg) return false;
    if (!run.empty() && (angle > 0.0) != (turned > 0.0)) return false;
    run.push_back({at, angle});
    turned += angle;
    last = at;
    return std::abs(turned) < 2.0 * std::numbers::pi;  // once round is enough
  };
  while (true) {
    for (std::size_t k = 0; k < bend_count(w); ++k) {
      const VertexBend b = bend(w, k);
      if (!join(base + b.at_m, b.angle_rad)) return run;
    }
    base += length_m(w);
    const Continuation& c = beyond_[w];
    if (c.next == kNone || std::abs(c.angle_rad) >= kCurveBend || base - last >= kCurveLeg) return run;
    if (std::abs(c.angle_rad) >= kNoBend && !join(base, c.angle_rad)) return run;
    w = c.next;
  }
}

void Lines::bends_within(Way w, double distance_m, double offset_m, std::vector<VertexBend>& out) const {
  while (true) {
    for (std::size_t k = 0; k < bend_count(w); ++k) {
      const VertexBend b = bend(w, k);
      if (b.at_m > distance_m) return;
      out.push_back({offset_m + b.at_m, b.angle_rad});
    }
    distance_m -= length_m(w);
    offset_m += length_m(w);
    const Continuation& c = beyond_[w];
    if (distance_m < 0.0 || c.next == kNone) return;
    out.push_back({offset_m, c.angle_rad});
    w = c.next;
  }
}

void Lines::bends_beyond(Way w, double distance_m, double offset_m, std::vector<VertexBend>& out) const {
  const Continuation& c = beyond_[w];
  if (distance_m < 0.0 || c.next == kNone) return;
  out.push_back({offset_m, c.angle_rad});
  bends_within(c.next, distance_m, offset_m, out);
}

}  // namespace solotaxi::network::detail
