// One standard route as it grows: the cheapest way of stand after stand to what is there. Not public.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "planning/screen_field.hpp"
#include "routing/way_search.hpp"

namespace solotaxi::planning {

/// What drawing costs in one of the field's groups: by arc, and by movement with the arc it leads into; in mg of fuel.
struct DrawWeights {
  DrawWeights(const ScreenField& field, const ScreenField::Group& group);
  std::vector<routing::Weight> arc, step;  ///< routing::kShut where not allowed
  routing::Terminals terminals;
};

class RouteTree {
 public:
  /// `used`: by segment, what costs nothing more; `counts`: the same, lines that cost something at all. All must outlive
  /// it.
  RouteTree(const ScreenField& field, bool arrival, const std::vector<std::uint8_t>& used,
            const std::vector<std::uint8_t>& counts)
      : field_(&field), arrival_(arrival), used_(&used), counts_(&counts), state_(field.parted().arc_count()) {}

  /// Adds a stand's way to the runway end, or from it; `metre_mg`: for a metre of line not yet used. Nothing where there is
  /// none.
  [[nodiscard]] std::optional<routing::Way> add(const DrawWeights& weights, const ScreenField::Group& group, std::size_t at,
                                                double metre_mg);
  /// Fuel of the last way added, as drawing counts it [mg].
  [[nodiscard]] double last_mg() const { return last_mg_; }
  /// Length of lines in it that were not used before it.
  [[nodiscard]] double new_m() const;

 private:
  struct State {
    bool in = false;
    network::ArcId next{};           ///< toward the runway
    bool ends = false;               ///< none: the runway end
    routing::PathWeight way_mg = 0;  ///< departure: from the arc's end to the runway; arrival: from it to the arc's end
  };
  [[nodiscard]] std::optional<routing::Way> departure(const routing::SearchGraph& graph, const DrawWeights& weights,
                                                      const ScreenField::Group& group, std::size_t at);
  [[nodiscard]] std::optional<routing::Way> arrival(const routing::SearchGraph& graph, const DrawWeights& weights,
                                                    const ScreenField::Group& group, std::size_t at);
  [[nodiscard]] routing::PathWeight step_mg(const DrawWeights& weights, network::ArcId from, network::ArcId to) const;
  [[nodiscard]] std::vector<network::ArcId> members() const;

  const ScreenField* field_;
  bool arrival_;
  const std::vector<std::uint8_t>*used_, *counts_;
  std::vector<State> state_;  ///< by arc
  bool empty_ = true, turn_round_ = false;
  routing::Beginning beginning_;        ///< arrivals: of all ways
  std::vector<network::ArcId> before_;  ///< arrivals: arcs of the landing's seed before the tree's first
  double last_mg_ = 0.0;
};

}  // namespace solotaxi::planning
