#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "planning/phase_layout.hpp"
#include "planning/time_units.hpp"

namespace solotaxi::planning {
namespace {

using motion::Drive;
using motion::DrivePhase;
using motion::DriveStop;

constexpr double kInstant_s = 1e-3;  // a stop that only waits for the last phase to begin
constexpr double kSame_s = 0.05;     // START's beginning is found to so many seconds
constexpr double kClear_m = 1.0;     // assumed: before a runway's centreline arc, and before a sharp turn
constexpr int kRounds = 6;           // times are met after 2 or 3; the caller checks

/// When the aircraft reaches a chainage, before standing there: a stop may lie a rounding before or behind it.
double reaches_s(const motion::Simulation& sim, double at_m) {
  for (const motion::Sample& s : sim.samples)
    if (std::abs(s.at_m - at_m) < kTouch_m) return s.time_s;
  return sim.at(at_m).time_s;
}

/// When the aircraft leaves a chainage, having stood there or not.
double leaves_s(const motion::Simulation& sim, double at_m) {
  double time_s = sim.at(at_m).time_s;
  for (const motion::Sample& s : sim.samples)
    if (std::abs(s.at_m - at_m) < kTouch_m) time_s = std::max(time_s, s.time_s);
  return time_s;
}

struct NoStart {
  double from_m = 0.0, to_m = 0.0;
};

/// Where START does not begin: on runways and in turns over 60°.
std::vector<NoStart> no_start(const routing::Question& q, const Layout& layout) {
  std::vector<NoStart> out;
  const auto& arcs = layout.drive.arcs;
  const auto add_turn = [&](double angle_rad, double from_m, double to_m) {
    if (std::abs(angle_rad) > kSharpTurnRad) out.push_back({from_m, to_m});
  };
  for (std::size_t i = 0; i < arcs.size(); ++i) {
    const double begins_m = layout.from_m[i];
    if (q.is_runway(arcs[i])) out.push_back({begins_m, layout.end_of(q, i)});
    for (const network::Bend& b : q.shape.bends_of(arcs[i])) add_turn(b.angle_rad, begins_m + b.from_m, begins_m + b.to_m);
    if (i == 0) continue;
    if (const auto m = routing::movement_index(*q.net, arcs[i - 1], arcs[i])) {
      const network::Bend& b = q.shape.movement[*m];
      add_turn(q.net->movements[*m].turn_round ? std::numbers::pi : b.angle_rad, begins_m - b.zone_before_m,
               begins_m + b.zone_after_m);
    }
  }
  return out;
}

/// Chainage from which a plan with ONE needs every engine, once START has begun; the length where it does not.
double every_engine_from(const PhaseField& field, const PlannedWay& planned, const Layout& layout) {
  bool begun = false;
  for (std::size_t i = 0; i < planned.phase.size(); ++i) {
    begun = begun || planned.phase[i] != Phase::one;
    if (begun && !field.one_may_drive(planned.way, i)) return layout.from_m[i];
  }
  return layout.length_m;
}

class StartSetter {
 public:
  StartSetter(const routing::Question& q, const PhaseField& field, const PlannedWay& planned, double queue_s,
              const PlanRequest& request, Layout& layout)
      : q_(q), field_(field), queue_s_(queue_s), request_(request), layout_(layout), stops_(layout.drive.stops) {
    need_m_ = every_engine_from(field, planned, layout);
    queue_m_ = layout.queue_m.value_or(layout.length_m);
    no_start_ = no_start(q, layout);
    first_m_ = layout.from_m.size() > 1 ? layout.from_m[1] : layout.length_m;
    fixed_ = !planned.one() || !field.flows().start_rolls;
    std::erase_if(stops_, [&](const DriveStop& s) { return s.at_m > kTouch_m && !is_via(planned, s.at_m); });
    if (!fixed_) return;
    for (const Standing& s : planned.standings) {
      if (s.why != Standing::Why::missing_time || s.phase != Phase::start || s.after == Standing::kBeforeFirst) continue;
      const double at_m = layout.end_of(q, s.after);
      if (at_m < queue_m_ - kTouch_m) stops_.push_back({at_m, 0.0, 0.0, kInstant_s});
    }
  }

