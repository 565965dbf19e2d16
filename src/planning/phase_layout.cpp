#include "planning/phase_layout.hpp"

#include <utility>

#include "routing/assemble.hpp"
#include "solotaxi/units/quantity.hpp"

namespace solotaxi::planning {
namespace {

using motion::DrivePhase;

class LayoutMaker {
 public:
  LayoutMaker(const routing::Question& q, const PhaseField& field, const PlannedWay& planned, const PlanRequest& request)
      : q_(q), field_(field), planned_(planned), request_(request) {}

  Layout make() {
    const routing::Steps steps = routing::lay_out({&q_, &planned_.way, &field_.all(), &field_.all(), false});
    out_.push_m = steps.push_m;
    out_.length_m = steps.length_m - steps.push_m;
    for (const auto& s : steps.steps) out_.from_m.push_back(s.from_m - steps.push_m);
    out_.drive.arcs = planned_.way.arcs;
    out_.drive.rolled_on = planned_.way.beginning.rolled_on;
    out_.drive.turn_round_at_end = planned_.way.turn_round_at_end;
    out_.drive.brake_start_c = request_.brake_start_c;
    if (q_.direction == routing::Direction::arrival) out_.drive.start_mps = rolling_speed();
    if (planned_.queue_after) out_.queue_m = end_of(*planned_.queue_after);
    stand(Standing::kBeforeFirst, 0.0);
    for (std::size_t i = 0; i < planned_.way.arcs.size(); ++i) {
      if (i > 0) come_to(out_.from_m[i]);
      phase(planned_.phase[i]);
      stand(static_cast<std::uint32_t>(i), end_of(i));
      for (std::size_t v = 0; v < planned_.way.via_after.size(); ++v)
        if (planned_.way.via_after[v] == i + 1 && q_.request->via[v].stop_min > 0.0) {
          come_to(end_of(i));
          add_stop(q_.request->via[v].stop_min * 60.0);
        }
    }
    return std::move(out_);
  }

 private:
  [[nodiscard]] double end_of(std::size_t i) const { return out_.end_of(q_, i); }
  /// Arrivals roll off the runway as fast as the first place allows.
  [[nodiscard]] double rolling_speed() const { return knots(q_.conditions->speed_straight_kt).value(); }
  void come_to(double at_m) {
    if (at_m <= at_m_ + kTouch_m) return;
    delay_s_ = 0.0;
    at_m_ = at_m;
  }
  void phase(Phase p) {
    if (!out_.kinds.empty() && out_.kinds.back() == p) return;
    const auto every = aircraft::all_engines(*q_.aircraft), set = field_.one().running_set();
    DrivePhase d;
    d.driving = p == Phase::all ? every : set;
    if (p == Phase::start) d.idling.mask = static_cast<std::uint8_t>(every.mask & ~set.mask);
    d.apu_kg_h = field_.flows().apu_kg_h[index(p)];
    d.from_m = at_m_;
    d.delay_s = out_.kinds.empty() ? 0.0 : delay_s_;
    if (p == Phase::start) out_.start = out_.kinds.size();
    out_.drive.phases.push_back(d);
    out_.kinds.push_back(p);
  }
  void add_stop(double seconds) {
    if (!out_.drive.stops.empty() && out_.drive.stops.back().at_m == at_m_)
      out_.drive.stops.back().standing_s += seconds;
    else
      out_.drive.stops.push_back({at_m_, seconds, 0.0, 0.0});
    delay_s_ += seconds;
  }
  void stand(std::uint32_t after, double at_m) {
    for (const Standing& s : planned_.standings) {
      if (s.after != after) continue;
      come_to(at_m);
      phase(s.phase);
      add_stop(s.seconds);
      if (s.why == Standing::Why::queue) out_.drive.stops.back().moves_per_min = request_.queue_moves_per_min;
    }
  }

  const routing::Question& q_;
  const PhaseField& field_;
  const PlannedWay& planned_;
  const PlanRequest& request_;
  Layout out_;
  double at_m_ = 0.0, delay_s_ = 0.0;
};

}  // namespace

std::size_t Layout::arc_at(double at_m) const {
  std::size_t i = 0;
  while (i + 1 < from_m.size() && from_m[i + 1] <= at_m) ++i;
  return i;
}

Layout lay_out_phases(const routing::Question& q, const PhaseField& field, const PlannedWay& planned,
                      const PlanRequest& request) {
  return LayoutMaker(q, field, planned, request).make();
}

motion::Simulation run(const routing::Question& q, const motion::Drive& drive) {
  return motion::simulate(*q.net, q.shape, *q.aircraft, *q.conditions, drive);
}

}  // namespace solotaxi::planning
