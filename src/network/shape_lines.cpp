#include "network/shape_lines.hpp"

#include <algorithm>
#include <cmath>

#include "solotaxi/geo/line.hpp"

namespace solotaxi::network::detail {
namespace {

constexpr double kSameAngle = 1e-6;  ///< two continuations deflect equally [rad]; over rounding, under any drawing
constexpr double kSamePlace = 1e-6;  ///< vertices are one [m]

double turn(LocalXY a, LocalXY b, LocalXY c) { return deflection(heading(a, b), heading(b, c)).value(); }

/// A vertex hard by an end of its line is off by its own noise and by the end's.
void leave_out_jogs(const std::vector<LocalXY>& drawn, double noise_m, std::vector<std::size_t>& kept) {
  constexpr double kHardBy = 10.0, kBoth = 2.0;  // times the noise
  const auto jog = [&](std::size_t end, std::size_t vertex, std::size_t next) {
    const LocalXY a = drawn[kept[end]], v = drawn[kept[vertex]], b = drawn[kept[next]];
    return distance_m(a, v) < kHardBy * noise_m && distance_to_piece_m(v, a, b) < kBoth * noise_m;
  };
  while (kept.size() > 2 && jog(0, 1, 2)) kept.erase(kept.begin() + 1);
  while (kept.size() > 2 && jog(kept.size() - 1, kept.size() - 2, kept.size() - 3)) kept.erase(kept.end() - 2);
}

}  // namespace

Lines::Lines(const Network& network, double simplify_m)
    : noise_m_(simplify_m),
      way_of_(network.arc_count(), kNone),
      place_(network.arc_count()),
      start_m_(network.arc_count()) {
  join_segments(network);
  draw(network, simplify_m);
  find_continuations(network);
  run_.resize(2 * size());
  for (Way w = 0; w < 2 * size(); ++w) run_[w] = trace_run(w);
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
    std::vector<std::size_t> kept = simplify(drawn, simplify_m);
    leave_out_jogs(drawn, simplify_m, kept);
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

Straight Lines::straight(Way w, double at_m, double bend_rad) const {
  constexpr double kHere = 1e-9;  // what lies at the place itself is not beside it
  const double most = straight_rad(bend_rad);
  double turned = 0.0;
  for (double passed = -at_m;; w = beyond_[w].next) {
    for (std::size_t k = 0; k < bend_count(w); ++k) {
      const VertexBend b = bend(w, k);
      if (passed + b.at_m <= kHere) continue;
      turned += b.angle_rad;
      if (std::abs(turned) >= most) return {std::min(kEndless, passed + b.at_m), false};
    }
    passed += length_m(w);
    if (passed >= kEndless) return {kEndless, false};
    const Continuation& c = beyond_[w];
    if (passed > kHere) turned += c.angle_rad;
    if (c.next == kNone || std::abs(turned) >= most) return {std::max(0.0, passed), c.dead_end};
  }
}

Bends Lines::trace_run(Way w) const {
  Bends run;
  double last = 0.0;  // the last bend, or the start
  double leg = kCurveLeg;
  double turned = 0.0;
  bool against = false;  // the last bend turned to the other hand, which may be a dent
  const auto join = [&](double at, double angle) {
    if (std::abs(angle) >= kCurveBend || at - last >= std::min(curve_leg_m(angle), leg)) return false;
    const bool other = !run.empty() && (angle > 0.0) != (run.front().angle_rad > 0.0);
    if (other && against) return false;
    against = other;
    run.push_back({at, angle});
    turned += angle;
    last = at;
    leg = curve_leg_m(angle);
    return std::abs(turned) < 2.0 * std::numbers::pi && at < kEndless;  // once round is enough, also of an eight
  };
  bool on = true;
  for (double base = 0.0; on; w = beyond_[w].next) {
    for (std::size_t k = 0; on && k < bend_count(w); ++k) on = join(base + bend(w, k).at_m, bend(w, k).angle_rad);
    base += length_m(w);
    const Continuation& c = beyond_[w];
    if (c.next == kNone || std::abs(c.angle_rad) >= kCurveBend || base - last >= kCurveLeg) break;
    if (on && std::abs(c.angle_rad) >= kNoBend) on = join(base, c.angle_rad);
  }
  leave_out_dents(run, noise_m_);
  const auto turns_back = [&](const VertexBend& b) { return (b.angle_rad > 0.0) != (run.front().angle_rad > 0.0); };
  run.erase(std::find_if(run.begin(), run.end(), turns_back), run.end());
  return run;
}

void Lines::bends_within(Way w, double distance_m, double offset_m, Bends& out) const {
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

void Lines::bends_beyond(Way w, double distance_m, double offset_m, Bends& out) const {
  const Continuation& c = beyond_[w];
  if (distance_m < 0.0 || c.next == kNone) return;
  out.push_back({offset_m, c.angle_rad});
  bends_within(c.next, distance_m, offset_m, out);
}

}  // namespace solotaxi::network::detail
