#include "solotaxi/network/shape.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "network/shape_bend.hpp"
#include "network/shape_lines.hpp"

namespace solotaxi::network {
namespace {

using namespace detail;

constexpr double kSamePlace = 1e-9;  ///< along one line [m]: vertices and nodes there come from the same sums

/// A curve along the line or movement it is looked at from; may begin before 0 and end after the length.
struct Curve {
  double first_m = 0.0, last_m = 0.0;
  Bend bend;
};

/// A run of bends that is a curve, along the line or movement it is looked at from.
struct Found {
  double first_m = 0.0, last_m = 0.0;
  double angle_rad = 0.0;
  double way_m = 0.0;  ///< over which it turns
};

void add_ahead(const Run& run, double from_m, std::vector<VertexBend>& out) {
  for (const VertexBend& b : run) out.push_back({from_m + b.at_m, b.angle_rad});
}
/// The run met going backwards from `from_m`, as it lies in the forward direction.
void add_behind(const Run& run, double from_m, std::vector<VertexBend>& out) {
  for (auto b = run.rbegin(); b != run.rend(); ++b) out.push_back({from_m - b->at_m, -b->angle_rad});
}

constexpr double kFaint = 0.4;  ///< an end vertex turning less than this share of the next; under ½ for rounding's sake

/// How much nearer to a run's middle than its end vertex the curve begins [m]; may be negative. Arcs are drawn with chords
/// or tangents: an end vertex that turns half as much as the next is where the arc begins, one that turns as much is half a
/// chord inside it, and one that turns less and less is less and less of the curve.
double end_shift_m(const VertexBend& end, const VertexBend& next, double beside_m) {
  const double leg = std::abs(next.at_m - end.at_m);
  const double share = std::min(1.0, std::abs(end.angle_rad / next.angle_rad));
  if (share < kFaint) return leg * (1.0 - share / kFaint);
  return -0.5 * std::min(leg, beside_m) * std::max(0.0, 2.0 * share - 1.0);
}

/// Joins bends in order into runs of one hand and gives those of two or more bends to `take`.
template <typename Take>
void join_runs(const std::vector<VertexBend>& bends, const Take& take) {
  for (auto first = bends.begin(); first != bends.end();) {
    auto past = std::next(first);
    double angle = first->angle_rad;
    if (std::abs(angle) < kCurveBend) {
      for (; past != bends.end(); ++past) {
        if ((past->angle_rad > 0.0) != (angle > 0.0) || past->at_m - std::prev(past)->at_m >= kCurveLeg) break;
        if (std::abs(past->angle_rad) >= kCurveBend) break;
        angle += past->angle_rad;
      }
    }
    if (past - first >= 2) {
      // Half a chord is half of the shortest leg there: of two that simplifying has joined, the whole says too much.
      const auto last = std::prev(past);
      double before = kCurveLeg, after = kCurveLeg;
      if (first != bends.begin()) before = first->at_m - std::prev(first)->at_m;
      if (past != bends.end()) after = past->at_m - last->at_m;
      if (past - first > 2) {
        before = std::min(before, std::next(first, 2)->at_m - std::next(first)->at_m);
        after = std::min(after, std::prev(last)->at_m - std::prev(last, 2)->at_m);
      }
      const double begin = end_shift_m(*first, *std::next(first), before);
      const double end = end_shift_m(*last, *std::prev(last), after);
      const double way = last->at_m - first->at_m - begin - end;
      if (way > 0.0) take(Found{first->at_m + std::max(0.0, begin), last->at_m - std::max(0.0, end), angle, way});
    }
    first = past;
  }
}

class Tracer {
 public:
  Tracer(const Network& network, const ShapeOptions& options)
      : network_(network), judge_(options), lines_(network, options.simplify_m) {}

  Shape trace() {
    along_.resize(network_.segments.size());
    from_start_.assign(network_.arc_count(), 0);
    node_bend_.resize(network_.segments.size());
    for (std::size_t l = 0; l < lines_.size(); ++l) trace_line(l);
    Shape shape;
    lay_out_bends(shape);
    lay_out_movements(shape);
    return shape;
  }

