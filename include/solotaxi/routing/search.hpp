// Cheapest ways over arcs and movements, so that the cost of every turn counts exactly.
//
// A state is an arc that has been driven to its end; a step makes a movement and drives the arc entered, its weight being
// the sum of both. Weights are whole millimetres, milliseconds or milligrams: sums are exact, ties are broken by arc id, and
// the same question gives the same bytes. A later search over engine phases adds the phase to the state beside the arc.
//
// The graph is immutable and may be shared; a query object holds the scratch memory and is reused, one per thread.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "solotaxi/network/network.hpp"

namespace solotaxi::routing {

using Weight = std::int32_t;     ///< mm, ms or mg
using PathWeight = std::int64_t; ///< sum of weights
inline constexpr Weight kShut = std::numeric_limits<Weight>::max();

/// Fused weights in flat arrays: steps of arc a are [first[a], first[a + 1]).
class SearchGraph {
 public:
  struct Step {
    std::uint32_t to;       ///< arc entered
    Weight weight;          ///< movement + arc
  };
  /// `arc_weight` by arc (kShut: may not be driven), `movement_weight` by index of Network::movements (may be negative alone;
  /// kShut: may not be made). Throws std::logic_error where movement + arc < 0. O(arcs + movements).
  SearchGraph(const network::Network& network, std::span<const Weight> arc_weight, std::span<const Weight> movement_weight);

  [[nodiscard]] std::size_t arc_count() const { return first_.size() - 1; }
  [[nodiscard]] std::span<const Step> steps(std::uint32_t arc) const {
    return {steps_.data() + first_[arc], steps_.data() + first_[arc + 1]};
  }
  [[nodiscard]] Weight arc_weight(network::ArcId a) const { return arc_weight_[index(a)]; }
  /// Lower bound of weight per metre of planar way between heads of arcs, and the heads themselves, for goal direction.
  [[nodiscard]] double least_rate() const { return least_rate_; }
  [[nodiscard]] LocalXY head(std::uint32_t arc) const { return head_[arc]; }

 private:
  std::vector<std::uint32_t> first_;
  std::vector<Step> steps_;
  std::vector<Weight> arc_weight_;
  std::vector<LocalXY> head_;
  double least_rate_ = 0.0;
};

/// A state with the cost at which it is reached (seed) or left for good (goal).
struct Terminal {
  network::ArcId arc{};
  PathWeight weight = 0;
};

class ArcSearch {
 public:
  explicit ArcSearch(const SearchGraph& graph);

  /// Cheapest way from any seed to any goal: total weight, or nothing. Goal-directed; stops as soon as the answer is certain.
  std::optional<PathWeight> find(std::span<const Terminal> seeds, std::span<const Terminal> goals);
  /// The arcs of the last way found, seed's arc first.
  [[nodiscard]] std::vector<network::ArcId> path() const;
  /// The goal reached by the last `find`.
  [[nodiscard]] network::ArcId goal() const;

  /// Cheapest weights to every arc.
  void find_all(std::span<const Terminal> seeds);
  /// After find_all: weight at the end of an arc, nothing where it is not reached.
  [[nodiscard]] std::optional<PathWeight> weight(network::ArcId arc) const;
  /// After find_all: the way to an arc.
  [[nodiscard]] std::vector<network::ArcId> path_to(network::ArcId arc) const;

 private:
  const SearchGraph* graph_;
  std::vector<PathWeight> label_;
  std::vector<std::uint32_t> parent_, stamp_;
  std::uint32_t round_ = 0;
  std::uint32_t goal_ = 0;
  // plus whatever queue the implementation needs
};

}  // namespace solotaxi::routing
