// The search as route questions need it: plain costs through the fast ArcSearch, ordered costs (runway and avoided length
// first) through a search of their own, and ways over places between.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "routing/terminals.hpp"

namespace solotaxi::routing {

struct OrderedTerminal {
  ArcId arc{};
  OrderedCost cost;
};

/// Cheapest ways for one attempt. Not thread-safe; the weights must outlive it.
class WaySearch {
 public:
  virtual ~WaySearch() = default;
  /// The arcs of the cheapest way from a seed's arc to a goal's, both included, or nothing; among equals always the same.
  virtual std::optional<std::vector<ArcId>> find(const std::vector<OrderedTerminal>& seeds,
                                                 const std::vector<OrderedTerminal>& goals) = 0;
  virtual void find_all(const std::vector<OrderedTerminal>& seeds) = 0;
  /// After find_all.
  [[nodiscard]] virtual std::optional<OrderedCost> cost(ArcId arc) const = 0;
  [[nodiscard]] virtual std::vector<ArcId> path_to(ArcId arc) const = 0;
};

[[nodiscard]] std::unique_ptr<WaySearch> make_way_search(const Network& net, const Weights& weights, bool ordered);

/// A way found, not yet made into a route.
struct Way {
  Beginning beginning;
  std::vector<ArcId> arcs;             ///< driven, in order
  std::vector<std::size_t> via_after;  ///< for each place between: how many arcs are driven when it is reached
  bool turn_round_at_end = false;
};

/// The cheapest way over every place between, in order. Exact: a place between is passed on the heading it is reached on.
[[nodiscard]] std::optional<Way> find_way(const Question& q, const Attempt& attempt);

}  // namespace solotaxi::routing
