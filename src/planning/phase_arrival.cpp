#include "planning/phase_sides.hpp"

namespace solotaxi::planning {

void ArrivalSide::add(std::uint32_t layer, std::uint32_t state, double cost, double all_s, std::uint32_t parent,
                      std::uint32_t step) {
  const double time = layer == kAll ? std::min(all_s, problem_.cool_down_left_s) : 0.0;
  // Where no plan with ONE is wanted time is worth nothing.
  const double rank = layer == kOne ? cost : wanted_.with_one ? -time : 0.0;
  labels_.add({cost, time, rank, 0.0, place_of(layer, state), parent, step, kNone});
}

void ArrivalSide::begin() {
  for (std::uint32_t i = 0; i < problem_.runway.size(); ++i) {
    const PhaseTerminal& exit = problem_.runway[i];
    const double all = exit.cost_kg[index(Phase::all)], one = exit.cost_kg[index(Phase::one)];
    if (all < kBarred) add(kAll, exit.state, all, exit.time_s[index(Phase::all)], kNone, i);
    if (one < kBarred && wanted_.with_one && problem_.cool_down_left_s <= 0.0) add(kOne, exit.state, one, 0.0, kNone, i);
  }
}

void ArrivalSide::carry_on(std::uint32_t id) {
  const Label label = labels_[id];
  const bool cooled = label.layer() == kOne || label.time >= problem_.cool_down_left_s;
  for (const auto& step : graph_.out_of(label.state())) {
    if (label.layer() == kAll && step.all_kg < kBarred)
      add(kAll, step.to, label.cost + step.all_kg, label.time + step.all_s, id, step.step);
    if (cooled && wanted_.with_one && step.one_kg < kBarred)
      add(kOne, step.to, label.cost + step.one_kg, 0.0, id, step.step);
  }
}

}  // namespace solotaxi::planning