  motion::Simulation set() {
    motion::Simulation sim = run(q_, layout_.drive);
    if (!layout_.start || sim.stalled) return sim;
    auto& phases = layout_.drive.phases;
    start_ = phases[*layout_.start];
    phases.resize(*layout_.start);
    layout_.kinds.resize(*layout_.start);
    phases.push_back(start_);
    phases.push_back({aircraft::all_engines(*q_.aircraft), {}, 0.0, std::nullopt, q_.aircraft->start_s});
    layout_.kinds.insert(layout_.kinds.end(), {Phase::start, Phase::all});
    double start_s = sim.phases[*layout_.start].begins_s;
    for (int round = 0; round < kRounds; ++round) {
      const double wanted_s = fixed_ ? start_s : latest_s(sim);
      const double earliest_s = sim.at(std::min(first_m_, sim.samples.back().at_m)).time_s;
      if (!fixed_) place(sim, std::max(wanted_s, std::min(earliest_s, start_s)));
      wait(sim, round);
      sim = run(q_, layout_.drive);
      if (sim.stalled) return sim;
      const double now_s = sim.phases[*layout_.start].begins_s;
      // Not a number where the way ends before START does: not done yet, a wait is still to come.
      const double missing_s = q_.aircraft->warm_up_s - (sim.time_s() - sim.phases.back().begins_s);
      const bool in_time = sim.phases.back().begins_s <= leaves_s(sim, queue_m_) + kSame_s;  // behind it ALL alone drives
      if (std::abs(now_s - start_s) < kSame_s && missing_s < kSame_s && in_time) break;
      start_s = now_s;
    }
    return sim;
  }

 private:
  [[nodiscard]] bool is_via(const PlannedWay& planned, double at_m) const {
    for (std::size_t v = 0; v < planned.way.via_after.size(); ++v) {
      const double end_m = layout_.end_of(q_, planned.way.via_after[v] - 1);
      if (std::abs(end_m - at_m) < kTouch_m && q_.request->via[v].stop_min > 0.0) return true;
    }
    return false;
  }
  /// Driven behind the queue's place.
  [[nodiscard]] double behind_s(const motion::Simulation& sim) const { return sim.time_s() - leaves_s(sim, queue_m_); }
  [[nodiscard]] double latest_s(const motion::Simulation& sim) const {
    const double leaves = reaches_s(sim, queue_m_) + queue_s_;
    double all_s = std::min(leaves, leaves + behind_s(sim) - q_.aircraft->warm_up_s);
    if (need_m_ < queue_m_) all_s = std::min(all_s, reaches_s(sim, need_m_));
    return all_s - q_.aircraft->start_s;
  }
  void place(const motion::Simulation& sim, double start_s) {
    DrivePhase& d = layout_.drive.phases[*layout_.start];
    const double queue_at_s = reaches_s(sim, queue_m_);
    if (start_s >= queue_at_s) {
      d.from_m = queue_m_;
      d.delay_s = start_s - queue_at_s;
      return;
    }
    d.from_m = clear_of(sim.at_time(start_s).at_m);
    d.delay_s = std::max(0.0, start_s - reaches_s(sim, *d.from_m));
    if (d.delay_s < kSame_s) d.delay_s = 0.0;
  }
  /// START does not begin on a runway or in a sharp turn: then before it.
  [[nodiscard]] double clear_of(double at_m) const {
    bool moved = true;
    while (moved && at_m > 0.0) {
      moved = false;
      for (const NoStart& i : no_start_)
        if (at_m > i.from_m - 0.5 * kClear_m && at_m < i.to_m) at_m = i.from_m - kClear_m, moved = true;
    }
    return std::max(at_m, 0.0);
  }
  /// The queue's stop, and a wait where every engine is needed before they run.
  void wait(const motion::Simulation& sim, int round) {
    auto& stops = layout_.drive.stops;
    stops = stops_;
    const DrivePhase& d = layout_.drive.phases[*layout_.start];
    const double all_s = reaches_s(sim, std::min(*d.from_m, queue_m_)) + d.delay_s + q_.aircraft->start_s;
    if (need_m_ < queue_m_ && all_s > reaches_s(sim, need_m_) + kSame_s && round > 0)
      stops.push_back({need_m_, 0.0, 0.0, kInstant_s});
    const double warm_s = std::max(kInstant_s, q_.aircraft->warm_up_s - behind_s(sim));
    const bool late = all_s + warm_s > reaches_s(sim, queue_m_) + queue_s_ + kSame_s;
    if (queue_s_ > 0.0 || (late && (fixed_ || round > 1)))
      stops.push_back({queue_m_, queue_s_, request_.queue_moves_per_min, late ? warm_s : 0.0});
    std::sort(stops.begin(), stops.end(), [](const DriveStop& a, const DriveStop& b) { return a.at_m < b.at_m; });
  }

