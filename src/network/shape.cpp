#include "solotaxi/network/shape.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "network/shape_bend.hpp"
#include "network/shape_lines.hpp"
#include "network/shape_runs.hpp"

namespace solotaxi::network {
namespace {

using namespace detail;

constexpr double kSamePlace = 1e-9;  ///< along one line [m]: vertices and nodes there come from the same sums

/// A curve along the line or movement it is looked at from; may begin before 0 and end after the length.
struct Curve {
  CurveRun run;
  Bend bend;
};

void add_ahead(const Bends& run, double from_m, Bends& out) {
  for (const VertexBend& b : run) out.push_back({from_m + b.at_m, b.angle_rad});
}
/// The run met going backwards from `from_m`, as it lies in the forward direction.
void add_behind(const Bends& run, double from_m, Bends& out) {
  for (auto b = run.rbegin(); b != run.rend(); ++b) out.push_back({from_m - b->at_m, -b->angle_rad});
}

/// A straight and what of a run's faint end bends lies in it.
Straight widened(Straight straight, double by_m) { return {straight.length_m + by_m, straight.dead_end}; }

/// A faint bend at the end of a curve's run is not driven tighter than the curve.
void make_faint(Bend& bend, const Bend& curve, bool curve_is_ahead) {
  bend.faint = curve_is_ahead ? 1 : -1;
  if (bend.radius_m >= curve.radius_m) return;
  bend.radius_m = curve.radius_m;
  bend.drawn_radius_m = curve.drawn_radius_m;
  bend.assumed = curve.assumed;
  bend.tight_drawing = curve.tight_drawing;
  bend.refused = curve.refused;
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
  /// Straight beside a bend at a place on a line.
  [[nodiscard]] Straight before(std::size_t line, double at_m, double angle_rad) const {
    const auto back = static_cast<Way>(2 * line + 1);
    return lines_.straight(back, lines_.length_m(back) - at_m, angle_rad);
  }
  [[nodiscard]] Straight after(std::size_t line, double at_m, double angle_rad) const {
    return lines_.straight(static_cast<Way>(2 * line), at_m, angle_rad);
  }
  [[nodiscard]] std::vector<CurveRun> runs_of(Bends& bends, double from_m, double to_m) const {
    if (bends.size() < 2) return {};
    leave_out_dents(bends, judge_.noise_m());
    return curve_runs(bends, from_m, to_m,
                      [&](double angle_rad, double way_m) { return judge_.refuses_curve(angle_rad, way_m); });
  }
  [[nodiscard]] Bend curve(const CurveRun& run, Straight before, Straight after) const;

  void trace_line(std::size_t line);
  void find_curves(std::size_t line);
  [[nodiscard]] Bend single(std::size_t line, std::size_t k) const;
  void hand_out(std::size_t line);
  [[nodiscard]] Bend portion(const Curve& curve, double start_m, double length_m) const;
  /// Off to a stand or over a gap, where the line itself may go on.
  [[nodiscard]] bool leads_aside(const Movement& m) const {
    const auto minor = [&](ArcId a) {
      const LineKind kind = network_.segment(a).kind;
      return kind == LineKind::stand_line || kind == LineKind::connector;
    };
    return minor(m.to) && !minor(m.from);
  }
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
  Bends items_;
};

void Tracer::trace_line(std::size_t line) {
  find_curves(line);
  const auto bends = lines_.bends(line);
  singles_.assign(bends.size(), Bend{});
  auto curve = curves_.begin();
  for (std::size_t k = 0; k < bends.size(); ++k) {
    const double at = bends[k].at_m;
    while (curve != curves_.end() && curve->run.last_bend_m < at) ++curve;
    const bool in_run = curve != curves_.end() && curve->run.first_bend_m <= at;
    if (in_run && curve->run.first_m <= at && at <= curve->run.last_m) continue;
    singles_[k] = single(line, k);
    if (in_run) make_faint(singles_[k], curve->bend, at < curve->run.first_m);
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
  for (const CurveRun& run : runs_of(items_, 0.0, length)) {
    const Bend bend =
        curve(run, before(line, run.first_bend_m, run.angle_rad), after(line, run.last_bend_m, run.angle_rad));
    curves_.push_back({run, bend});
  }
}

/// A run between the straights beyond its outermost bends.
Bend Tracer::curve(const CurveRun& run, Straight before, Straight after) const {
  const Straight behind = widened(before, run.first_m - run.first_bend_m);
  const Straight ahead = widened(after, run.last_bend_m - run.last_m);
  return judge_.curve(run, behind, ahead);
}

Bend Tracer::single(std::size_t line, std::size_t k) const {
  const auto bends = lines_.bends(line);
  const double at = bends[k].at_m;
  const double reach = judge_.wheelbase_m();
  const auto forward = static_cast<Way>(2 * line);
  Bends behind, ahead;
  std::size_t i = k;
  for (; i > 0 && at - bends[i - 1].at_m <= reach; --i) behind.push_back({at - bends[i - 1].at_m, -bends[i - 1].angle_rad});
  if (i == 0) lines_.bends_beyond(forward + 1, reach - at, at, behind);
  for (i = k + 1; i < bends.size() && bends[i].at_m - at <= reach; ++i)
    ahead.push_back({bends[i].at_m - at, bends[i].angle_rad});
  const double to_end = lines_.length_m(forward) - at;
  if (i == bends.size()) lines_.bends_beyond(forward, reach - to_end, to_end, ahead);
  return judge_.single(bends[k].angle_rad, before(line, at, bends[k].angle_rad), after(line, at, bends[k].angle_rad),
                       judge_.turned(bends[k].angle_rad, behind, ahead));
}

/// What of a curve lies in an arc that starts at `start_m` of its line.
Bend Tracer::portion(const Curve& curve, double start_m, double length_m) const {
  Bend b = curve.bend;
  b.curve_begins = curve.run.first_m > start_m + kSamePlace;
  b.curve_ends = curve.run.last_m < start_m + length_m - kSamePlace;
  if (!b.curve_begins) b.zone_before_m = 0.0;
  if (!b.curve_ends) b.zone_after_m = 0.0;
  b.from_m = b.curve_begins ? curve.run.first_m - start_m : 0.0;
  b.to_m = b.curve_ends ? curve.run.last_m - start_m : length_m;
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
    while (curve != curves_.end() && curve->run.last_m <= start + kSamePlace) ++curve;
    for (auto c = curve; c != curves_.end() && c->run.first_m < end - kSamePlace; ++c)
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
    while (c != curves_.end() && c->run.last_m < end - kSamePlace) ++c;
    if (c != curves_.end() && c->run.first_m <= end + kSamePlace) {
      node = c->bend;
      if (std::abs(c->run.first_m - end) > kSamePlace) node.zone_before_m = 0.0;
      if (std::abs(c->run.last_m - end) > kSamePlace) node.zone_after_m = 0.0;
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
  Bends items;
  add_behind(lines_.run(back), 0.0, items);
  if (bends) items.push_back({0.0, deflection_rad});
  add_ahead(lines_.run(on), 0.0, items);
  Bend bend, beside;
  bool beside_is_ahead = false;
  for (const CurveRun& run : runs_of(items, 0.0, 0.0)) {
    Bend& whole = run.first_m > 0.0 || run.last_m < 0.0 ? beside : bend;
    beside_is_ahead = run.first_m > 0.0;
    whole = curve(run, lines_.straight(back, -run.first_bend_m, run.angle_rad),
                  lines_.straight(on, run.last_bend_m, run.angle_rad));
    whole.own_angle_rad = bends ? deflection_rad : 0.0;
    if (run.first_m < 0.0) whole.zone_before_m = 0.0;
    if (run.last_m > 0.0) whole.zone_after_m = 0.0;
  }
  if (bend.curve || !bends) return bend;
  Bends behind, ahead;
  lines_.bends_within(back, judge_.wheelbase_m(), 0.0, behind);
  lines_.bends_within(on, judge_.wheelbase_m(), 0.0, ahead);
  bend = judge_.single(deflection_rad, lines_.straight(back, 0.0, deflection_rad), lines_.straight(on, 0.0, deflection_rad),
                       judge_.turned(deflection_rad, behind, ahead));
  if (beside.curve) make_faint(bend, beside, beside_is_ahead);
  return bend;
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
    const double aside = std::abs(deflection_rad) + (leads_aside(m) ? std::numbers::pi : 0.0);
    if (aside < least[index(m.from)]) {
      least[index(m.from)] = aside;
      shape.straight_on[index(m.from)] = i;
    }
  }
}

}  // namespace

Shape trace_shape(const Network& network, const ShapeOptions& options) { return Tracer(network, options).trace(); }

}  // namespace solotaxi::network
