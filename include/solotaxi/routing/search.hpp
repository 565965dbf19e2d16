// Cheapest ways over arcs and movements, so that the cost of every turn counts exactly.
//
// A state is an arc that has been driven to its end; a step makes a movement and drives the arc entered, its weight being
// the sum of both. Weights are whole millimetres, milliseconds or milligrams: sums are exact, ties are broken by arc id,
// and the same question gives the same bytes. A later search over engine phases adds the phase to the state beside the arc.
//
// The graph is immutable and may be shared; a query object holds the scratch memory and is reused, one per thread.
//
// Method. Labels are settled through a ring of buckets [Dial, Comm. ACM 12 (1969) 632]. A step may be lighter than a
// bucket is wide: inside a bucket labels are corrected first in, first out, until none changes, so the answer is exact
// whatever the width. Point to point adds a lower bound of the way left [Hart, Nilsson & Raphael, IEEE Trans. SSC 4
// (1968) 100], see `Bound`.
//
// Complexity. With A arcs, S steps and buckets of 1/8 to 1/4 of the median step: O(S + range of labels / bucket width) in
// practice, each label being scanned little more than once; O(A S) at the very worst (all weights inside one bucket).
// A query clears nothing: states carry the number of the query that wrote them. Memory: graph 24 A + 8 S bytes, query
// object 20 A + 40 bytes a goal, 8 KiB of buckets, and 8 bytes a label change of the largest query so far.
#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "solotaxi/network/network.hpp"

namespace solotaxi::routing {

using Weight = std::int32_t;      ///< mm, ms or mg
using PathWeight = std::int64_t;  ///< sum of weights
inline constexpr Weight kShut = std::numeric_limits<Weight>::max();

/// Fused weights in flat arrays: steps of arc a are [first[a], first[a + 1]).
class SearchGraph {
 public:
  struct Step {
    std::uint32_t to;  ///< arc entered
    Weight weight;     ///< movement + arc, 0 or more
  };
  /// Every way from the head of one arc to the head of another weighs at least `rate` × planar distance [m] - `slack`.
  /// A few short or cheap arcs would spoil a plain rate for the whole field; what they fall short of the rate is summed in
  /// the slack instead (a cheapest way enters no arc twice). The pair is chosen for the best bound over half the field.
  struct Bound {
    double rate = 0.0;
    double slack = 0.0;
  };

  /// `arc_weight` by arc (kShut: may not be driven), `movement_weight` by index of Network::movements (may be negative
  /// alone; kShut: may not be made). Throws std::logic_error where movement + arc < 0, where the sum is not below kShut, or
  /// where a table has another size than the network. O(arcs + movements).
  SearchGraph(const network::Network& network, std::span<const Weight> arc_weight, std::span<const Weight> movement_weight);

  [[nodiscard]] std::size_t arc_count() const { return arc_weight_.size(); }
  [[nodiscard]] std::span<const Step> steps(std::uint32_t arc) const {
    return {steps_.data() + first_[arc], steps_.data() + first_[arc + 1]};
  }
  [[nodiscard]] Weight arc_weight(network::ArcId a) const { return arc_weight_[index(a)]; }
  [[nodiscard]] const Bound& bound() const { return bound_; }
  [[nodiscard]] LocalXY head(std::uint32_t arc) const { return head_[arc]; }
  /// log2 of the bucket width that suits the weights: 1/8 to 1/4 of the median step.
  [[nodiscard]] int bucket_bits() const { return bucket_bits_; }

 private:
  void choose_bound(const std::vector<double>& chord_m);
  void choose_bucket_width();

  std::vector<std::uint32_t> first_;
  std::vector<Step> steps_;
  std::vector<Weight> arc_weight_;
  std::vector<LocalXY> head_;
  Bound bound_;
  int bucket_bits_ = 0;
};

/// A state with the cost at which it is reached (seed) or left for good (goal); 0 or more. The weight of a seed includes
/// its arc. No step leaves a shut arc: as a seed it reaches itself alone.
struct Terminal {
  network::ArcId arc{};
  PathWeight weight = 0;
};

class ArcSearch {
 public:
  /// The graph must outlive the search.
  explicit ArcSearch(const SearchGraph& graph);