 private:
  /// Straight from a place on a line to the next bend before or after it.
  [[nodiscard]] Straight before(std::size_t line, double at_m, std::size_t bends_before) const {
    if (bends_before > 0) return {at_m - lines_.bends(line)[bends_before - 1].at_m, false};
    const Straight more = lines_.straight_beyond(static_cast<Way>(2 * line + 1));
    return {at_m + more.length_m, more.dead_end};
  }
  [[nodiscard]] Straight after(std::size_t line, double at_m, std::size_t first_after) const {
    const auto bends = lines_.bends(line);
    if (first_after < bends.size()) return {bends[first_after].at_m - at_m, false};
    const Straight more = lines_.straight_beyond(static_cast<Way>(2 * line));
    return {lines_.length_m(static_cast<Way>(2 * line)) - at_m + more.length_m, more.dead_end};
  }

  void trace_line(std::size_t line);
  void find_curves(std::size_t line);
  [[nodiscard]] Bend single(std::size_t line, std::size_t k) const;
  void hand_out(std::size_t line);
  [[nodiscard]] Bend portion(const Curve& curve, double start_m, double length_m) const;
  [[nodiscard]] Bend at_junction(const Movement& m, double& deflection_rad) const;
  void lay_out_bends(Shape& shape) const;
  void lay_out_movements(Shape& shape) const;

