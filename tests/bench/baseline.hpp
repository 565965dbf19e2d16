// Boost.Graph's Dijkstra as the measure: on the plain node graph, which cannot see turns, and on the expanded line graph,
// whose vertices are arcs and whose edges are movements. Compressed sparse rows, whole-number weights, maps allocated once,
// early stop by an exception from the visitor.
#pragma once

#include <cstdint>
#include <memory>
#include <span>

#include "solotaxi/network/network.hpp"
#include "solotaxi/routing/search.hpp"

namespace solotaxi::bench {

class Baseline {
 public:
  static constexpr std::int64_t kFar = std::numeric_limits<std::int64_t>::max();

  /// Vertices are nodes, edges are arcs.
  static Baseline on_nodes(const network::Network& net, std::span<const routing::Weight> arc);
  /// Vertices are arcs, edges are movements with the weight of the arc entered.
  static Baseline on_arcs(const network::Network& net, std::span<const routing::Weight> arc,
                          std::span<const routing::Weight> movement);
  Baseline(Baseline&&) noexcept;
  ~Baseline();

  /// Weight from vertex to vertex, kFar where there is no way; stops when `to` is settled.
  std::int64_t find(std::uint32_t from, std::uint32_t to);
  void find_all(std::uint32_t from);
  [[nodiscard]] std::int64_t label(std::uint32_t vertex) const;

 private:
  struct Parts;
  explicit Baseline(std::unique_ptr<Parts> parts);
  std::unique_ptr<Parts> parts_;
};

}  // namespace solotaxi::bench