  /// Cheapest way from any seed to any goal: total weight, or nothing. Goal-directed; stops as soon as the answer is
  /// certain. Of ways of equal weight the goal with the lowest arc id is taken, and backwards from it at each arc a seed,
  /// else the lowest arc id before it (before a step of no weight: the first found). Throws std::logic_error for an arc the
  /// graph does not have or a negative weight.
  std::optional<PathWeight> find(std::span<const Terminal> seeds, std::span<const Terminal> goals);
  /// The arcs of the last way found, seed's arc first; empty where there was none.
  [[nodiscard]] std::vector<network::ArcId> path() const;
  /// The goal reached by the last `find`. Throws std::logic_error where none was.
  [[nodiscard]] network::ArcId goal() const;

  /// Cheapest weights to every arc.
  void find_all(std::span<const Terminal> seeds);
  /// After find_all: weight at the end of an arc, nothing where it is not reached. Throws std::logic_error after `find`.
  [[nodiscard]] std::optional<PathWeight> weight(network::ArcId arc) const;
  /// After find_all: the way to an arc, empty where it is not reached. Throws std::logic_error after `find`.
  [[nodiscard]] std::vector<network::ArcId> path_to(network::ArcId arc) const;

  /// Labels scanned by the last query, for measurements.
  [[nodiscard]] std::size_t scanned() const { return scanned_; }

 private:
  static constexpr std::uint32_t kNone = 0xFFFFFFFF;
  static constexpr std::uint32_t kBuckets = 1024;

  struct State {
    PathWeight label;
    std::uint32_t parent;
    std::uint32_t mark;  ///< number of the query << 2 | is a goal << 1 | waits to be scanned
  };
  struct Entry {
    std::uint32_t arc, next;
  };
  struct Later {
    PathWeight key;
    std::uint32_t arc;
  };
  struct Target {
    LocalXY at;
    PathWeight weight;
  };

  void begin();
  void set_goals(std::span<const Terminal> goals);
  template <bool kGoalDirected>
  void run(std::span<const Terminal> seeds);
  template <bool kGoalDirected>
  void improve(std::uint32_t arc, PathWeight label, std::uint32_t parent);
  void take_goal(std::uint32_t arc, PathWeight label);
  [[nodiscard]] std::uint32_t bound_from(std::uint32_t arc) const;
  void push(std::uint32_t arc, PathWeight key);
  [[nodiscard]] bool next_bucket();
  void bring_in_later();
  [[nodiscard]] bool reached(std::uint32_t arc) const;
  [[nodiscard]] std::vector<network::ArcId> trace(std::uint32_t arc) const;

  const SearchGraph* graph_;
  std::vector<State> state_;
  std::vector<std::uint32_t> left_;  ///< lower bound of the way left, written with the state
  std::uint32_t round_ = 0;

  std::vector<Entry> pool_;
  std::array<std::uint32_t, kBuckets> front_{}, rear_{};  ///< of each bucket's list, where its bit is set
  std::array<std::uint64_t, kBuckets / 64> used_{};
  std::vector<Later> later_;    ///< keys beyond the ring
  PathWeight later_least_ = 0;  ///< bucket number of the least of them
  PathWeight current_ = 0;      ///< bucket number = key >> bits
  int bits_ = 0;

  std::vector<Target> targets_;                              ///< goals, their weights less the least
  std::vector<std::pair<std::uint32_t, PathWeight>> goals_;  ///< sorted by arc
  LocalXY low_, high_;                                       ///< box around the goals where they are many
  PathWeight goal_least_ = 0, best_ = 0;
  std::uint32_t goal_ = kNone;
  bool all_ = false;
  std::size_t scanned_ = 0;
};

}  // namespace solotaxi::routing