  const Network& network_;
  Judge judge_;
  Lines lines_;
  std::vector<Curve> curves_;             ///< of the line at hand, in order
  std::vector<Bend> singles_;             ///< of the line at hand, by bend; unused where the bend is part of a curve
  std::vector<std::vector<Bend>> along_;  ///< by segment: bends of the arc its line runs along
  std::vector<char> from_start_;          ///< by arc: on a curve from its very start
  std::vector<Bend> node_bend_;           ///< by segment: where its line goes on over its end node
  std::vector<VertexBend> items_;
};

void Tracer::trace_line(std::size_t line) {
  find_curves(line);
  const auto bends = lines_.bends(line);
  singles_.assign(bends.size(), Bend{});
  auto curve = curves_.begin();
  for (std::size_t k = 0; k < bends.size(); ++k) {
    while (curve != curves_.end() && curve->last_m < bends[k].at_m) ++curve;
    const bool in_curve = curve != curves_.end() && curve->first_m <= bends[k].at_m;
    if (!in_curve) singles_[k] = single(line, k);
  }
  hand_out(line);
}

void Tracer::find_curves(std::size_t line) {
  const auto forward = static_cast<Way>(2 * line);
  const double length = lines_.length_m(forward);
  items_.clear();
  curves_.clear();
  if (const Continuation& back = lines_.beyond(forward + 1); back.next != kNone && std::abs(back.angle_rad) < kCurveBend) {
    add_behind(lines_.run(back.next), 0.0, items_);
    if (std::abs(back.angle_rad) >= kNoBend) items_.push_back({0.0, -back.angle_rad});
  }
  for (const VertexBend& b : lines_.bends(line)) items_.push_back(b);
  if (const Continuation& on = lines_.beyond(forward); on.next != kNone && std::abs(on.angle_rad) < kCurveBend) {
    if (std::abs(on.angle_rad) >= kNoBend) items_.push_back({length, on.angle_rad});
    add_ahead(lines_.run(on.next), length, items_);
  }
  const auto bends = lines_.bends(line);
  join_runs(items_, [&](const Found& run) {
    if (run.last_m <= 0.0 || run.first_m >= length) return;  // wholly beyond a node
    Curve c{run.first_m, run.last_m, judge_.curve(run.angle_rad, run.last_m - run.first_m, run.way_m)};
    const auto at = [](const VertexBend& b, double m) { return b.at_m < m; };
    const auto first = std::lower_bound(bends.begin(), bends.end(), c.first_m, at);
    const auto past =
        std::upper_bound(bends.begin(), bends.end(), c.last_m, [](double m, const VertexBend& b) { return m < b.at_m; });
    if (c.first_m > 0.0)
      c.bend.zone_before_m =
          std::min(c.bend.zone_before_m, before(line, c.first_m, static_cast<std::size_t>(first - bends.begin())).length_m);
    if (c.last_m < length)
      c.bend.zone_after_m =
          std::min(c.bend.zone_after_m, after(line, c.last_m, static_cast<std::size_t>(past - bends.begin())).length_m);
    curves_.push_back(c);
  });
}

Bend Tracer::single(std::size_t line, std::size_t k) const {
  const auto bends = lines_.bends(line);
  const double at = bends[k].at_m;
  const double reach = judge_.wheelbase_m();
  const auto forward = static_cast<Way>(2 * line);
  std::vector<VertexBend> behind, ahead;
  std::size_t i = k;
  for (; i > 0 && at - bends[i - 1].at_m <= reach; --i) behind.push_back({at - bends[i - 1].at_m, -bends[i - 1].angle_rad});
  if (i == 0) lines_.bends_beyond(forward + 1, reach - at, at, behind);
  for (i = k + 1; i < bends.size() && bends[i].at_m - at <= reach; ++i)
    ahead.push_back({bends[i].at_m - at, bends[i].angle_rad});
  const double to_end = lines_.length_m(forward) - at;
  if (i == bends.size()) lines_.bends_beyond(forward, reach - to_end, to_end, ahead);
  return judge_.single(bends[k].angle_rad, before(line, at, k), after(line, at, k + 1),
                       judge_.turned(bends[k].angle_rad, behind, ahead));
}

/// What of a curve lies in an arc that starts at `start_m` of its line.
Bend Tracer::portion(const Curve& curve, double start_m, double length_m) const {
  Bend b = curve.bend;
  b.curve_begins = curve.first_m > start_m + kSamePlace;
  b.curve_ends = curve.last_m < start_m + length_m - kSamePlace;
  if (!b.curve_begins) b.zone_before_m = 0.0;
  if (!b.curve_ends) b.zone_after_m = 0.0;
  b.from_m = b.curve_begins ? curve.first_m - start_m : 0.0;
  b.to_m = b.curve_ends ? curve.last_m - start_m : length_m;
  b.at_m = 0.5 * (b.from_m + b.to_m);
  return b;
}

/// Shares the bends of a line out to its arcs and to the nodes between them.
void Tracer::hand_out(std::size_t line) {
  const auto bends = lines_.bends(line);
  std::size_t next_bend = 0;
  auto curve = curves_.begin();
  for (const ArcId arc : lines_.arcs(line)) {
    const std::uint32_t s = index(segment_of(arc));
    const double length = network_.segments[s].length_m;
    const double start = lines_.start_m(arc);
    const double end = start + length;
    std::vector<Bend>& own = along_[s];
    while (curve != curves_.end() && curve->last_m <= start + kSamePlace) ++curve;
    for (auto c = curve; c != curves_.end() && c->first_m < end - kSamePlace; ++c)
      own.push_back(portion(*c, start, length));
    if (!own.empty()) {
      from_start_[index(arc)] = own.front().curve_begins ? 0 : 1;
      from_start_[index(reversed(arc))] = own.back().curve_ends ? 0 : 1;
    }
    // The vertices inside the arc.
    while (next_bend < bends.size() && bends[next_bend].at_m <= start + kSamePlace) ++next_bend;
    const std::size_t curves_here = own.size();
    for (; next_bend < bends.size() && bends[next_bend].at_m < end - kSamePlace; ++next_bend) {
      const double at = bends[next_bend].at_m - start;
      const auto in = std::find_if(own.begin(), own.begin() + static_cast<std::ptrdiff_t>(curves_here),
                                   [&](const Bend& c) { return c.from_m - kSamePlace <= at && at <= c.to_m + kSamePlace; });
      if (in != own.begin() + static_cast<std::ptrdiff_t>(curves_here)) {
        in->own_angle_rad += bends[next_bend].angle_rad;
        continue;
      }
      Bend b = singles_[next_bend];
      b.at_m = at;
      b.from_m = std::max(0.0, at - b.zone_before_m);
      b.to_m = std::min(length, at + b.zone_after_m);
      own.push_back(b);
    }
    std::sort(own.begin(), own.end(), [](const Bend& x, const Bend& y) { return x.at_m < y.at_m; });
    // The node after it, where the line goes on.
    Bend& node = node_bend_[s];
    const bool vertex = next_bend < bends.size() && bends[next_bend].at_m <= end + kSamePlace;
    auto c = curve;
    while (c != curves_.end() && c->last_m < end - kSamePlace) ++c;
    if (c != curves_.end() && c->first_m <= end + kSamePlace) {
      node = c->bend;
      if (std::abs(c->first_m - end) > kSamePlace) node.zone_before_m = 0.0;
      if (std::abs(c->last_m - end) > kSamePlace) node.zone_after_m = 0.0;
      node.own_angle_rad = vertex ? bends[next_bend].angle_rad : 0.0;
    } else if (vertex) {
      node = singles_[next_bend];
    }
  }
}

/// The bend of a movement where lines end.
Bend Tracer::at_junction(const Movement& m, double& deflection_rad) const {
  const Way back = lines_.way_of(m.from) ^ 1U;
  const Way on = lines_.way_of(m.to);
  deflection_rad = deflection(lines_.last_heading(back ^ 1U), lines_.first_heading(on)).value();
  const bool bends = std::abs(deflection_rad) >= kNoBend;
  std::vector<VertexBend> items;
  add_behind(lines_.run(back), 0.0, items);
  if (bends) items.push_back({0.0, deflection_rad});
  add_ahead(lines_.run(on), 0.0, items);
  Bend bend;
  join_runs(items, [&](const Found& run) {
    if (run.first_m > 0.0 || run.last_m < 0.0) return;
    bend = judge_.curve(run.angle_rad, run.last_m - run.first_m, run.way_m);
    bend.own_angle_rad = bends ? deflection_rad : 0.0;
    bend.zone_before_m = run.first_m < 0.0 ? 0.0 : std::min(bend.zone_before_m, lines_.straight(back).length_m);
    bend.zone_after_m = run.last_m > 0.0 ? 0.0 : std::min(bend.zone_after_m, lines_.straight(on).length_m);
  });
  if (bend.curve || !bends) return bend;
  std::vector<VertexBend> behind, ahead;
  lines_.bends_within(back, judge_.wheelbase_m(), 0.0, behind);
  lines_.bends_within(on, judge_.wheelbase_m(), 0.0, ahead);
  return judge_.single(deflection_rad, lines_.straight(back), lines_.straight(on),
                       judge_.turned(deflection_rad, behind, ahead));
}

void Tracer::lay_out_bends(Shape& shape) const {
  shape.first_bend.assign(1, 0);
  for (std::uint32_t a = 0; a < network_.arc_count(); ++a) {
    const std::vector<Bend>& own = along_[a / 2];
    if (lines_.way_of(ArcId{a}) % 2 == 0) {
      shape.bends.insert(shape.bends.end(), own.begin(), own.end());
    } else {
      const double length = network_.segments[a / 2].length_m;
      for (auto b = own.rbegin(); b != own.rend(); ++b) {
        Bend r = reversed(*b);
        r.at_m = length - b->at_m;
        r.from_m = length - b->to_m;
        r.to_m = length - b->from_m;
        shape.bends.push_back(r);
      }
    }
    shape.first_bend.push_back(static_cast<std::uint32_t>(shape.bends.size()));
  }
}

void Tracer::lay_out_movements(Shape& shape) const {
  shape.movement.resize(network_.movements.size());
  shape.straight_on.assign(network_.arc_count(), Shape::kNoMovement);
  std::vector<double> least(network_.arc_count(), std::numeric_limits<double>::infinity());
  for (std::uint32_t i = 0; i < network_.movements.size(); ++i) {
    const Movement& m = network_.movements[i];
    Bend& b = shape.movement[i];
    if (m.turn_round) {
      b.angle_rad = b.own_angle_rad = std::numbers::pi;
      b.radius_m = b.drawn_radius_m = judge_.least_radius_m();
      continue;
    }
    double deflection_rad = 0.0;
    if (!lines_.goes_on(m.from, m.to)) {
      b = at_junction(m, deflection_rad);
    } else {
      b = lines_.way_of(m.from) % 2 == 0 ? node_bend_[index(segment_of(m.from))]
                                         : reversed(node_bend_[index(segment_of(m.to))]);
      deflection_rad = b.own_angle_rad;
    }
    const bool before = from_start_[index(reversed(m.from))] != 0;
    const bool after = from_start_[index(m.to)] != 0;
    b.curve_begins = b.curve ? !before : after;
    b.curve_ends = b.curve ? !after : before;
    if (b.curve && !b.curve_begins) b.zone_before_m = 0.0;
    if (b.curve && !b.curve_ends) b.zone_after_m = 0.0;
    if (std::abs(deflection_rad) < least[index(m.from)]) {
      least[index(m.from)] = std::abs(deflection_rad);
      shape.straight_on[index(m.from)] = i;
    }
  }
}

}  // namespace

Shape trace_shape(const Network& network, const ShapeOptions& options) { return Tracer(network, options).trace(); }

}  // namespace solotaxi::network
