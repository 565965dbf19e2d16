// What the search for engine phases runs on: states, the steps between them, and what each step costs in each phase.
//
// A state is an arc driven to its end, perhaps in one of several layers (which of the places to pass between are behind,
// how far a clearance has been followed); `arc_of` says which arc, for a route uses no arc twice. A step makes a movement
// and drives the arc entered; it costs what movement and arc cost in the phase of the arc entered, as the ground-movement
// model, section 5, has it.
//
// Immutable and shared freely between threads. Memory about 200 bytes a step and 20 a state; O(steps) to build.
#pragma once

#include <array>
#include <cstdint>
#include <initializer_list>
#include <limits>
#include <span>
#include <vector>

namespace solotaxi::planning {

/// Departure: one, start, all. Arrival: all, then one.
enum class Phase : std::uint8_t { one, start, all };
constexpr std::size_t index(Phase p) { return static_cast<std::size_t>(p); }
using ByPhase = std::array<double, 3>;

/// As a cost: the step may not be made in this phase.
inline constexpr double kBarred = std::numeric_limits<double>::infinity();

/// A cost that is not kBarred is no more than this [kg].
inline constexpr double kMostCost = 1e9;
/// States a graph may have.
inline constexpr std::uint32_t kMostStates = (1U << 28U) - 1;

struct PhaseStep {
  std::uint32_t from = 0, to = 0;  ///< states
  ByPhase cost_kg{};               ///< 0 or more, kBarred where the phase may not make the step
  ByPhase time_s{};                ///< 0 or more, finite where the cost is
  bool may_begin_start = true;     ///< START may begin at this movement: no runway node, no runway arc, no more than 60°
  bool queue_here = false;         ///< the movement is at a holding position of the runway asked for
};

class PhaseGraph {
 public:
  /// Throws std::logic_error for a state the graph does not have, a negative cost or time, or a time that is not finite
  /// where the cost is.
  PhaseGraph(std::vector<std::uint32_t> arc_of, std::vector<PhaseStep> steps);

  [[nodiscard]] std::size_t state_count() const { return arc_of_.size(); }
  [[nodiscard]] std::size_t step_count() const { return steps_.size(); }
  [[nodiscard]] std::uint32_t arc_of(std::uint32_t state) const { return arc_of_[state]; }
  /// One more than the largest arc.
  [[nodiscard]] std::size_t arc_limit() const { return arc_limit_; }
  /// Steps sorted by `from`, then `to`.
  [[nodiscard]] const PhaseStep& step(std::uint32_t s) const { return steps_[s]; }

  /// What a departure needs of a step, seen from the state entered.
  struct BackStep {
    double one_kg, start_kg, all_kg, start_s, all_s;
    std::uint32_t from;
    std::uint32_t step : 30;
    std::uint32_t may_begin_start : 1, queue_here : 1;
  };
  /// What an arrival needs of a step, seen from the state left.
  struct OnStep {
    double one_kg, all_kg, all_s;
    std::uint32_t to, step;
  };
  /// A step with the least cost in any of the phases a plan may use: what lower bounds are made of.
  struct PlainStep {
    std::uint32_t state;
    float cost_kg;  ///< rounded down
  };
  /// The plans a lower bound holds for.
  enum class Bound : std::uint8_t { departure_with_one, departure_reference, arrival_with_one, arrival_reference };

  [[nodiscard]] std::span<const BackStep> into(std::uint32_t state) const { return slice(into_, first_into_, state); }
  [[nodiscard]] std::span<const OnStep> out_of(std::uint32_t state) const { return slice(out_of_, first_out_, state); }
  /// Four to the middle cost of those steps that cost something.
  [[nodiscard]] double buckets_per_kg(Bound b) const { return plain_[static_cast<std::size_t>(b)].buckets_per_kg; }
  /// Along the steps for departures, against them for arrivals: bounds come from the end where the search does not begin.
  [[nodiscard]] std::span<const PlainStep> plain(Bound b, std::uint32_t state) const {
    const Plain& p = plain_[static_cast<std::size_t>(b)];
    return slice(p.steps, p.first, state);
  }

 private:
  struct Plain {
    std::vector<std::uint32_t> first;
    std::vector<PlainStep> steps;
    double buckets_per_kg = 1.0;
  };
  template <class T>
  static std::span<const T> slice(const std::vector<T>& all, const std::vector<std::uint32_t>& first, std::uint32_t at) {
    return {all.data() + first[at], all.data() + first[at + 1]};
  }
  void check() const;
  void add_plain(Bound bound, std::initializer_list<Phase> phases);

  std::vector<std::uint32_t> arc_of_;
  std::size_t arc_limit_ = 0;
  std::vector<PhaseStep> steps_;
  std::vector<std::uint32_t> first_out_, first_into_;
  std::vector<BackStep> into_;
  std::vector<OnStep> out_of_;
  std::array<Plain, 4> plain_;
};

}  // namespace solotaxi::planning
