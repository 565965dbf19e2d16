// A field drawn in ASCII as a network on exact heights, to ask routes on.
#pragma once

#include <string>
#include <vector>

#include "solotaxi/network/build.hpp"
#include "support/ascii_map.hpp"
#include "unit/routing/heights.hpp"

namespace solotaxi::test {

struct Drawn {
  AsciiMap map;
  network::Network net;
  Drawn(const std::string& drawing, const std::vector<std::string>& lines, AsciiOptions options = {.metres = 40.0})
      : map(drawing, lines, options), net(network::build_network(map.field())) {
    level(net);
  }
  [[nodiscard]] std::string node(char c) const { return "node:" + std::to_string(index(map.node(net, c))); }
};

/// Two parallel taxiways from an apron to a runway, and one that crosses it; `more` lines may name more of its places.
inline Drawn two_ways(AsciiOptions options = {.metres = 25.0}, const std::vector<std::string>& more = {}) {
  std::vector<std::string> lines{"taxiway A: a b c d e", "taxiway B: a h p", "taxiway C: c i q", "taxiway D: e j r",
                                 "taxiway E: q k m n",   "stand 1: b s",     "stand 2: d t",     "runway 09/27: p q r",
                                 "hold B1: h",           "hold C1: i",       "hold D1: j"};
  lines.insert(lines.end(), more.begin(), more.end());
  return Drawn(R"(
      s         t
      |         |
    a-b----c----d----e
    |      |         |
    h      i         j
    |      |         |
    p------q---------r
           |
           k
           |
           m---------n
    )",
               lines, options);
}

}  // namespace solotaxi::test
