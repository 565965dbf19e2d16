// The cheapest plan over routes, switch points and waits, and the reference beside it: exact.
//
// DEPARTURE. A plan drives states s_1 … s_n, each in a phase, ONE ≤ START ≤ ALL in this order, and stands:
//  - in the push back, P = push_back_s. A plan contains ONE when it drives s_1 in ONE; its push back is then in ONE.
//  Otherwise
//    (the reference) START runs from the first second of the push back: through all of it when s_1 is driven in START, else
//    for start_s, then ALL; what the push back is too short for is waited before s_1.
//  - START begins at a movement that allows it, or while standing in the queue; it lasts S = start_s or longer. Seconds
//    missing when it ends at a movement are waited there, standing. START may hold no arc at all.
//  - the queue, Q = queue_s, stands at the last step of the route with `queue_here`, else at the end (START begins there
//  only
//    where the goal allows it). It is stood in the phase arrived in. Behind it everything is driven in ALL.
//  - ALL lasts W = warm_up_s or longer before the end. Seconds missing are waited at the queue's place.
// Standing costs r_p = flow_kg_s[p] a second; the Q seconds of the queue cost q_p = r_p + move_kg_s[p].
// r_START ≥ r_ALL and q_START ≥ q_ALL are demanded: the engines that do not drive idle in START, and the APU runs beside
// them. Hence START, standing, never lasts longer than it must.
//
// The queue. Let M be the warm-up still missing behind the queue's place, M = max(0, W − time driven behind it).
//  - Arrived in ALL: Q q_ALL, and Q seconds of warm-up.
//  - Arrived in START with m of its seconds missing: they are the first of the queue, so they take the place of ALL
//  seconds;
//    those beyond Q are waited at its front, and so is the warm-up that finds no room any more:
//      Q q_ALL + r_ALL max(0, M − Q)  +  F_h(m),  h = max(0, Q − M),
//      F_h(m) = (q_START − q_ALL) min(m, h) + (q_START − q_ALL + r_ALL) max(0, min(m, Q) − h) + r_START max(0, m − Q).
//    Without moves the slopes are r_START − r_ALL up to h, then r_START: convex, as the model has it.
//  - Arrived in ONE: x seconds of ONE, then START, then ALL. The cost is piecewise linear in x, so the least is at one of
//    x = 0, Q − S − M, Q − S, Q (each cut to 0 … Q).
//
// ARRIVAL. ALL until cool_down_left_s has passed since the start of s_1, without waiting for it, then ONE to the end; the
// switch is made at a movement (before s_1 where nothing is left to pass). A plan with ONE drives at least s_n in ONE and
// costs apu_lead_kg more. The reference drives everything in ALL.
//
// METHOD. Label-setting outward from the runway: against the steps for a departure, along them for an arrival. A label
// holds the cost c of the part planned and the seconds t already in the phase that is being timed, and is settled in the
// order of c (of c + lower bound of the rest; the bound is one number a state, so at a state the order is the same).
//
// PROOF that no plan is lost, were arcs allowed twice.
//  1. Departure, phase ALL (before or behind the queue): let k = c + r_ALL max(0, W − t). Whatever comes before, the rest
//  of
//     the plan's cost is a function of the seconds missing that never falls and whose slope is at most r_ALL: plainly where
//     they are waited; in the queue, where M appears in max(0, M − room) r_ALL at fixed x and m. So where c₁ ≤ c₂ and
//     k₁ ≤ k₂, label 1 followed by label 2's beginning costs no more: for t₁ ≥ t₂ by the first, else c₁ + r_ALL (t₂ − t₁) ≤
//     c₂ (or c₁ + r_ALL (W − t₁) ≤ c₂ where t₂ has reached W) by the second. Label 2 may be dropped.
//  2. START ended before the queue: the same with S and r_START. START carried into the queue: a label also holds h (cut to
//     S), its slope is at most f = max(r_START, q_START − q_ALL + r_ALL), k = c + f max(0, S − t), and since
//     F_h ≤ F_g + r_ALL max(0, g − h), label 1 may replace label 2 where both c₁ and k₁, with r_ALL max(0, h₂ − h₁) added
//     to each, are no more than c₂ and k₂.
//  3. ONE: nothing is timed, c alone counts. Arrival, ALL: c₁ ≤ c₂ and t₁ ≥ t₂, t cut to what is needed: there is no
//  waiting.
//  4. Settled in order of c, the labels kept at a state fall in k, so one compare with the last one's k is the whole test
//     (2's labels of unequal h are compared one by one).
//  5. Steps cost 0 or more and the lower bound (the cheapest way from the other end, each step in its cheapest phase, cut
//  off
//     where the search for it stopped) never falls by more than a step costs, so keys never fall and the first plan whose
//     cost the least key has reached is the cheapest.
// A route uses no arc twice. Where every step costs at least what standing as long in its phase does, a loop in a departure
// pays only if it leads past a place where START may begin; it may always pay in an arrival that burns cool-down time. The
// minimum over ways that may repeat arcs is a lower bound; if the way that attains it repeats none, it is the answer. If it
// does, the search is run again with labels that remember whether they have used the arcs that were repeated, may not use
// them again, and replace another label only if they have used no more of them [decremental state space relaxation: Righini
// & Salani, Networks 51 (2008) 155]; and so on until no arc is repeated. Each round adds an arc, so this ends, with the
// exact answer; in bad cases (an arrival at a stand next to the exit with minutes to burn) after many labels: a limit on
// them throws rather than answer wrongly.
//
// Complexity: O(labels × steps of a state), labels about one a state and layer, START one per arc boundary of the last
// start_s; 20 to 200 µs a plan on fields of 500 to 3,000 segments. Memory: 32 bytes × 9 layers × states, 48 bytes a label.
// Sums are of doubles: ties within rounding may fall either way; the same question gives the same bytes.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "solotaxi/planning/phase_graph.hpp"

