// Bends of small drawn networks, one at a time.
#pragma once

#include <catch2/catch.hpp>
#include <stdexcept>

#include "solotaxi/network/shape.hpp"
#include "unit/network/drawn_network.hpp"

namespace solotaxi::test {

/// The movement from one arc into another; `i` becomes its index.
inline const network::Movement& movement(const network::Network& net, std::uint32_t from, std::uint32_t to,
                                         std::size_t& i) {
  for (i = 0; i < net.movements.size(); ++i)
    if (net.movements[i].from == network::ArcId{from} && net.movements[i].to == network::ArcId{to}) return net.movements[i];
  throw std::out_of_range("no such movement");
}
inline network::Bend turn(const network::Network& net, const network::Shape& shape, std::uint32_t from, std::uint32_t to) {
  std::size_t i = 0;
  movement(net, from, to, i);
  return shape.movement[i];
}

/// The only bend of the first line, along it.
inline network::Bend only_bend(const network::Shape& shape) {
  REQUIRE(shape.bends_of(network::ArcId{0}).size() == 1);
  return shape.bends_of(network::ArcId{0})[0];
}
inline network::Bend only_bend(const Line& line, const network::ShapeOptions& options = {}) {
  return only_bend(trace_shape(network_of({line}), options));
}

}  // namespace solotaxi::test
