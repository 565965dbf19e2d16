// A plan kept, under other conditions than it was made for.
#include <algorithm>
#include <cmath>

#include "planning/phase_layout.hpp"
#include "planning/solver.hpp"

namespace solotaxi::planning {
namespace {

/// Puts another aircraft and other conditions into a question for as long as it lives.
class Changed {
 public:
  Changed(routing::Question& q, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions)
      : q_(q), aircraft_(q.aircraft), conditions_(q.conditions) {
    q.aircraft = &aircraft;
    q.conditions = &conditions;
  }
  ~Changed() {
    q_.aircraft = aircraft_;
    q_.conditions = conditions_;
  }
  Changed(const Changed&) = delete;
  Changed& operator=(const Changed&) = delete;

 private:
  routing::Question& q_;
  const aircraft::Aircraft* aircraft_;
  const motion::Conditions* conditions_;
};

}  // namespace

std::optional<DrivenPlan> Solver::drive_again(const KeptWay& kept, double queue_s, const aircraft::Aircraft& aircraft,
                                              const motion::Conditions& conditions) {
  const Changed changed(question_, aircraft, conditions);
  const PhaseField& field = *sets_[kept.set].field;
  Layout layout = lay_out_phases(question_, field, kept.planned, *request_);
  const motion::Simulation sim = question_.direction == routing::Direction::arrival
                                     ? set_shutdown(question_, field, kept.planned, *request_, layout)
                                     : set_start(question_, field, kept.planned, queue_s, *request_, layout);
  if (sim.stalled) return std::nullopt;
  DrivenPlan out;
  out.running_set = aircraft::to_string(aircraft, field.one().running_set());
  out.one = std::find(layout.kinds.begin(), layout.kinds.end(), Phase::one) != layout.kinds.end();
  out.route.time_s = sim.time_s();
  out.route.fuel_kg = sim.fuel_kg();
  for (std::size_t i = 0; i < layout.kinds.size(); ++i) {
    const motion::PhaseRun& run = sim.phases[i];
    if (std::isnan(run.at_m)) continue;
    PlanPhase phase;
    phase.phase = layout.kinds[i];
    phase.time_s = run.time_s;
    out.phases.push_back(std::move(phase));
  }
  return out;
}

}  // namespace solotaxi::planning
