// What the search for engine phases runs on: states, the steps between them, and what each step costs in each phase.
//
// A state is an arc driven to its end, perhaps in one of several layers (which of the places to pass between are behind,
// how far a clearance has been followed); `arc_of` says which arc, for a route uses no arc twice. A step makes a movement
// and drives the arc entered; it costs what movement and arc cost in the phase of the arc entered, as the ground-movement
// model, section 5, has it.
//
// Immutable and shared freely between threads. Memory about 170 bytes a step and 16 a state, and for each kind of bound
// that is asked for 10 and 4 more; O(steps) to build.
#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <mutex>
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
  /// All of them for one kind of plans; along the steps for departures, against them for arrivals: bounds come from the end
  /// where the search does not begin.
  class PlainSteps {
   public:
    [[nodiscard]] std::span<const PlainStep> at(std::uint32_t state) const { return slice(steps_, first_, state); }
    /// Four to the middle cost of those steps that cost something.
    [[nodiscard]] double buckets_per_kg() const { return buckets_per_kg_; }

   private:
    friend class PhaseGraph;
    std::once_flag made_;
    std::vector<std::uint32_t> first_;
    std::vector<PlainStep> steps_;
    double buckets_per_kg_ = 1.0;
  };
  /// Made when it is first asked for: searches for many stands at once need none.
  [[nodiscard]] const PlainSteps& plain(Bound b) const;

 private:
  template <class T>
  static std::span<const T> slice(const std::vector<T>& all, const std::vector<std::uint32_t>& first, std::uint32_t at) {
    return {all.data() + first[at], all.data() + first[at + 1]};
  }
  void check() const;
  void make_plain(Bound bound, PlainSteps& plain) const;

  std::vector<std::uint32_t> arc_of_;
  std::size_t arc_limit_ = 0;
  std::vector<PhaseStep> steps_;
  std::vector<std::uint32_t> first_out_, first_into_;
  std::vector<BackStep> into_;
  std::vector<OnStep> out_of_;
  mutable std::array<PlainSteps, 4> plain_;
};

}  // namespace solotaxi::planning
