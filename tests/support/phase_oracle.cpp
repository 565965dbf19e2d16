#include "support/phase_oracle.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

namespace solotaxi::test {

using namespace planning;

namespace {

constexpr std::size_t kO = index(Phase::one), kS = index(Phase::start), kA = index(Phase::all);
constexpr double kClose = 1e-9;

/// A route driven: begin and end, and the steps between them.
struct Route {
  const PhaseTerminal* begin;
  const PhaseTerminal* end = nullptr;
  std::vector<const PhaseStep*> steps;

  [[nodiscard]] std::size_t legs() const { return steps.size() + 1; }
  /// Cost and time of a leg, the stop with the last.
  [[nodiscard]] double cost(std::size_t leg, std::size_t phase) const {
    return (leg == 0 ? begin->cost_kg : steps[leg - 1]->cost_kg)[phase] + (leg + 1 == legs() ? end->cost_kg[phase] : 0.0);
  }
  [[nodiscard]] double time(std::size_t leg, std::size_t phase) const {
    return (leg == 0 ? begin->time_s : steps[leg - 1]->time_s)[phase] + (leg + 1 == legs() ? end->time_s[phase] : 0.0);
  }
};

/// Calls back with every route from a beginning to an end that uses no arc twice.
class Routes {
 public:
  Routes(const PhaseCase& c, const std::vector<PhaseTerminal>& ends, std::function<void(const Route&)> each)
      : case_(c), ends_(ends), each_(std::move(each)), out_(c.arc_of.size()), used_(c.arc_of.size()) {
    for (const PhaseStep& s : c.steps) out_[s.from].push_back(&s);
  }
  void from(const PhaseTerminal& begin) {
    route_ = {&begin, nullptr, {}};
    go(begin.state);
  }

 private:
  void go(std::uint32_t state) {
    used_[case_.arc_of[state]] = true;
    for (const PhaseTerminal& end : ends_) {
      if (end.state != state) continue;
      route_.end = &end;
      each_(route_);
    }
    for (const PhaseStep* s : out_[state]) {
      if (used_[case_.arc_of[s->to]]) continue;
      route_.steps.push_back(s);
      go(s->to);
      route_.steps.pop_back();
    }
    used_[case_.arc_of[state]] = false;
  }
  const PhaseCase& case_;
  const std::vector<PhaseTerminal>& ends_;
  std::function<void(const Route&)> each_;
  std::vector<std::vector<const PhaseStep*>> out_;
  std::vector<bool> used_;
  Route route_;
};

/// One departure route, arcs [0, one) in ONE, [one, start) in START, the rest in ALL.
class Departure {
 public:
  Departure(const DepartureProblem& p, const Route& r) : p_(p), r_(r), queue_leg_(r.legs() - 1), at_hold_(false) {
    for (std::size_t i = 0; i < r.steps.size(); ++i) {
      if (!r.steps[i]->queue_here) continue;
      queue_leg_ = i;
      at_hold_ = true;
    }
  }

  [[nodiscard]] double cost(std::size_t one, std::size_t start) const {
    if (start > queue_leg_ + 1) return kNoPlan;
    double driven = 0.0, start_s = 0.0, all_before_s = 0.0, all_behind_s = 0.0;
    for (std::size_t i = 0; i < r_.legs(); ++i) {
      const std::size_t phase = i < one ? kO : i < start ? kS : kA;
      driven += r_.cost(i, phase);
      if (phase == kS) start_s += r_.time(i, phase);
      if (phase == kA) (i <= queue_leg_ ? all_before_s : all_behind_s) += r_.time(i, phase);
    }
    if (driven == kNoPlan) return kNoPlan;
    if (one > 0) {
      const bool in_queue = one == queue_leg_ + 1;
      if (in_queue ? !(at_hold_ || r_.end->may_begin_start) : !r_.steps[one - 1]->may_begin_start) return kNoPlan;
      return driven + p_.push_back_s * p_.flow_kg_s[kO] + rest(one, start, start_s, all_before_s, all_behind_s);
    }
    if (start > 0)  // START through the push back, and on
      return driven + p_.push_back_s * p_.flow_kg_s[kS] +
             rest(one, start, start_s + p_.push_back_s, all_before_s, all_behind_s);
    double least = kNoPlan;  // START stands only: every length of it
    for (double s = p_.start_s; s <= std::max(p_.start_s, p_.push_back_s); ++s) {
      const double all_s = std::max(0.0, p_.push_back_s - s);
      least = std::min(
          least, s * p_.flow_kg_s[kS] + all_s * p_.flow_kg_s[kA] + rest(one, start, s, all_before_s + all_s, all_behind_s));
    }
    return driven + least;
  }

