// A whole field at once: every stand against every runway end, out and in, for one aircraft; and the segments that keep
// plans from having one engine.
//
// Every pair's figures are those of the exact search for engine phases (phase_search.hpp) on the question `make_plan` would
// ask: same way, same costs, to the last digit. They are search costs: nothing is simulated, so they agree with a plan's
// own figures to about ± 10 % (the ground-movement model, section 7), and places the simulation would bar are not barred.
//
// One search outward from each runway end serves all stands, per direction and running set. A stand that lies in the middle
// of stand lines is the exception: its own question leaves those lines free while others avoid them, so it has a search of
// its own; so have stands for which other rules must be relaxed.
//
// Use of a segment is told by the reference of each pair, the cheapest plan on every engine: an obstacle does not bend it.
// A pair is forced to run every engine on a segment where its running set may not drive it, by place, stop place, start
// from rest or rule, and where one engine would be of use: more than start and warm-up before line-up, or past the
// cool-down. Its running set is that of its plan with one engine; where it has none, the one that is kept out over the
// least length. Forced segments that join each other under one name make a stretch. What a stretch loses is found by
// searching anew with it passable to every set: in every search (runway end, direction) that had a plan forced there, all
// stands; the fuel the cheaper of plan and reference then needs less, by movements a year. Stretches do not add up: two in
// a row may each gain nothing alone.
//
// Complexity: cost tables and shape once per running set; searches = runway ends × 2 × running sets × (1 + stretches
// mended), on all cores; the same figures for any number of them.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "solotaxi/planning/plan.hpp"
#include "solotaxi/planning/standard_routes.hpp"

namespace solotaxi::planning {

/// One direction between a stand and a runway end.
struct ScreenMove {
  int stand = 0;            ///< index into Network::stands
  int runway = 0, end = 0;  ///< index into Network::runways; end 0 takes off, or lands, from the front
  routing::Direction direction = routing::Direction::departure;
  friend auto operator<=>(const ScreenMove&, const ScreenMove&) = default;
};

struct Traffic {
  ScreenMove move;
  double movements = 0.0;  ///< a year, 0…1e7
};

/// Part of a field changed, for a screen of what would be.
struct Change {
  std::string name;  ///< taxiway, runway or map id
  std::optional<double>
      max_grade_pct;  ///< [0…10] steeper places are laid down to it, where they are; heights beside them stay
  std::optional<double> min_radius_m;  ///< [5…1000] bends within it are no tighter; length and speed zones stay as drawn
  std::optional<bool> closed;
};

struct ScreenRequest {
  PlanRequest plan;                    ///< places, assigned way, alternatives and seed are not asked
  double movements_a_year = 100000.0;  ///< [1…1e7] assumed: shared alike by all pairs with a way, where `traffic` is empty
  std::vector<Traffic> traffic;        ///< rows on one move add up; moves without a row have no traffic
  std::size_t mend = 5;                ///< stretches searched anew, 0…50
  std::vector<Change> changes;
  bool standard_routes = false;  ///< draw them too
  /// [0…1e6] assumed: fuel a year that a metre of line less on standard routes is worth.
  double trunk_kg_m = 10.0;
};

struct ScreenFigures {
  double length_m = 0.0;  ///< push back included
  double fuel_kg = 0.0, time_s = 0.0;
};

struct ScreenPair {
  ScreenMove move;
  double movements = 0.0;                                 ///< a year
  std::optional<ScreenFigures> reference;                 ///< nothing where no way is left for every engine
  std::optional<ScreenFigures> one;                       ///< nothing where no plan has one engine
  std::string running_set;                                ///< of `one`: "left"
  [[nodiscard]] std::optional<double> saving_kg() const;  ///< reference - one, may be negative
};

/// By segment of the network.
struct ScreenSegment {
  double movements = 0.0;         ///< a year, by references
  double forced_movements = 0.0;  ///< of them, forced to run every engine here
  std::size_t pairs = 0, forced_pairs = 0;
  motion::Reasons reasons;             ///< why
  std::optional<std::size_t> stretch;  ///< into Screen::stretches
};

struct ScreenStretch {
  std::string name;  ///< designator or map id
  std::vector<network::SegmentId> segments;
  double length_m = 0.0;
  double forced_movements = 0.0;  ///< a year, forced on any of it
  std::size_t forced_pairs = 0;
  motion::Reasons reasons;
  /// Fuel a year that is lost because of it; nothing where it was not searched anew.
  std::optional<double> lost_kg;
  std::size_t pairs_gained = 0;  ///< pairs that then have a plan with one engine and had none
};

struct ScreenShare {
  std::size_t stands = 0;           ///< with a way to or from any runway end
  std::size_t stands_with_one = 0;  ///< of them, with a plan on one engine to or from any
  std::size_t pairs = 0, pairs_with_one = 0;
  std::optional<double> mean_saving_kg, median_saving_kg;  ///< of pairs with a plan on one engine, each counted once
};

struct Screen {
  std::vector<ScreenPair> pairs;         ///< by direction, runway, end, stand
  std::vector<ScreenSegment> segments;   ///< by segment of the network screened
  std::vector<ScreenStretch> stretches;  ///< most fuel lost first, then those not searched anew by movements forced
  ScreenShare departures, arrivals;
  double movements = 0.0;             ///< a year, of pairs with a way
  double fuel_kg = 0.0;               ///< a year, on references
  double saving_kg = 0.0;             ///< a year, each pair on the cheaper of plan and reference
  std::vector<StandGroup> groups;     ///< where standard routes were asked for
  std::vector<StandardRoute> routes;  ///< by direction, runway, end, group
  double own_lines_m = 0.0;           ///< taxiways and taxilanes on the best plans of all pairs
  double route_lines_m = 0.0;         ///< the same on standard routes with the ways to them
  Findings findings;
};

/// The network with its changes of grade and closure. Throws Error (data) for a name nothing has, (usage) for a value out
/// of range, (data) for a grade changed where none is known.
[[nodiscard]] network::Network changed_network(const network::Network& network, const std::vector<Change>& changes);

/// What is to be said of lines drawn into the map of `network`, which gave `changed`, by their map ids: a finding
/// "new-line-loose-end" where an end of one meets nothing. Throws Error (data) for a line that is not in the network, that
/// meets none of the lines mapped, and where stands or runways are no longer the same.
[[nodiscard]] Findings check_new_lines(const network::Network& network, const network::Network& changed,
                                       const std::vector<std::string>& ids);

/// Throws Error (data) for a field without stands or without runways, (usage) for a value out of range or the rule
/// min-one-engine-s, which is about what is advised; otherwise as make_plan. `network` is the one with its changes.
[[nodiscard]] Screen screen(const network::Network& network, const aircraft::Aircraft& aircraft,
                            const motion::Conditions& conditions, const ScreenRequest& request);

}  // namespace solotaxi::planning
