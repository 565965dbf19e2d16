// The two directions of the search: how labels begin, how they are carried on, and where they end a plan.
#pragma once

#include <array>
#include <vector>

#include "planning/phase_labels.hpp"
#include "planning/phase_queue.hpp"
#include "solotaxi/planning/phase_search.hpp"

namespace solotaxi::planning {

enum class Kind : std::uint8_t { with_one, reference };
inline constexpr std::array kKinds = {Kind::with_one, Kind::reference};

/// The best plan found so far for a stand.
struct Found {
  double cost = kBarred;
  std::uint32_t label = kNone;
  std::uint32_t terminal = kNone;  ///< at the end where the search stops
};

/// Which plans a run is to find.
struct Wanted {
  bool with_one = true, reference = true;
};

/// Terminals by the state they are at.
class TerminalsAt {
 public:
  void set(std::size_t states, std::span<const PhaseTerminal> terminals) {
    first_.resize(states, kNone);
    for (const std::uint32_t s : used_) first_[s] = kNone;
    used_.clear();
    next_.assign(terminals.size(), kNone);
    for (std::uint32_t i = 0; i < terminals.size(); ++i) {
      const std::uint32_t s = terminals[i].state;
      next_[i] = first_[s];
      first_[s] = i;
      used_.push_back(s);
    }
  }
  [[nodiscard]] std::uint32_t first(std::uint32_t state) const { return first_[state]; }
  [[nodiscard]] std::uint32_t next(std::uint32_t terminal) const { return next_[terminal]; }

 private:
  std::vector<std::uint32_t> first_, next_, used_;
};

/// Against the steps, from the runway's goals. Layers: ALL behind the queue; then, for a queue at a holding position and
/// for one at the end of the way: ALL, START ended before the queue, START carried into it, ONE.
class DepartureSide {
 public:
  static constexpr std::uint32_t kAfter = 0, kAll = 1, kStart = 2, kStartQueued = 3, kOne = 4, kAtEnd = 4;
  static constexpr std::uint32_t kRelieved = 1U << kStartQueued | 1U << (kStartQueued + kAtEnd);

  DepartureSide(const PhaseGraph& graph, const DepartureProblem& problem, Wanted wanted, PhaseLabels& labels)
      : graph_(graph), problem_(problem), costs_(problem), wanted_(wanted), labels_(labels) {}

  [[nodiscard]] static Phase phase(std::uint32_t layer) {
    if (layer == kAfter) return Phase::all;
    const std::uint32_t in_group = (layer - 1) % kAtEnd + 1;
    return in_group == kAll ? Phase::all : in_group == kOne ? Phase::one : Phase::start;
  }
  void begin();
  void carry_on(std::uint32_t id);
  /// Cost of the plan the label ends at this terminal, for the kind of plan its layer allows; kBarred where it ends none.
  [[nodiscard]] double total(const Label& label, const PhaseTerminal& stand) const;
  [[nodiscard]] static Kind kind(const Label& label) {
    return phase(label.layer()) == Phase::one ? Kind::with_one : Kind::reference;
  }

 private:
  void add_all(std::uint32_t layer, std::uint32_t state, double cost, double all_s, std::uint32_t parent,
               std::uint32_t step);
  void add_start(std::uint32_t layer, std::uint32_t state, double cost, double start_s, double relief, std::uint32_t parent,
                 std::uint32_t step);
  void add_one(std::uint32_t layer, std::uint32_t state, double cost, std::uint32_t parent, std::uint32_t step);
  /// All phases in which the queue may be arrived in at the end of `state`, from what lies behind it in each phase.
  void add_queue(std::uint32_t group, std::uint32_t state, const ByPhase& cost, const ByPhase& time, bool may_begin_start,
                 bool start_rolls_on, std::uint32_t parent, std::uint32_t step);
  [[nodiscard]] double start_finished(std::uint32_t layer, double cost, double start_s, double relief) const {
    const double missing = costs_.start_missing(start_s);
    return cost +
           ((layer - 1) % kAtEnd + 1 == kStartQueued ? costs_.start_in_queue(relief, missing) : costs_.start() * missing);
  }

  const PhaseGraph& graph_;
  const DepartureProblem& problem_;
  StandingCosts costs_;
  Wanted wanted_;
  PhaseLabels& labels_;
};

/// Along the steps, from the runway's exits. Layers: ALL, ONE.
class ArrivalSide {
 public:
  static constexpr std::uint32_t kAll = 0, kOne = 1, kRelieved = 0;

  ArrivalSide(const PhaseGraph& graph, const ArrivalProblem& problem, Wanted wanted, PhaseLabels& labels)
      : graph_(graph), problem_(problem), wanted_(wanted), labels_(labels) {}

  [[nodiscard]] static Phase phase(std::uint32_t layer) { return layer == kAll ? Phase::all : Phase::one; }
  void begin();
  void carry_on(std::uint32_t id);
  [[nodiscard]] double total(const Label& label, const PhaseTerminal& stand) const {
    if (!(label.layer() == kOne ? wanted_.with_one : wanted_.reference)) return kBarred;
    const double stop = stand.cost_kg[index(phase(label.layer()))];
    return label.cost + stop + (label.layer() == kOne ? problem_.apu_lead_kg : 0.0);
  }
  [[nodiscard]] static Kind kind(const Label& label) { return label.layer() == kOne ? Kind::with_one : Kind::reference; }

 private:
  void add(std::uint32_t layer, std::uint32_t state, double cost, double all_s, std::uint32_t parent, std::uint32_t step);

  const PhaseGraph& graph_;
  const ArrivalProblem& problem_;
  Wanted wanted_;
  PhaseLabels& labels_;
};

}  // namespace solotaxi::planning
