// Random weights and questions for tests of the search, and answers found without it.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <random>
#include <vector>

#include "solotaxi/network/network.hpp"
#include "solotaxi/routing/search.hpp"

namespace solotaxi::test {

using routing::PathWeight;
using routing::Terminal;
using routing::Weight;

inline constexpr PathWeight kFar = std::numeric_limits<PathWeight>::max();

/// What the arcs and movements of a case weigh.
struct SearchWeights {
  std::vector<Weight> arc, movement;
};

struct WeightOptions {
  double shut_arcs = 0.05, shut_movements = 0.05;
  double nought = 0.1;   ///< share of arcs of no weight
  double heavy = 0.0;    ///< share of arcs a million times heavier, as arcs to be avoided are
  double unit = 1000.0;  ///< per metre
};

[[nodiscard]] SearchWeights random_weights(std::mt19937_64& random, const network::Network& net,
                                           const WeightOptions& options = {});

/// Arcs in millimetres, movements nothing; every arc open.
[[nodiscard]] SearchWeights length_weights(const network::Network& net);

[[nodiscard]] std::vector<Terminal> random_terminals(std::mt19937_64& random, const network::Network& net, int count,
                                                     PathWeight most);

/// Weights to every arc by Boost.Graph's Dijkstra on arcs and movements, built from the tables and not from the
/// SearchGraph; kFar where there is no way.
[[nodiscard]] std::vector<PathWeight> boost_labels(const network::Network& net, const SearchWeights& w,
                                                   const std::vector<Terminal>& seeds);

/// Weight of driving these arcs, checked movement by movement against the tables; nothing where one is shut or missing.
[[nodiscard]] std::optional<PathWeight> weigh(const network::Network& net, const SearchWeights& w,
                                              const std::vector<network::ArcId>& way, const std::vector<Terminal>& seeds);

}  // namespace solotaxi::test
