#include "planning/phase_sides.hpp"

namespace solotaxi::planning {
namespace {

constexpr std::size_t kO = index(Phase::one), kS = index(Phase::start), kA = index(Phase::all);

}  // namespace

void DepartureSide::add_all(std::uint32_t layer, std::uint32_t state, double cost, double all_s, std::uint32_t parent,
                            std::uint32_t step) {
  const double time = std::min(all_s, costs_.warm_up_s);
  labels_.add(
      {cost, time, cost + costs_.all() * costs_.warm_up_missing(time), 0.0, place_of(layer, state), parent, step, kNone});
}

void DepartureSide::add_start(std::uint32_t layer, std::uint32_t state, double cost, double start_s, double relief,
                              std::uint32_t parent, std::uint32_t step) {
  const double time = std::min(start_s, costs_.start_s);
  const double rate = (layer - 1) % kAtEnd + 1 == kStartQueued ? costs_.steepest() : costs_.start();
  labels_.add({cost, time, cost + rate * costs_.start_missing(time), relief, place_of(layer, state), parent, step, kNone});
}

void DepartureSide::add_one(std::uint32_t layer, std::uint32_t state, double cost, std::uint32_t parent,
                            std::uint32_t step) {
  labels_.add({cost, 0.0, cost, 0.0, place_of(layer, state), parent, step, kNone});
}

void DepartureSide::add_queue(std::uint32_t group, std::uint32_t state, const ByPhase& cost, const ByPhase& time,
                              bool may_begin_start, bool start_rolls_on, std::uint32_t parent, std::uint32_t step) {
  if (cost[kA] < kBarred)
    add_all(group + kAll, state, cost[kA] + costs_.queue_s * costs_.queue_all(), time[kA] + costs_.queue_s, parent, step);
  // What is driven behind the queue is driven in ALL; stopping at the way's end is not behind it.
  const auto behind_s = [&](Phase p) { return start_rolls_on ? 0.0 : time[index(p)]; };
  if (cost[kS] < kBarred) {
    const double missing = costs_.warm_up_missing(behind_s(Phase::start));
    // Without a queue START carried into it is START ended there.
    const std::uint32_t layer = group + (costs_.queue_s > 0.0 ? kStartQueued : kStart);
    add_start(layer, state, cost[kS] + costs_.queue_in_start(missing), start_rolls_on ? time[kS] : 0.0,
              costs_.queue_s > 0.0 ? costs_.relief_s(missing) : 0.0, parent, step);
  }
  if (cost[kO] < kBarred && may_begin_start && wanted_.with_one) {
    const double missing = costs_.warm_up_missing(behind_s(Phase::one));
    add_one(group + kOne, state, cost[kO] + costs_.cost(costs_.split_from_one(missing)), parent, step);
  }
}

void DepartureSide::begin() {
  for (std::uint32_t i = 0; i < problem_.runway.size(); ++i) {
    const PhaseTerminal& end = problem_.runway[i];
    if (end.cost_kg[kA] < kBarred) add_all(kAfter, end.state, end.cost_kg[kA], end.time_s[kA], kNone, i);
    add_queue(kAtEnd, end.state, end.cost_kg, end.time_s, end.may_begin_start, true, kNone, i);
  }
}

void DepartureSide::carry_on(std::uint32_t id) {
  const Label label = labels_[id];
  if (label.layer() == kAfter) {
    for (const auto& step : graph_.into(label.state())) {
      if (!(step.all_kg < kBarred)) continue;
      const double cost = label.cost + step.all_kg, time = label.time + step.all_s;
      if (step.queue_here)
        add_queue(0, step.from, {cost, cost, cost}, {time, time, time}, true, false, id, step.step);
      else
        add_all(kAfter, step.from, cost, time, id, step.step);
    }
    return;
  }
  const std::uint32_t group = label.layer() > kAtEnd ? kAtEnd : 0, layer = label.layer();
  const Phase driven = phase(layer);
  const bool one = wanted_.with_one;
  for (const auto& step : graph_.into(label.state())) {
    if (group == kAtEnd && step.queue_here) continue;  // the queue would stand there
    const bool begin = one && step.may_begin_start;
    if (driven == Phase::one) {
      if (step.one_kg < kBarred) add_one(layer, step.from, label.cost + step.one_kg, id, step.step);
    } else if (driven == Phase::start) {
      if (!(step.start_kg < kBarred)) continue;
      const double cost = label.cost + step.start_kg, time = label.time + step.start_s;
      add_start(layer, step.from, cost, time, label.relief, id, step.step);
      if (begin) add_one(group + kOne, step.from, start_finished(layer, cost, time, label.relief), id, step.step);
    } else {
      if (!(step.all_kg < kBarred)) continue;
      const double cost = label.cost + step.all_kg, time = label.time + step.all_s;
      add_all(layer, step.from, cost, time, id, step.step);
      const double ended = cost + costs_.all() * costs_.warm_up_missing(time);
      add_start(group + kStart, step.from, ended, 0.0, 0.0, id, step.step);
      if (begin) add_one(group + kOne, step.from, ended + costs_.start() * costs_.start_s, id, step.step);
    }
  }
}

double DepartureSide::total(const Label& label, const PhaseTerminal& stand) const {
  if (label.layer() == kAfter) return kBarred;  // no queue stood: that way ends in the other group
  const Phase first = phase(label.layer());
  const double begun = costs_.push_back(first) + stand.cost_kg[index(first)];
  if (!(begun < kBarred) || !(first == Phase::one ? wanted_.with_one : wanted_.reference)) return kBarred;
  if (first == Phase::one) return begun + label.cost;
  if (first == Phase::start) {
    const double time = label.time + stand.time_s[kS] + costs_.push_back_s;
    return begun + start_finished(label.layer(), label.cost, time, label.relief);
  }
  const double time = label.time + stand.time_s[kA] + costs_.all_in_push_back_s();
  return begun + label.cost + costs_.all() * costs_.warm_up_missing(time);
}

}  // namespace solotaxi::planning