 private:
  /// Waiting and queue, every second of it.
  [[nodiscard]] double rest(std::size_t one, std::size_t start, double start_s, double before_s, double behind_s) const {
    const double missing = std::max(0.0, p_.start_s - start_s);
    if (one == queue_leg_ + 1) {
      double least = kNoPlan;
      for (double x = 0.0; x <= p_.queue_s; ++x) least = std::min(least, stand(x, p_.start_s, behind_s));
      return least;
    }
    if (start == queue_leg_ + 1) {  // START may be kept longer than it must
      double least = kNoPlan;
      for (double s = missing; s <= std::max(missing, p_.queue_s); ++s) least = std::min(least, stand(0.0, s, behind_s));
      return least;
    }
    return missing * p_.flow_kg_s[kS] + stand(0.0, 0.0, before_s + behind_s);
  }
  /// Stands `one_s` in ONE, then `start_s` in START, then in ALL until queue and warm-up are over; second by second.
  [[nodiscard]] double stand(double one_s, double start_s, double all_driven_s) const {
    double cost = 0.0, all_s = 0.0, second = 0.0;
    while (second < one_s + start_s || second < p_.queue_s || all_driven_s + all_s < p_.warm_up_s) {
      const std::size_t phase = second < one_s ? kO : second < one_s + start_s ? kS : kA;
      cost += p_.flow_kg_s[phase] + (second < p_.queue_s ? p_.move_kg_s[phase] : 0.0);
      if (phase == kA) ++all_s;
      ++second;
    }
    return cost;
  }

