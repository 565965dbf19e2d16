// What standing costs a departure: missing time, and the queue before line-up. The formulas of planning/phase_search.hpp.
#pragma once

#include <algorithm>

#include "solotaxi/planning/phase_search.hpp"

namespace solotaxi::planning {

/// Seconds of the queue in each phase, and what is waited beyond them.
struct QueueSplit {
  double one_s = 0.0, start_s = 0.0, all_s = 0.0, start_more_s = 0.0, all_more_s = 0.0;
};

struct StandingCosts {
  double push_back_s, start_s, warm_up_s, queue_s;
  ByPhase stand, queue;  ///< kg/s

  explicit StandingCosts(const DepartureProblem& p)
      : push_back_s(p.push_back_s), start_s(p.start_s), warm_up_s(p.warm_up_s), queue_s(p.queue_s), stand(p.flow_kg_s) {
    for (std::size_t i = 0; i < 3; ++i) queue[i] = p.flow_kg_s[i] + p.move_kg_s[i];
  }
  [[nodiscard]] double one() const { return stand[index(Phase::one)]; }
  [[nodiscard]] double start() const { return stand[index(Phase::start)]; }
  [[nodiscard]] double all() const { return stand[index(Phase::all)]; }
  [[nodiscard]] double queue_one() const { return queue[index(Phase::one)]; }
  [[nodiscard]] double queue_start() const { return queue[index(Phase::start)]; }
  [[nodiscard]] double queue_all() const { return queue[index(Phase::all)]; }

  [[nodiscard]] double warm_up_missing(double all_s) const { return std::max(0.0, warm_up_s - all_s); }
  [[nodiscard]] double start_missing(double driven_s) const { return std::max(0.0, start_s - driven_s); }

  /// Push back of a plan with ONE, of one whose first arc is driven in START, of one all whose arcs are driven in ALL.
  [[nodiscard]] double push_back(Phase first) const {
    if (first == Phase::one) return push_back_s * one();
    if (first == Phase::start) return push_back_s * start();
    return start_s * start() + all_in_push_back_s() * all();
  }
  [[nodiscard]] double all_in_push_back_s() const { return std::max(0.0, push_back_s - start_s); }

  // The queue, arrived in START: what it costs with no second of START missing, the relief h, and F_h(m).
  [[nodiscard]] double queue_in_start(double missing_behind) const {
    return queue_s * queue_all() + all() * std::max(0.0, missing_behind - queue_s);
  }
  [[nodiscard]] double relief_s(double missing_behind) const {
    return std::min(start_s, std::max(0.0, queue_s - missing_behind));
  }
  [[nodiscard]] double start_in_queue(double relief_s, double missing_s) const {
    const double rise = queue_start() - queue_all();
    const double in_queue_s = std::min(missing_s, queue_s);
    return rise * in_queue_s + all() * std::max(0.0, in_queue_s - relief_s) + start() * (missing_s - in_queue_s);
  }
  /// Steepest slope of F_h.
  [[nodiscard]] double steepest() const { return std::max(start(), queue_start() - queue_all() + all()); }

  /// START's `missing_s` first, then ALL.
  [[nodiscard]] QueueSplit split(double one_s, double missing_s, double missing_behind) const {
    QueueSplit s;
    s.one_s = one_s;
    s.start_s = std::min(missing_s, queue_s - one_s);
    s.start_more_s = missing_s - s.start_s;
    s.all_s = std::max(0.0, queue_s - one_s - s.start_s);
    s.all_more_s = std::max(0.0, missing_behind - s.all_s);
    return s;
  }
  [[nodiscard]] double cost(const QueueSplit& s) const {
    return s.one_s * queue_one() + s.start_s * queue_start() + s.all_s * queue_all() + s.start_more_s * start() +
           s.all_more_s * all();
  }
  /// Arrived in ONE: the cheapest split.
  [[nodiscard]] QueueSplit split_from_one(double missing_behind) const {
    QueueSplit best = split(0.0, start_s, missing_behind);
    for (const double one_s : {queue_s - start_s - missing_behind, queue_s - start_s, queue_s}) {
      const QueueSplit tried = split(std::clamp(one_s, 0.0, queue_s), start_s, missing_behind);
      if (cost(tried) < cost(best)) best = tried;
    }
    return best;
  }
};

}  // namespace solotaxi::planning
