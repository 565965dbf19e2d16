// Looking things up in a built network, for the tests of this folder.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "solotaxi/network/network.hpp"

namespace solotaxi::test {

/// Findings of one code.
inline Findings found(const network::Network& net, const std::string& code) {
  Findings out;
  for (const auto& f : net.findings)
    if (f.code == code) out.push_back(f);
  return out;
}

inline double total_length(const network::Network& net) {
  double sum = 0.0;
  for (const auto& s : net.segments) sum += s.length_m;
  return sum;
}

inline bool connected(const network::Network& net, network::NodeId a, network::NodeId b) {
  return net.component[network::index(a)] == net.component[network::index(b)];
}

/// The segments that meet at a node.
inline std::size_t degree(const network::Network& net, network::NodeId n) {
  return static_cast<std::size_t>(
      std::count_if(net.segments.begin(), net.segments.end(), [&](const auto& s) { return s.from == n; }) +
      std::count_if(net.segments.begin(), net.segments.end(), [&](const auto& s) { return s.to == n; }));
}

/// The movement between two arcs, or nothing.
inline const network::Movement* movement(const network::Network& net, network::ArcId from, network::ArcId to) {
  for (const auto& m : net.movements_from(from))
    if (m.to == to) return &m;
  return nullptr;
}

}  // namespace solotaxi::test
