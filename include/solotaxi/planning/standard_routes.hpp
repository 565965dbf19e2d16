// Standard routes: for every group of stands, runway end and direction one route that all its stands share from a merge
// point on (arrivals: up to a point where they part), drawn to use few lines.
//
// Groups. Stands on an apron that the map names are a group; those on none, by the nearest taxilane or taxiway with a name
// that their stand lines, and lines without a name behind them, lead to.
//
// Drawing. A route is a tree: every line of it leads on in one way. It is grown as trees of least total length commonly are
// (nearest-insertion, as for Steiner trees): the first stand's cheapest way, then stand after stand the cheapest way to
// what is there. What is cheap: a stand's movements a year × fuel, each line at the cheapest running set that may drive it,
// else on every engine, + `trunk_kg_m` for every metre of taxiway and taxilane that neither this tree nor a route drawn
// before uses. Two orders of the stands, the farthest first and the nearest first, are tried and the better one kept.
// Groups with most movements are drawn first. That is a heuristic: a set of routes that needs less may exist.
//
// Figures are the exact phase search's on the way drawn (phase_search.hpp), for the best running set. Routes are drawn one
// by one: traffic that meets on a line in opposite directions, and stands' push backs, are not looked at.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "solotaxi/network/network.hpp"
#include "solotaxi/routing/route.hpp"

namespace solotaxi::planning {

struct StandGroup {
  std::string name;  ///< "Apron 3"; "taxilane M", by a line's map id where it has no name
  bool apron = false;
  std::vector<int> stands;  ///< of the network, ascending
};
/// Every stand in one group, groups in the order of their first stands.
[[nodiscard]] std::vector<StandGroup> stand_groups(const network::Network& network);

/// A stand on its group's route.
struct StandOnRoute {
  int stand = 0;
  double movements = 0.0;  ///< a year
  /// Nothing where no plan can follow the route, or only over what its own best plan avoids: other stands, runways
  /// lengthwise.
  std::optional<double> fuel_kg;
  double length_m = 0.0;
  std::string running_set;  ///< "left"; "" where it takes every engine
  double extra_kg = 0.0;    ///< against the stand's own best plan
};

struct StandardRoute {
  std::size_t group = 0;    ///< into Screen::groups
  int runway = 0, end = 0;  ///< as ScreenMove
  routing::Direction direction = routing::Direction::departure;
  std::vector<std::string> names;            ///< designators from the merge point on, or up to the point of parting
  std::vector<LatLon> line;                  ///< the part shared, in the direction driven
  double length_m = 0.0;                     ///< of it
  std::vector<network::SegmentId> segments;  ///< of it, of the network screened, each once
  double new_m = 0.0;  ///< of it and the ways to it, on taxiways and taxilanes of no route drawn before
  std::vector<StandOnRoute> stands;
  [[nodiscard]] std::size_t with_one() const;  ///< stands with a plan on one engine on it
  [[nodiscard]] double extra_kg() const;       ///< a year, all stands
};

}  // namespace solotaxi::planning
