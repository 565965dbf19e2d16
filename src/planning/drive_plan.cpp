#include "planning/drive_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "routing/assemble.hpp"

namespace solotaxi::planning {
namespace {

using motion::Drive;
using motion::DrivePhase;
using motion::DriveStop;
using network::ArcId;
using network::NodeId;

constexpr double kTouch_m = 0.01;    // chainages are sums of the same lengths
constexpr double kInstant_s = 1e-3;  // a stop that only waits for the last phase to begin
constexpr double kSame_s = 0.05;     // START's beginning is found to so many seconds
constexpr double kBeforeRunway_m = 1.0;
constexpr int kRounds = 6;
constexpr double kAbeam_m = 150.0;  // a crossing taxiway further away is no landmark; assumed

/// A drive with what is needed to move START along it.
struct Layout {
  Drive drive;
  std::vector<Phase> kinds;    ///< of Drive::phases
  std::vector<double> from_m;  ///< of each arc
  double length_m = 0.0, push_m = 0.0;
  std::optional<std::size_t> start;  ///< index of START in Drive::phases
  std::optional<double> queue_m;     ///< where the queue stands
};

class LayoutMaker {
 public:
  LayoutMaker(const routing::Question& q, const PlannedWay& planned, const PhaseField& field, const PlanRequest& request)
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
  [[nodiscard]] double end_of(std::size_t i) const {
    return out_.from_m[i] + q_.net->segment(planned_.way.arcs[i]).length_m;
  }
  /// Arrivals roll off the runway as fast as the first place allows.
  [[nodiscard]] double rolling_speed() const { return q_.conditions->speed_straight_kt * 1852.0 / 3600.0; }
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

motion::Simulation run(const routing::Question& q, const Drive& drive) {
  return motion::simulate(*q.net, q.shape, *q.aircraft, *q.conditions, drive);
}

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

/// Chainage from which a plan with ONE needs every engine, once START has begun; the length where it does not.
double every_engine_from(const PhaseField& field, const PlannedWay& planned, const Layout& layout) {
  bool begun = false;
  for (std::size_t i = 0; i < planned.phase.size(); ++i) {
    begun = begun || planned.phase[i] != Phase::one;
    if (begun && !field.one_may_drive(planned.way, i)) return layout.from_m[i];
  }
  return layout.length_m;
}

/// START of a departure set, in the simulation, as late as lets it last `start_s` before every engine is needed: by
/// warm-up, behind the queue's place, or where a place needs them. Where the search waits for missing time START stays
/// where it begins, and the waits make up for what the simulation takes less.
class StartSetter {
 public:
  StartSetter(const routing::Question& q, const PhaseField& field, const PlannedWay& planned, double queue_s,
              const PlanRequest& request, Layout& layout)
      : q_(q), field_(field), queue_s_(queue_s), request_(request), layout_(layout), stops_(layout.drive.stops) {
    need_m_ = every_engine_from(field, planned, layout);
    queue_m_ = layout.queue_m.value_or(layout.length_m);
    first_m_ = layout.from_m.size() > 1 ? layout.from_m[1] : layout.length_m;
    fixed_ = !planned.one() || !field.flows().start_rolls;
    std::erase_if(stops_, [&](const DriveStop& s) { return s.at_m > kTouch_m && !is_via(planned, s.at_m); });
    if (!fixed_) return;
    for (const Standing& s : planned.standings) {
      if (s.why != Standing::Why::missing_time || s.phase != Phase::start || s.after == Standing::kBeforeFirst) continue;
      const double at_m = layout.from_m[s.after] + q.net->segment(planned.way.arcs[s.after]).length_m;
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
      if (std::abs(now_s - start_s) < kSame_s && missing_s < kSame_s) break;
      start_s = now_s;
    }
    return sim;
  }

