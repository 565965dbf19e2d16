#include <algorithm>

#include "planning/phase_field.hpp"
#include "planning/time_units.hpp"
#include "solotaxi/motion/simulation.hpp"

namespace solotaxi::planning {
PhaseFlows phase_flows(const routing::Question& q, const motion::CostTable& one, const motion::CostTable& all,
                       double moves_per_min) {
  const auto& aircraft = *q.aircraft;
  const bool apu = q.conditions->apu_on;
  const double run_kg_h = apu ? aircraft.apu_run_kg_h : 0.0, start_kg_h = apu ? aircraft.apu_start_kg_h : 0.0;
  // The engines being started burn idle flow.
  const double others_kg_s = all.standing_flow_kg_s() - (one.standing_flow_kg_s() - run_kg_h / kHour);
  PhaseFlows out;
  out.start_rolls = apu;
  out.start_over_one_kg_s = others_kg_s + (start_kg_h - run_kg_h) / kHour;
  double bleed_kg_s = 0.0;
  if (!apu) {
    const double bleed_n = aircraft.cross_bleed_thrust_share * aircraft.thrust_rated_n * q.conditions->air.delta() *
                           static_cast<double>(one.running_set().count());
    bleed_kg_s = std::max(0.0, one.places().flow_kg_s(bleed_n) - one.places().idle_flow_kg_s());
  }
  const double one_kg_s = one.standing_flow_kg_s();
  out.standing_kg_s = {one_kg_s, one_kg_s + out.start_over_one_kg_s + bleed_kg_s, all.standing_flow_kg_s()};
  out.apu_kg_h = {run_kg_h, start_kg_h + bleed_kg_s * kHour, 0.0};
  const double per_s = moves_per_min / 60.0;
  const double one_move = motion::queue_move_kg(one.places()) * per_s;
  const double all_move = motion::queue_move_kg(all.places()) * per_s;
  // In START the same engines push as in ONE. The search wants START no cheaper than ALL in the queue.
  out.move_kg_s = {
      one_move,
      std::max(one_move, all_move - (out.standing_kg_s[index(Phase::start)] - out.standing_kg_s[index(Phase::all)])),
      all_move};
  return out;
}

}  // namespace solotaxi::planning
