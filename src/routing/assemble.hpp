// From the arcs of a way to the route a person reads: legs, turns, runway uses, findings.
#pragma once

#include <optional>
#include <vector>

#include "routing/way_search.hpp"

namespace solotaxi::routing {

/// A way with the tables it is told by.
struct Telling {
  const Question* q = nullptr;
  const Way* way = nullptr;
  const CostTable* driven = nullptr;  ///< time and fuel
  const CostTable* asked = nullptr;   ///< verdicts: of the running set that was asked for
  bool every_engine_needed = false;
  double along_m = 0.0;  ///< every engine is taken because the asked set's only way goes so far along runways
};

/// A step of the way: an arc and the movement into it, with the chainage along the whole route.
struct Step {
  ArcId arc{};
  std::optional<std::size_t> movement;  ///< index of Network::movements; none where the aircraft starts here from rest
  bool turn_round = false;              ///< the movement is a turn-round on the runway
  ArcId before{};                       ///< arc left by the movement
  double from_m = 0.0;                  ///< chainage of the arc's start, the turn-round's way included
  std::optional<std::size_t> stop;      ///< index of the place between at which it starts from rest
};

/// Chainages count from the stand (push back included) or the start.
struct Steps {
  std::vector<Step> steps;
  double push_m = 0.0;
  double length_m = 0.0;  ///< of the whole route
};
[[nodiscard]] Steps lay_out(const Telling& t);

/// Fills legs and totals.
void add_legs(const Telling& t, const Steps& steps, Route& route);
/// Fills turns of 30° and more.
void add_turns(const Telling& t, const Steps& steps, Route& route);
/// Fills runway uses and what is to be said of them.
void add_runway_uses(const Telling& t, const Steps& steps, Route& route);
/// Adds what the map, the network and this route give reason to say.
void add_findings(const Telling& t, const Steps& steps, Route& route);

[[nodiscard]] Route assemble(const Telling& t);

/// A finding at a node of the network.
[[nodiscard]] Finding finding_at(const Network& net, NodeId node, std::string code, Severity severity, std::string text);
/// "taxiway A", "runway 05/23", "an unnamed taxilane (way/7)".
[[nodiscard]] std::string line_text(const network::Segment& segment, const Network& net);

/// "its width of 12 m is under the 15 m of the wheels", or "" where the segment's width and wingspan limit let the aircraft
/// in.
[[nodiscard]] std::string limit_text(const network::Segment& segment, const aircraft::Aircraft& aircraft);

/// Part of an arc as it is driven.
struct Slice {
  std::vector<RoutePoint> points;
  struct Run {
    double length_m = 0.0, grade = 0.0, grade_sd = 0.0;
    double height_m = 0.0;  ///< where it begins
  };                        ///< grade and height NaN where unknown
  std::vector<Run> runs;
};
/// From one way along the arc to another [m], both within its length.
[[nodiscard]] Slice slice(const Network& net, ArcId arc, double from_m, double to_m);

}  // namespace solotaxi::routing