  const DepartureProblem& p_;
  const Route& r_;
  std::size_t queue_leg_;
  bool at_hold_;
};

std::size_t stands_of(const std::vector<PhaseTerminal>& stands) {
  std::size_t count = 0;
  for (const PhaseTerminal& t : stands) count = std::max<std::size_t>(count, t.stand + std::size_t{1});
  return count;
}

/// The parts of a plan both directions have in common; leaves the plan's driving cost, its times by phase, and its route.
struct Driven {
  std::string fault;
  Route route;
  double cost = 0.0;
  ByPhase time{}, behind{};
};

Driven drive(const PhaseCase& c, const PhaseTerminal& begin, const PhaseTerminal& end, const PhasePlan& plan) {
  Driven d;
  d.route = {&begin, &end, {}};
  if (plan.legs.empty() || plan.legs.front().state != begin.state || plan.legs.back().state != end.state) {
    d.fault = "legs do not join the terminals";
    return d;
  }
  std::vector<bool> used(c.arc_of.size());
  for (std::size_t i = 0; i < plan.legs.size(); ++i) {
    const std::uint32_t arc = c.arc_of[plan.legs[i].state];
    if (used[arc]) d.fault = "an arc is used twice";
    used[arc] = true;
    if (i == 0) continue;
    const auto step = std::find_if(c.steps.begin(), c.steps.end(), [&](const PhaseStep& s) {
      return s.from == plan.legs[i - 1].state && s.to == plan.legs[i].state;
    });
    if (step == c.steps.end()) {
      d.fault = "a step is not in the graph";
      return d;
    }
    d.route.steps.push_back(&*step);
  }
  for (std::size_t i = 0; i < plan.legs.size(); ++i) {
    const std::size_t p = index(plan.legs[i].phase);
    d.cost += d.route.cost(i, p);
    d.time[p] += d.route.time(i, p);
  }
  if (!(d.cost < kNoPlan)) d.fault = "a phase drives where it may not";
  return d;
}

bool close(double a, double b) { return std::abs(a - b) <= kClose * std::max({1.0, std::abs(a), std::abs(b)}); }

}  // namespace

std::vector<LeastCosts> enumerate_departures(const PhaseCase& c) {
  const DepartureProblem& p = c.departure;
  std::vector<LeastCosts> least(stands_of(p.stands));
  Routes routes(c, p.runway, [&](const Route& r) {
    const Departure departure(p, r);
    LeastCosts& best = least[r.begin->stand];
    for (std::size_t one = 0; one <= r.legs(); ++one)
      for (std::size_t start = one; start <= r.legs(); ++start)
        (one > 0 ? best.with_one : best.reference) =
            std::min(one > 0 ? best.with_one : best.reference, departure.cost(one, start));
  });
  for (const PhaseTerminal& t : p.stands) routes.from(t);
  return least;
}

std::vector<LeastCosts> enumerate_arrivals(const PhaseCase& c) {
  const ArrivalProblem& p = c.arrival;
  std::vector<LeastCosts> least(stands_of(p.stands));
  Routes routes(c, p.stands, [&](const Route& r) {
    LeastCosts& best = least[r.end->stand];
    for (std::size_t all = 0; all <= r.legs(); ++all) {
      double cost = 0.0, all_s = 0.0;
      for (std::size_t i = 0; i < r.legs(); ++i) {
        cost += r.cost(i, i < all ? kA : kO);
        if (i < all) all_s += r.time(i, kA);
      }
      if (all == r.legs())
        best.reference = std::min(best.reference, cost);
      else if (all_s >= p.cool_down_left_s)
        best.with_one = std::min(best.with_one, cost + p.apu_lead_kg);
    }
  });
  for (const PhaseTerminal& t : p.runway) routes.from(t);
  return least;
}

std::string fault_of(const PhaseCase& c, const DepartureProblem& problem, const PhasePlan& plan, bool with_one) {
  Driven d = drive(c, problem.stands.at(plan.from), problem.runway.at(plan.to), plan);
  if (!d.fault.empty()) return d.fault;
  std::size_t queue_leg = plan.legs.size() - 1;
  bool at_hold = false;
  for (std::size_t i = 0; i < d.route.steps.size(); ++i) {
    if (!d.route.steps[i]->queue_here) continue;
    queue_leg = i;
    at_hold = true;
  }
  if ((plan.legs.front().phase == Phase::one) != with_one) return "the wrong kind of plan";
  for (std::size_t i = 0; i < plan.legs.size(); ++i) {
    const Phase now = plan.legs[i].phase;
    if (i > queue_leg && now != Phase::all) return "not in ALL behind the queue";
    if (i > 0 && now < plan.legs[i - 1].phase) return "phases out of order";
    if (i > 0 && now != Phase::one && plan.legs[i - 1].phase == Phase::one && i <= queue_leg &&
        !d.route.steps[i - 1]->may_begin_start)
      return "START begins where it may not";
  }
  if (plan.legs[queue_leg].phase == Phase::one && !at_hold && !d.route.end->may_begin_start)
    return "START begins at an end where it may not";
  double cost = d.cost, stood = 0.0, push_back = 0.0, queue = 0.0;
  for (const Standing& s : plan.standings) {
    const std::size_t p = index(s.phase);
    if (!(s.seconds > 0.0)) return "a standing without seconds";
    cost += s.seconds * (problem.flow_kg_s[p] + (s.why == Standing::Why::queue ? problem.move_kg_s[p] : 0.0));
    d.time[p] += s.seconds;
    stood += s.seconds;
    if (s.why == Standing::Why::push_back) push_back += s.seconds;
    if (s.why == Standing::Why::push_back && (s.phase == Phase::one) != with_one) return "a push back in the wrong phase";
    if (s.why == Standing::Why::queue) queue += s.seconds;
    if (s.why == Standing::Why::queue && s.after != queue_leg) return "a queue in the wrong place";
    if (s.why == Standing::Why::missing_time && s.phase == Phase::one) return "a wait in ONE";
    if (s.after == Standing::kBeforeFirst ? s.why == Standing::Why::queue : s.after >= plan.legs.size())
      return "a standing nowhere";
  }
  if (!close(push_back, problem.push_back_s)) return "a push back of another length";
  if (!close(queue, problem.queue_s)) return "a queue of another length";
  if (d.time[kS] < problem.start_s - kClose) return "START too short";
  if (d.time[kA] < problem.warm_up_s - kClose) return "the warm-up too short";
  if (!close(cost, plan.cost_kg)) return "a cost that is not its sum";
  double time = stood;
  for (std::size_t i = 0; i < plan.legs.size(); ++i) time += d.route.time(i, index(plan.legs[i].phase));
  if (!close(time, plan.time_s)) return "a time that is not its sum";
  return "";
}

std::string fault_of(const PhaseCase& c, const ArrivalProblem& problem, const PhasePlan& plan, bool with_one) {
  const Driven d = drive(c, problem.runway.at(plan.from), problem.stands.at(plan.to), plan);
  if (!d.fault.empty()) return d.fault;
  for (std::size_t i = 0; i < plan.legs.size(); ++i) {
    if (plan.legs[i].phase == Phase::start) return "START in an arrival";
    if (i > 0 && plan.legs[i].phase == Phase::all && plan.legs[i - 1].phase == Phase::one) return "phases out of order";
  }
  if ((plan.legs.back().phase == Phase::one) != with_one) return "the wrong kind of plan";
  if (with_one && d.time[kA] < problem.cool_down_left_s - kClose) return "the cool-down too short";
  if (!plan.standings.empty()) return "an arrival that stands";
  if (!close(plan.cost_kg, d.cost + (with_one ? problem.apu_lead_kg : 0.0))) return "a cost that is not its sum";
  if (!close(plan.time_s, d.time[kO] + d.time[kA])) return "a time that is not its sum";
  return "";
}

}  // namespace solotaxi::test
