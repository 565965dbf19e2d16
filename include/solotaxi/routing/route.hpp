// A route question and its answer.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "solotaxi/aircraft/aircraft.hpp"
#include "solotaxi/base/finding.hpp"
#include "solotaxi/motion/conditions.hpp"
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
  std::vector<std::string> close;  ///< designators, or ids of map features or nodes ("node:57"), shut altogether
  std::vector<std::string> avoid;  ///< the same, used only where no other way exists
  Objective objective = Objective::distance;
  std::optional<Direction> direction;  ///< stand to runway is a departure, runway to stand an arrival, else taxi
  double landing_roll_m = 1200.0;      ///< [A] arrival: least way from the landing threshold to the exit
};

struct RoutePoint {
  LatLon at;
  double height_m = 0.0;  ///< NaN where unknown
};

/// A run of the route under one name, kind and verdict.
struct Leg {
  std::string name;  ///< designator or ""
  network::LineKind kind{};
  bool push_back = false;  ///< pushed, not driven: length counts, time is the push back's
  double from_m = 0.0, length_m = 0.0;
  double grade_mean = 0.0, grade_max = 0.0;  ///< rise over run in the way's direction, steepest uphill; NaN where unknown
  motion::PlaceVerdict place;
  double time_s = 0.0, fuel_kg = 0.0;
  std::vector<RoutePoint> geometry;
};

struct Turn {
  double at_m = 0.0;
  LatLon at;
  double angle_rad = 0.0, radius_m = 0.0;
  bool assumed = false, tight_drawing = false, turn_round = false;
  std::optional<bool> toward_running;   ///< nothing when every engine runs
  double thrust_factor = 1.0;           ///< infinity where impossible
  motion::PlaceVerdict place;
  std::optional<motion::PlaceVerdict> at_steering_limit;  ///< for a tight drawing
};

struct RunwayUse {
  enum class Kind { crossing, line_up, exit, along };
  Kind kind = Kind::crossing;
  std::string runway;  ///< "05/23"
  double at_m = 0.0, length_m = 0.0;  ///< length along the runway
  LatLon at;
  std::string hold;        ///< holding position before it, "" where none has a name
  bool hold_assumed = false;
  double hold_at_m = 0.0;  ///< chainage of that holding position; NaN where there is none
};
[[nodiscard]] const char* to_string(RunwayUse::Kind kind);  ///< "crossing", "line-up", "exit", "along"

struct Route {
  std::string from, to;  ///< as asked, with the id where it was ambiguous
  Direction direction{};
  Objective objective{};
  std::string engines;   ///< running set it was computed for
  bool every_engine_needed = false;  ///< no way for that set: this is the all-engine route, parts marked against the set
  double length_m = 0.0, time_s = 0.0, fuel_kg = 0.0;
  double push_back_s = 0.0, push_back_fuel_kg = 0.0;  ///< part of the totals
  double standing_s = 0.0;                            ///< of stops at via places, part of the totals
  double probability = 1.0;  ///< that every place holds, places taken one by one at their worst
  std::vector<Leg> legs;
  std::vector<Turn> turns;  ///< of 30° and more
  std::vector<RunwayUse> runway_uses;
  std::vector<network::ArcId> arcs;  ///< driven, in order
  Findings findings;
};

struct NoRoute {
  std::string reason;                   ///< one sentence
  std::vector<std::string> blocking;    ///< what stands in the way: names or ids
  std::string hint;
};

/// The cheapest route by the objective over arcs and movements, exact for time, fuel and length as model section 5 adds them.
/// Runways are used lengthwise only where there is no other way. For a running set that cannot pass, another way is taken;
/// where there is none the all-engine route comes back with `every_engine_needed`.
/// Throws Error for places that do not resolve or values out of range.
[[nodiscard]] std::variant<Route, NoRoute> find_route(const network::Network& network, const aircraft::Aircraft& aircraft,
                                                      aircraft::RunningSet set, const motion::Conditions& conditions,
                                                      const RouteRequest& request);

}  // namespace solotaxi::routing
