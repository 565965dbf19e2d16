// Networks drawn straight from nodes and lines, for tests of the search: no map, no heights, no runways.
#pragma once

#include <cstdint>
#include <random>
#include <vector>

#include "solotaxi/network/network.hpp"

namespace solotaxi::test {

struct DrawnLine {
  std::uint32_t from = 0, to = 0;     ///< nodes
  std::vector<LocalXY> between = {};  ///< vertices between them
  network::LineKind kind = network::LineKind::taxiway;
  network::OneWay one_way = network::OneWay::no;
};

/// A network of these nodes and lines in the order given, about 0° N 30° W. Movements over 135° and turning back on the
/// same segment are left out; angles are those of the lines' first and last pieces.
[[nodiscard]] network::Network draw_network(const std::vector<LocalXY>& nodes, const std::vector<DrawnLine>& lines);

struct RandomNetworkOptions {
  std::uint32_t columns = 4, rows = 4;
  double spacing_m = 100.0;
  double jitter = 0.35;    ///< of a node, as a share of the spacing
  double missing = 0.2;    ///< share of grid lines left out
  double diagonals = 0.2;  ///< share of cells with a diagonal
  double one_way = 0.15;   ///< share of lines driven one way only
};

/// A jittered grid with holes, diagonals and one-way lines.
[[nodiscard]] network::Network random_network(std::mt19937_64& random, const RandomNetworkOptions& options = {});

/// Uniform in [low, high]; the same on every platform for the same state of `random`.
[[nodiscard]] std::int64_t random_int(std::mt19937_64& random, std::int64_t low, std::int64_t high);
/// Uniform in [0, 1).
[[nodiscard]] double random_unit(std::mt19937_64& random);

}  // namespace solotaxi::test
