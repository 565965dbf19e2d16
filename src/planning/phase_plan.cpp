#include "planning/phase_plan.hpp"

#include <utility>

namespace solotaxi::planning {
namespace {

/// Cost and time driven: of the beginning, of each step in the phase of the leg entered, of the stop.
void add_driving(const PhaseGraph& graph, const PhaseWay& way, const PhaseTerminal& begin, const PhaseTerminal& end,
                 PhasePlan& plan) {
  const auto add = [&](const ByPhase& cost, const ByPhase& time, Phase p) {
    plan.cost_kg += cost[index(p)];
    plan.time_s += time[index(p)];
  };
  add(begin.cost_kg, begin.time_s, way.legs.front().phase);
  for (std::size_t i = 0; i < way.steps.size(); ++i) {
    const PhaseStep& step = graph.step(way.steps[i]);
    add(step.cost_kg, step.time_s, way.legs[i + 1].phase);
  }
  add(end.cost_kg, end.time_s, way.legs.back().phase);
}

class DeparturePlan {
 public:
  DeparturePlan(const PhaseGraph& graph, const DepartureProblem& problem, const PhaseWay& way)
      : graph_(graph), problem_(problem), costs_(problem), way_(way) {}

  PhasePlan make() {
    add_driving(graph_, way_, problem_.stands[way_.from], problem_.runway[way_.to], plan_);
    const Phase arrived = way_.legs[way_.queue_leg].phase;
    push_back();
    const double start_missing = costs_.start_missing(start_done_s_ + driven(Phase::start, 0, way_.legs.size()));
    // A plan whose START ends at a movement waits there for what is missing.
    if (arrived == Phase::all) {
      std::size_t last = way_.queue_leg;
      while (last > 0 && way_.legs[last].phase == Phase::all) --last;
      const bool in_push_back = way_.legs[last].phase == Phase::all;
      stand(in_push_back ? Standing::kBeforeFirst : static_cast<std::uint32_t>(last), Phase::start, start_missing,
            Standing::Why::missing_time);
    }
    if (arrived == Phase::all && all_in_push_back_s_ > 0.0)
      stand(Standing::kBeforeFirst, Phase::all, all_in_push_back_s_, Standing::Why::push_back);
    queue(arrived, start_missing);
    return std::move(plan_);
  }

 private:
  void stand(std::uint32_t after, Phase phase, double seconds, Standing::Why why) {
    if (!(seconds > 0.0)) return;
    plan_.standings.push_back({after, phase, seconds, why});
    plan_.time_s += seconds;
    plan_.cost_kg += seconds * (why == Standing::Why::queue ? costs_.queue : costs_.stand)[index(phase)];
  }

  void push_back() {
    const Phase first = way_.legs.front().phase;
    if (first == Phase::one) {
      stand(Standing::kBeforeFirst, Phase::one, costs_.push_back_s, Standing::Why::push_back);
      return;
    }
    start_done_s_ = first == Phase::start ? costs_.push_back_s : std::min(costs_.push_back_s, costs_.start_s);
    all_in_push_back_s_ = costs_.push_back_s - start_done_s_;
    stand(Standing::kBeforeFirst, Phase::start, start_done_s_, Standing::Why::push_back);
  }

  void queue(Phase arrived, double start_missing) {
    using Why = Standing::Why;
    const auto at = static_cast<std::uint32_t>(way_.queue_leg);
    const double behind_s = driven(Phase::all, way_.queue_leg + 1, way_.legs.size());
    QueueSplit s;
    if (arrived == Phase::one) {
      s = costs_.split_from_one(costs_.warm_up_missing(behind_s));
    } else if (arrived == Phase::start) {
      s = costs_.split(0.0, start_missing, costs_.warm_up_missing(behind_s));
    } else {
      const double before_s = all_in_push_back_s_ + driven(Phase::all, 0, way_.queue_leg + 1);
      s = costs_.split(0.0, 0.0, costs_.warm_up_missing(before_s + behind_s));
    }
    stand(at, Phase::one, s.one_s, Why::queue);
    stand(at, Phase::start, s.start_s, Why::queue);
    stand(at, Phase::start, s.start_more_s, Why::missing_time);
    stand(at, Phase::all, s.all_s, Why::queue);
    stand(at, Phase::all, s.all_more_s, Why::missing_time);
  }

  /// Seconds driven in a phase on legs [first, past), the stop with the last.
  [[nodiscard]] double driven(Phase phase, std::size_t first, std::size_t past) const {
    double time = 0.0;
    for (std::size_t i = first; i < past; ++i) {
      if (way_.legs[i].phase != phase) continue;
      time += (i == 0 ? problem_.stands[way_.from].time_s : graph_.step(way_.steps[i - 1]).time_s)[index(phase)];
      if (i + 1 == way_.legs.size()) time += problem_.runway[way_.to].time_s[index(phase)];
    }
    return time;
  }

  const PhaseGraph& graph_;
  const DepartureProblem& problem_;
  StandingCosts costs_;
  const PhaseWay& way_;
  PhasePlan plan_;
  double start_done_s_ = 0.0, all_in_push_back_s_ = 0.0;
};

PhasePlan filled(PhasePlan plan, PhaseWay way) {
  plan.legs = std::move(way.legs);
  plan.from = way.from;
  plan.to = way.to;
  return plan;
}

}  // namespace

PhasePlan complete(const PhaseGraph& graph, const DepartureProblem& problem, PhaseWay way) {
  PhasePlan plan = DeparturePlan(graph, problem, way).make();
  return filled(std::move(plan), std::move(way));
}

PhasePlan complete(const PhaseGraph& graph, const ArrivalProblem& problem, PhaseWay way) {
  PhasePlan plan;
  add_driving(graph, way, problem.runway[way.from], problem.stands[way.to], plan);
  if (way.legs.back().phase == Phase::one) plan.cost_kg += problem.apu_lead_kg;
  return filled(std::move(plan), std::move(way));
}

double PhasePlan::waited_s(Phase phase) const {
  double sum = 0.0;
  for (const Standing& s : standings)
    if (s.phase == phase && s.why == Standing::Why::missing_time) sum += s.seconds;
  return sum;
}

}  // namespace solotaxi::planning