namespace solotaxi::planning {

/// Where plans begin or end.
struct PhaseTerminal {
  std::uint32_t state = 0;
  /// Stands are numbered from 0; a stand may have several terminals (the heading after the push back is free).
  std::uint32_t stand = 0;
  /// Of a beginning: the state's arc driven, start from rest included where there is one. Of an end: stopping. kBarred
  /// where the phase may not. At an end they are those of the phase of the last arc.
  ByPhase cost_kg{};
  ByPhase time_s{};
  /// Of a departure's end: START may begin standing there (where the route has no other place for the queue).
  bool may_begin_start = true;
};

struct DepartureProblem {
  std::vector<PhaseTerminal> stands;  ///< beginnings
  std::vector<PhaseTerminal> runway;  ///< ends
  ByPhase flow_kg_s{};                ///< standing
  ByPhase move_kg_s{};                ///< what moving up adds to it in the queue
  double push_back_s = 120, start_s = 60, warm_up_s = 180, queue_s = 0;
};

struct ArrivalProblem {
  std::vector<PhaseTerminal> runway;  ///< beginnings: exits
  std::vector<PhaseTerminal> stands;  ///< ends
  double cool_down_left_s = 180;      ///< cool-down less what has passed since the landing roll, 0 or more
  double apu_lead_kg = 0;             ///< of a plan with ONE: the APU's earlier start
};

struct PhaseLeg {
  std::uint32_t state;
  Phase phase;
  friend bool operator==(const PhaseLeg&, const PhaseLeg&) = default;
};

/// Seconds stood in one phase in one place; more than nought.
struct Standing {
  static constexpr std::uint32_t kBeforeFirst = 0xFFFFFFFF;
  std::uint32_t after;  ///< leg at whose end; kBeforeFirst: before the first (push back, and waiting at its end)
  Phase phase;
  double seconds;
  enum class Why : std::uint8_t { push_back, missing_time, queue } why;
};

struct PhasePlan {
  double cost_kg = 0.0, time_s = 0.0;  ///< everything, push back, waits and queue included
  std::vector<PhaseLeg> legs;          ///< states in the order driven
  std::vector<Standing> standings;     ///< in the order stood
  std::size_t from = 0, to = 0;        ///< terminals, by index in the problem

  /// Seconds stood in a phase for missing time.
  [[nodiscard]] double waited_s(Phase phase) const;
};

struct PhaseAnswer {
  std::optional<PhasePlan> with_one;   ///< cheapest that contains ONE
  std::optional<PhasePlan> reference;  ///< cheapest without
};

/// Holds scratch memory and is reused, one per thread. Throws std::logic_error for a problem with a state the graph does
/// not have, a negative or not-finite number, or START standing cheaper than ALL.
class PhaseSearch {
 public:
  /// The graph must outlive the search.
  explicit PhaseSearch(const PhaseGraph& graph);
  PhaseSearch(PhaseSearch&&) noexcept;
  ~PhaseSearch();

  /// The cheapest plans over all terminals, whatever their stands. Guided by lower bounds: for a stand or a few.
  PhaseAnswer find(const DepartureProblem& problem);
  PhaseAnswer find(const ArrivalProblem& problem);
  /// The cheapest plans of every stand, in one search outward from the runway; by stand number.
  std::vector<PhaseAnswer> find_all(const DepartureProblem& problem);
  std::vector<PhaseAnswer> find_all(const ArrivalProblem& problem);

  /// Labels made by the last call, for measurements.
  [[nodiscard]] std::size_t labels() const;
  /// Searches run again by the last call because a way repeated an arc.
  [[nodiscard]] std::size_t repeats() const;
  /// Most labels of one search; beyond it std::runtime_error is thrown. 50 million by default (2.4 GB).
  void set_label_limit(std::size_t most);

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace solotaxi::planning