  const routing::Question& q_;
  const PhaseField& field_;
  double queue_s_;
  const PlanRequest& request_;
  Layout& layout_;
  std::vector<NoStart> no_start_;
  std::vector<DriveStop> stops_;  ///< push back and places between
  DrivePhase start_;
  double need_m_ = 0.0, queue_m_ = 0.0, first_m_ = 0.0;
  bool fixed_ = false;
};

}  // namespace

motion::Simulation set_start(const routing::Question& q, const PhaseField& field, const PlannedWay& planned, double queue_s,
                             const PlanRequest& request, Layout& layout) {
  return StartSetter(q, field, planned, queue_s, request, layout).set();
}

namespace {

/// The APU is started before the shutdown and burns its no-load flow until then: over the time there is, at once where
/// there is none.
void charge_apu_start(motion::Simulation& sim, const Layout& layout, const routing::Question& q,
                      const PlanRequest& request) {
  const auto one = std::find(layout.kinds.begin(), layout.kinds.end(), Phase::one);
  if (one == layout.kinds.end() || !q.conditions->apu_on) return;
  const auto i = static_cast<std::size_t>(one - layout.kinds.begin());
  const double shutdown_s = sim.phases[i].begins_s;
  if (std::isnan(shutdown_s)) return;
  const double kg = request.apu_lead_s * q.aircraft->apu_no_load_kg_h / kHour;
  const double over_s = std::min(request.apu_lead_s, shutdown_s);
  for (motion::Sample& s : sim.samples)
    s.fuel_kg += over_s > 0.0 ? kg * std::clamp((s.time_s - (shutdown_s - over_s)) / over_s, 0.0, 1.0) : kg;
  sim.phases[i > 0 && over_s > 0.0 ? i - 1 : i].fuel_kg += kg;
}

/// Driven with the shutdown as early as cool-down and way allow.
motion::Simulation run_to_shutdown(const routing::Question& q, const PhaseField& field, const PlannedWay& planned,
                                   const PlanRequest& request, Layout& layout) {
  motion::Simulation sim = run(q, layout.drive);
  if (sim.stalled || layout.kinds.back() != Phase::one || layout.kinds.size() < 2) return sim;
  double free_m = 0.0;
  for (std::size_t i = 0; i < planned.way.arcs.size(); ++i)
    if (!field.one_may_drive(planned.way, i)) free_m = layout.end_of(q, i);
  const double left_s = std::max(0.0, q.aircraft->cool_down_s - request.since_landing_s);
  // Up to the shutdown every engine runs, so this run already says when the time has passed.
  Drive all = layout.drive;
  all.phases.resize(1);
  all.phases.front() = {aircraft::all_engines(*q.aircraft), {}, 0.0, 0.0, 0.0};
  const motion::Simulation whole = run(q, all);
  if (whole.stalled) return sim;
  if (whole.time_s() <= left_s) {  // driven, the way is shorter than the cool-down: nothing is left for ONE
    layout.drive = std::move(all);
    layout.kinds = {Phase::all};
    return whole;
  }
  layout.drive.phases.back().from_m = std::max(free_m, whole.at_time(left_s).at_m);
  layout.drive.phases.back().delay_s = 0.0;
  return run(q, layout.drive);
}

}  // namespace

motion::Simulation set_shutdown(const routing::Question& q, const PhaseField& field, const PlannedWay& planned,
                                const PlanRequest& request, Layout& layout) {
  motion::Simulation sim = run_to_shutdown(q, field, planned, request, layout);
  charge_apu_start(sim, layout, q, request);
  return sim;
}

}  // namespace solotaxi::planning
