// Whether a way follows a clearance, told from the words of routing/assigned_way.hpp by trying every reading of it; and all
// ways of a small network. For taxiways, turns and places to hold short of taxiways; no runways, stands or taxilanes.
#pragma once

#include <functional>
#include <vector>

#include "solotaxi/aircraft/aircraft.hpp"
#include "solotaxi/motion/conditions.hpp"
#include "solotaxi/network/network.hpp"
#include "solotaxi/routing/clearance.hpp"

namespace solotaxi::test {

class ClearanceOracle {
 public:
  explicit ClearanceOracle(const network::Network& net);

  [[nodiscard]] bool follows(const std::vector<network::ArcId>& way, const routing::Clearance& clearance) const;

  /// Calls `each` with every way from a node to another of at most that length [m] and number of arcs; an arc may be driven
  /// twice. Ends early where it returns false.
  void every_way(network::NodeId from, network::NodeId to, double most_m, std::size_t most_arcs,
                 const std::function<bool(const std::vector<network::ArcId>&, double)>& each) const;

 private:
  [[nodiscard]] bool reads(const std::vector<network::ArcId>& way, std::size_t k, std::size_t item, const std::string& line,
                           const routing::Clearance& clearance) const;
  [[nodiscard]] bool turns(const std::vector<network::ArcId>& way, std::size_t k, std::size_t item, const std::string& line,
                           const routing::Clearance& clearance) const;
  [[nodiscard]] bool comes_by(const std::vector<network::ArcId>& way, const std::string& taxiway) const;
  [[nodiscard]] bool near(network::NodeId node, const std::string& taxiway) const;

  const network::Network& net_;
  std::vector<bool> arc_open_, movement_open_;
};

}  // namespace solotaxi::test
