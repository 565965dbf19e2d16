// A route question and its answer.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "solotaxi/aircraft/aircraft.hpp"
#include "solotaxi/base/finding.hpp"
#include "solotaxi/motion/conditions.hpp"
#include "solotaxi/motion/simulation.hpp"
#include "solotaxi/motion/verdict.hpp"
#include "solotaxi/network/network.hpp"
#include "solotaxi/routing/place.hpp"

namespace solotaxi::routing {

enum class Objective { distance, time, fuel };
enum class Direction { departure, arrival, taxi };
[[nodiscard]] const char* to_string(Objective objective);  ///< "distance", "time", "fuel"
[[nodiscard]] const char* to_string(Direction direction);  ///< "departure", "arrival", "taxi"

struct Via {
  Place place;
  double stop_min = 0.0;  ///< minutes standing there
};

struct RouteRequest {
  Place from, to;
  std::vector<Via> via;
  /// Designators, or ids of map features or nodes ("node:57"), shut altogether; a runway shut is not crossed either. A name
  /// of nothing on the field is an Error (data).
  std::vector<std::string> close;
  std::vector<std::string> avoid;  ///< the same, used only where no other way exists
  Objective objective = Objective::distance;
  std::optional<Direction> direction;  ///< stand to runway is a departure, runway to stand an arrival, else taxi
  double landing_roll_m = 1200.0;      ///< [A] arrival: least way from the landing threshold to the exit
};

struct RoutePoint {
  LatLon at;
  double height_m = 0.0;  ///< NaN where unknown
};

/// A stretch of one grade along the whole route.
struct GradeRun {
  double from_m = 0.0, length_m = 0.0;
  double height_m = 0.0;               ///< where it begins; NaN where unknown
  double grade = 0.0, grade_sd = 0.0;  ///< rise over run in the way's direction; grade NaN where unknown
};

/// A run of the route under one name, kind and verdict.
struct Leg {
  std::string name;  ///< designator or ""
  network::LineKind kind{};
  bool push_back = false;  ///< pushed, not driven: length counts, time is the push back's
  double from_m = 0.0, length_m = 0.0;
  double grade_mean = 0.0, grade_max = 0.0;  ///< rise over run in the way's direction, steepest uphill; NaN where unknown
  double grade_max_sd = 0.0;                 ///< standard deviation of grade_max
  motion::PlaceVerdict place;
  double time_s = 0.0, fuel_kg = 0.0;
  std::vector<RoutePoint> geometry;
  std::vector<GradeRun> grades;  ///< ascending, end to end but for turn-rounds, which have no profile
};

struct Turn {
  double at_m = 0.0;
  LatLon at;
  double angle_rad = 0.0, radius_m = 0.0;
  bool assumed = false, tight_drawing = false, turn_round = false;
  std::optional<bool> toward_running;  ///< nothing when every engine runs
  double thrust_factor = 1.0;          ///< infinity where impossible
  motion::PlaceVerdict place;
  std::optional<motion::PlaceVerdict> at_steering_limit;  ///< for a tight drawing
};

struct RunwayUse {
  enum class Kind { crossing, line_up, exit, along };
  Kind kind = Kind::crossing;
  std::string runway;                 ///< "05/23"
  double at_m = 0.0, length_m = 0.0;  ///< length along the runway
  LatLon at;
  std::string hold;  ///< holding position before it, "" where none has a name
  bool hold_assumed = false;
  double hold_at_m = 0.0;  ///< chainage of that holding position; NaN where there is none
};
[[nodiscard]] const char* to_string(RunwayUse::Kind kind);  ///< "crossing", "line-up", "exit", "along"

struct Route {
  std::string from, to;  ///< as asked, with the id where it was ambiguous
  Direction direction{};
  Objective objective{};
  std::string engines;               ///< running set it was computed for
  bool every_engine_needed = false;  ///< no way for that set off the runways: the all-engine route, parts marked against it
  double set_along_m = 0.0;  ///< every_engine_needed: that set's only way goes so far along runways; 0: it has none at all
  double length_m = 0.0, time_s = 0.0, fuel_kg = 0.0;
  double push_back_s = 0.0, push_back_fuel_kg = 0.0;  ///< part of the totals
  double standing_s = 0.0;                            ///< of stops at via places, part of the totals
  double probability = 1.0;                           ///< that the set suffices at the one place where that is least likely
  std::vector<Leg> legs;
  std::vector<Turn> turns;  ///< of 30° and more
  std::vector<RunwayUse> runway_uses;
  std::vector<network::ArcId> arcs;  ///< driven, in order; the ends in part only where they are positions in mid-segment
  Findings findings;
};

/// Designators driven, in order: "M, F, A"; "" where nothing has a name.
[[nodiscard]] std::string designators(const Route& route);

struct NoRoute {
  std::string reason;                 ///< one sentence
  std::vector<std::string> blocking;  ///< what stands in the way: names or ids
  std::string hint;
};

/// The cheapest route by the objective over arcs and movements, exact for time, fuel and length as the ground-movement
/// model adds them.
///
/// Departure: pushed back from the stand to the first taxiway node (its length counts, not its time by way), heading free
/// there, then to the usable entry nearest to the end where take-off begins, or the entry written. Where no entry lies
/// within 200 m of that end, full length includes the backtrack to it and a turn-round. Arrival: rolls off at the cheapest
/// exit at least `landing_roll_m` past the threshold, else turns round at the end of the runway; stops at the stand. Taxi:
/// from rest, heading free, to rest. Places between are passed on the heading they are reached on. Rules are relaxed only
/// where there is no way otherwise, in this order, each with a finding: entries further than the nearest (within 200 m of
/// the end), what is to be avoided and stand lines through stands the question does not name, runways lengthwise (more than
/// 60 m), each used as little as possible. A running set with fewer than every engine keeps to places it can pass, and can
/// start from rest in the first 30 m, at holding positions and over runways; where there is no such way, or
/// none without a runway lengthwise that every engine can do without, the all-engine route comes back with
/// `every_engine_needed`, its legs and turns still judged for the set asked. Turn costs are charged to the leg entered;
/// within an arc time and fuel are shared by length. Throws Error for places that do not resolve,
/// closures of nothing, or values out of range. Deterministic. Cost: shape and cost table, O(network), and a search, O(arcs
/// log arcs) at worst.
[[nodiscard]] std::variant<Route, NoRoute> find_route(const network::Network& network, const aircraft::Aircraft& aircraft,
                                                      aircraft::RunningSet set, const motion::Conditions& conditions,
                                                      const RouteRequest& request);

/// A route with its way driven from first to last on the engines its time and fuel are for: speed, thrust and brakes step
/// by step. The route's own figures stay those of the additive cost.
struct DrivenRoute {
  Route route;
  motion::Simulation sim;      ///< chainage 0 of it lies at `driven_from_m` of the route
  double driven_from_m = 0.0;  ///< way of the push back
};

/// The same route as find_route's, driven: from rest (arrivals roll), to rest, standing where the request stops.
[[nodiscard]] std::variant<DrivenRoute, NoRoute> find_driven_route(const network::Network& network,
                                                                   const aircraft::Aircraft& aircraft,
                                                                   aircraft::RunningSet set,
                                                                   const motion::Conditions& conditions,
                                                                   const RouteRequest& request);

}  // namespace solotaxi::routing