 private:
  [[nodiscard]] bool is_via(const PlannedWay& planned, double at_m) const {
    for (std::size_t v = 0; v < planned.way.via_after.size(); ++v) {
      const std::size_t i = planned.way.via_after[v] - 1;
      const double end_m = layout_.from_m[i] + q_.net->segment(planned.way.arcs[i]).length_m;
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
    d.from_m = off_runways(sim.at_time(start_s).at_m);
    d.delay_s = std::max(0.0, start_s - reaches_s(sim, *d.from_m));
    if (d.delay_s < kSame_s) d.delay_s = 0.0;
  }
  /// START does not begin on a runway: then before it.
  [[nodiscard]] double off_runways(double at_m) const {
    std::size_t i = 0;
    while (i + 1 < layout_.from_m.size() && layout_.from_m[i + 1] <= at_m) ++i;
    while (i > 0 && q_.is_runway(layout_.drive.arcs[i])) at_m = layout_.from_m[i--] - kBeforeRunway_m;
    return std::max(at_m, 0.0);
  }
  /// The queue's stop, and a wait where every engine is needed before they run.
  void wait(const motion::Simulation& sim, int round) {
    auto& stops = layout_.drive.stops;
    stops = stops_;
    const DrivePhase& d = layout_.drive.phases[*layout_.start];
    const double start_s =
        *d.from_m >= queue_m_ ? reaches_s(sim, queue_m_) + d.delay_s : reaches_s(sim, *d.from_m) + d.delay_s;
    const double all_s = start_s + q_.aircraft->start_s;
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
  std::vector<DriveStop> stops_;  ///< push back and places between
  DrivePhase start_;
  double need_m_ = 0.0, queue_m_ = 0.0, first_m_ = 0.0;
  bool fixed_ = false;
};

/// The shutdown of an arrival, set to where the cool-down has passed and no place ahead needs every engine.
motion::Simulation set_shutdown(const routing::Question& q, const PhaseField& field, const PlannedWay& planned,
                                const PlanRequest& request, Layout& layout) {
  motion::Simulation sim = run(q, layout.drive);
  if (sim.stalled || layout.kinds.back() != Phase::one || layout.kinds.size() < 2) return sim;
  double free_m = 0.0;
  for (std::size_t i = 0; i < planned.way.arcs.size(); ++i)
    if (!field.one_may_drive(planned.way, i)) free_m = layout.from_m[i] + q.net->segment(planned.way.arcs[i]).length_m;
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

/// "on taxiway B abeam C": the line at a chainage of the route, and the nearest named line that meets it.
std::string place_text(const routing::Question& q, const PlannedWay& planned, const Layout& layout, double at_m) {
  const auto& net = *q.net;
  std::size_t i = 0;
  while (i + 1 < layout.from_m.size() && layout.from_m[i + 1] <= at_m) ++i;
  const auto& here = net.segment(planned.way.arcs[i]);
  std::string text = "on " + routing::line_text(here, net);
  double nearest_m = kAbeam_m;
  std::string abeam;
  for (std::size_t k = 0; k < planned.way.arcs.size(); ++k) {
    const double node_m = layout.from_m[k];
    if (std::abs(node_m - at_m) >= nearest_m) continue;
    const NodeId node = net.tail(planned.way.arcs[k]);
    for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
      const auto& other = net.segment(ArcId{a});
      if (net.tail(ArcId{a}) != node || other.name.empty() || other.name == here.name) continue;
      nearest_m = std::abs(node_m - at_m);
      abeam = other.name;
    }
  }
  if (!abeam.empty()) text += " abeam " + abeam;
  return text;
}

LatLon position_on_way(const routing::Question& q, const PlannedWay& planned, const Layout& layout, double at_m) {
  std::size_t i = 0;
  while (i + 1 < layout.from_m.size() && layout.from_m[i + 1] <= at_m) ++i;
  const ArcId a = planned.way.arcs[i];
  const auto& segment = q.net->segment(a);
  const double along_m = std::clamp(at_m - layout.from_m[i], 0.0, segment.length_m);
  return network::position_at(*q.net, segment, network::is_along(a) ? along_m : segment.length_m - along_m);
}

EnginePoint engine_point(const routing::Question& q, const PlannedWay& planned, const Layout& layout,
                         const motion::Simulation& sim, std::size_t phase, const PlanRequest& request) {
  const motion::PhaseRun& begin = sim.phases[phase];
  EnginePoint out;
  out.at_m = begin.at_m + layout.push_m;
  out.to_m = out.at_m;
  out.at_s = begin.begins_s;
  out.at = position_on_way(q, planned, layout, begin.at_m);
  out.before_line_up_s = sim.time_s() - begin.begins_s;
  out.after_landing_s = begin.begins_s + request.since_landing_s;
  if (phase + 1 < sim.phases.size() && !std::isnan(sim.phases[phase + 1].at_m))
    out.to_m = sim.phases[phase + 1].at_m + layout.push_m;
  const bool departure = q.direction != routing::Direction::arrival;
  if (departure && begin.begins_s < q.conditions->push_back_s) {
    out.place = "in the push back";
  } else if (departure && layout.queue_m && std::abs(begin.at_m - *layout.queue_m) < kTouch_m) {
    const int hold = q.hold_at[index(q.net->head(planned.way.arcs[*planned.queue_after]))];
    const std::string ref = hold < 0 ? "" : q.net->holding_points[static_cast<std::size_t>(hold)].ref;
    out.place = ref.empty() ? "standing before the runway" : "standing at holding position " + ref;
  } else {
    out.place = place_text(q, planned, layout, begin.at_m);
  }
  return out;
}

/// The route's times and fuel are the simulation's.
void retell(routing::Route& route, const motion::Simulation& sim, double push_m, double push_back_s) {
  const double last_m = sim.samples.back().at_m;
  const auto at = [&](double route_m) { return sim.at(std::clamp(route_m - push_m, 0.0, last_m)); };
  route.time_s = sim.time_s();
  route.fuel_kg = sim.fuel_kg();
  if (push_back_s > 0.0) {
    const auto pushed = sim.at_time(std::min(push_back_s, sim.time_s()));
    route.push_back_s = push_back_s;
    route.push_back_fuel_kg = pushed.fuel_kg;
  }
  double time_s = 0.0, fuel_kg = 0.0;
  for (std::size_t i = 0; i < route.legs.size(); ++i) {
    routing::Leg& leg = route.legs[i];
    const bool last = i + 1 == route.legs.size();
    double to_s = sim.time_s(), to_kg = sim.fuel_kg();
    if (leg.push_back && !route.legs[std::min(i + 1, route.legs.size() - 1)].push_back) {
      to_s = route.push_back_s;
      to_kg = route.push_back_fuel_kg;
    } else if (leg.push_back) {
      const double share = push_m > 0.0 ? (leg.from_m + leg.length_m) / push_m : 1.0;
      to_s = share * route.push_back_s;
      to_kg = share * route.push_back_fuel_kg;
    } else if (!last) {
      const motion::Sample to = at(leg.from_m + leg.length_m);
      to_s = to.time_s;
      to_kg = to.fuel_kg;
    }
    leg.time_s = to_s - time_s;
    leg.fuel_kg = to_kg - fuel_kg;
    time_s = to_s;
    fuel_kg = to_kg;
  }
}

}  // namespace

DrivenPlan drive_plan(const routing::Question& q, const PhaseField& field, const PlannedWay& planned, double queue_s,
                      const PlanRequest& request) {
  Layout layout = LayoutMaker(q, planned, field, request).make();
  const bool arrival = q.direction == routing::Direction::arrival;
  DrivenPlan out;
  out.running_set = aircraft::to_string(*q.aircraft, field.one().running_set());
  out.search_kg = planned.cost_kg;
  out.search_s = planned.time_s;
  out.driven_from_m = layout.push_m;
  out.sim = arrival ? set_shutdown(q, field, planned, request, layout)
                    : StartSetter(q, field, planned, queue_s, request, layout).set();
  const motion::Simulation& sim = out.sim;
  out.one = std::find(layout.kinds.begin(), layout.kinds.end(), Phase::one) != layout.kinds.end();
  for (std::size_t i = 0; i < layout.kinds.size(); ++i) {
    const motion::PhaseRun& run = sim.phases[i];
    if (std::isnan(run.at_m)) continue;
    PlanPhase p;
    p.phase = layout.kinds[i];
    p.engines = aircraft::to_string(*q.aircraft, layout.drive.phases[i].driving);
    p.from_m = run.at_m + layout.push_m;
    p.to_m = p.from_m + run.way_m;
    p.time_s = run.time_s;
    p.fuel_kg = run.fuel_kg;
    if (p.phase == Phase::one) out.one_s += run.time_s;
    if (p.phase == Phase::start) out.second_engine = engine_point(q, planned, layout, sim, i, request);
    if (p.phase == Phase::one && arrival && i > 0) out.shutdown = engine_point(q, planned, layout, sim, i, request);
    out.phases.push_back(std::move(p));
  }
  if (arrival && out.one && layout.kinds.front() == Phase::one)
    out.shutdown = engine_point(q, planned, layout, sim, 0, request);
  const motion::CostTable& asked = out.one ? field.one() : field.all();
  out.route = routing::assemble({&q, &planned.way, &asked, &asked, false});
  if (!sim.stalled) retell(out.route, sim, layout.push_m, arrival ? 0.0 : q.conditions->push_back_s);
  Drive every = layout.drive;
  every.phases = {{aircraft::all_engines(*q.aircraft), {}, 0.0, 0.0, 0.0}};
  for (DriveStop& s : every.stops) s.last_phase_s = 0.0;
  out.brake_all_c = run(q, every).brake_most_c;
  return out;
}

}  // namespace solotaxi::planning
