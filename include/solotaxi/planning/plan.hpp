// The lowest-fuel plan of a departure or an arrival: which way, on which engines, where to start or stop the others.
//
// Two plans are made: the cheapest that taxies part of the way with fewer than every engine (ONE), and the cheapest without
// (the reference). Both are exact minima of the additive cost over every route, switch point and running set tried
// (phase_search.hpp); then the cheapest few are driven by simulation (motion/simulation.hpp) and the best by simulation is
// the plan shown, its figures being the simulation's. Search costs are kept beside them (`SearchFigures`).
//
// The way is free where the route question leaves it free: everything `routing::find_route` does with places, closures,
// entries, push back and runways used lengthwise holds here too, its rules being relaxed for every engine first: ONE never
// makes a plan use a runway lengthwise that every engine avoids. Segments are cut into equal parts of at most 100 m, at
// whose ends a phase may change.
//
// In the simulation the second engine's start is set to the metre: START begins as late as lets it last `start_s` before
// ALL is needed, by warm-up or by a place; so it may begin inside a segment.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "solotaxi/aircraft/aircraft.hpp"
#include "solotaxi/base/finding.hpp"
#include "solotaxi/motion/conditions.hpp"
#include "solotaxi/motion/simulation.hpp"
#include "solotaxi/network/network.hpp"
#include "solotaxi/planning/phase_graph.hpp"
#include "solotaxi/routing/route.hpp"

namespace solotaxi::planning {

/// An operator's rule:
///   all-engines=NAME        on that taxiway, runway, map id or node every engine runs
///   all-engines=crossings   the same on every runway crossing
///   all-engines=kind:K      the same on a kind of line: taxiway, taxilane, stand_line, runway, connector
///   min-one-engine-s=S      one engine is advised only from so many seconds on it [s, 0…7200]
///   may-run-alone=1,2       one set of engines that may run alone; several rules add up
///   tight=limit             tight drawings are judged at the steering limit
struct Rule {
  enum class Kind {
    all_engines_at,
    all_engines_at_crossings,
    all_engines_on_kind,
    min_one_engine_s,
    may_run_alone,
    tight_at_limit
  };
  Kind kind = Kind::tight_at_limit;
  std::string text;  ///< as written
  std::string name;  ///< all_engines_at
  network::LineKind line_kind{};
  double seconds = 0.0;
  std::string set;  ///< may_run_alone
};
/// Throws Error (usage) with the forms a rule may take.
[[nodiscard]] Rule parse_rule(const std::string& text);

/// One way and no other, on the network asked about.
struct AssignedArcs {
  std::vector<network::ArcId> pushed;  ///< arcs of the push back, in its direction
  std::vector<network::ArcId> arcs;    ///< driven, in order; the ends in part only where they are positions in mid-segment
  bool turn_round_at_end = false;      ///< turns round on the runway there
};

struct PlanRequest {
  routing::RouteRequest route;             ///< its objective is not asked: fuel
  std::vector<aircraft::RunningSet> sets;  ///< tried in ONE; empty: the aircraft's and the rules'
  double queue_s = 0.0;                    ///< 0…7200, before line-up
  double queue_moves_per_min = 0.0;        ///< 0…10
  double since_landing_s = 0.0;            ///< arrival: passed already since the end of the landing roll, 0…3600
  double apu_lead_s = 60.0;                ///< [C] arrival: the APU's start before the shutdown, at no-load flow
  std::optional<double> brake_start_c;     ///< default: outside air
  std::vector<Rule> rules;
  std::size_t alternatives = 0;  ///< really different routes to plan besides, 0…10; none beside an assigned way
  /// Planned on this way alone: phases and their places are free, the way is not. It must lead from `route.from` over its
  /// places between to `route.to`. Closures, and rules that `find_route` relaxes only at need, are not asked of it.
  std::optional<AssignedArcs> assigned;
  std::uint64_t seed = 1;        ///< of the plan's probability
};
// Push back, start, warm-up and cool-down times and APU flows are the aircraft's and the conditions' own.

/// A phase as driven.
struct PlanPhase {
  Phase phase{};
  std::string engines;              ///< running set that drives: "left", "all"
  double from_m = 0.0, to_m = 0.0;  ///< along the whole route, push back included
  double time_s = 0.0, fuel_kg = 0.0;
};

/// Where an engine is started or stopped.
struct EnginePoint {
  double at_m = 0.0, to_m = 0.0;  ///< begins; START ends (departure), equal for a shutdown
  double at_s = 0.0;              ///< since the push back or the end of the roll-out
  LatLon at;
  std::string place;              ///< "on B abeam C", "in the push back", "in the queue at A1"
  double before_line_up_s = 0.0;  ///< departure: to the end of the route
  double after_landing_s = 0.0;   ///< arrival: since the end of the landing roll, `since_landing_s` included
};

/// One plan with its way, driven.
struct DrivenPlan {
  bool one = false;         ///< contains ONE
  std::string running_set;  ///< of ONE, or of the reference's START: "left"
  routing::Route route;     ///< verdicts of the running set; length, time and fuel of legs and whole are the simulation's
  std::vector<PlanPhase> phases;
  std::optional<EnginePoint> second_engine;  ///< departure
  std::optional<EnginePoint> shutdown;       ///< arrival with ONE
  motion::Simulation sim;                    ///< chainage 0 of it lies at `driven_from_m` of the route
  double driven_from_m = 0.0;
  double search_kg = 0.0, search_s = 0.0;  ///< the additive cost
  double one_s = 0.0;                      ///< time in ONE
  double brake_all_c = 0.0;                ///< highest brake temperature of the same way on every engine all the time
  double probability = 1.0;                ///< that the running set suffices wherever it drives; 1 without ONE
};

/// What the APU burns of a plan's fuel [kg]; on arrivals its start, `apu_lead_s` long at no-load flow, included.
[[nodiscard]] double apu_fuel_kg(const DrivenPlan& plan, routing::Direction direction, const aircraft::Aircraft& aircraft,
                                 const motion::Conditions& conditions, double apu_lead_s);

struct SearchFigures {
  double fuel_kg = 0.0;     ///< search cost of the plan shown
  double minimum_kg = 0.0;  ///< of the cheapest plan with ONE (of the reference where there is none)
  double reference_kg = 0.0;
  double saving_kg = 0.0;  ///< reference - minimum
};

struct QueueSaving {
  double queue_s = 0.0, saving_kg = 0.0;
};

/// The plan with one value at its low and high end; everything else as asked.
struct Sensitivity {
  std::string what;  ///< "rolling resistance", "mass", "grade", "thrust", "APU flow", "warm-up"
  std::string unit;
  double low = 0.0, high = 0.0;                         ///< the values
  std::optional<double> saving_low_kg, saving_high_kg;  ///< nothing where no plan with ONE is left
  /// Of the hardest place at which the plan shown drives on few engines, with that value.
  motion::Verdict verdict_low{}, verdict_high{};
};

struct Alternative {
  std::string by;  ///< designators in order: "M, F, A"
  double length_m = 0.0, time_s = 0.0, fuel_kg = 0.0;
  double overlap = 0.0;  ///< share of its length that the shown route uses too, under 0.7
  bool one = false;
  std::string running_set;
  std::vector<std::vector<routing::RoutePoint>> geometry;
};

struct Plan {
  routing::Direction direction{};
  DrivenPlan shown;  ///< the plan with ONE where there is one, else the reference
  DrivenPlan reference;
  double saving_kg = 0.0;  ///< reference - shown, by simulation; may be negative; 0 where nothing contains ONE
  double extra_s = 0.0;    ///< shown - reference, time
  std::string advised;     ///< "one-engine" or "reference"
  std::vector<QueueSaving>
      savings;  ///< for 0, 5 and 10 min and the queue asked, ascending; empty for arrivals or without ONE
  std::optional<double> pays_from_queue_s;  ///< least queue at which it saves; nothing within 60 min, or for arrivals
  std::vector<std::string> why_not;         ///< why one engine is not advised, and what would change it
  std::vector<Sensitivity> sensitivity;
  SearchFigures search;
  std::vector<Alternative> alternatives;
  Findings findings;                                           ///< of the plan; the shown route has its own
  std::vector<std::pair<std::string, std::string>> questions;  ///< engine left off ("2"), the operator's note on it
};

/// Throws Error for places that do not resolve, values out of range (usage), an assigned way that does not hang together
/// (usage), or a question that is neither departure nor
/// arrival (usage: say which with `route.direction`; from or to a runway it is taken from that). Deterministic. Cost: cost
/// tables and two searches for each running set, O(network); everything beside it (savings, sensitivity, alternatives)
/// repeats that some 30 times.
[[nodiscard]] std::variant<Plan, routing::NoRoute> make_plan(const network::Network& network,
                                                             const aircraft::Aircraft& aircraft,
                                                             const motion::Conditions& conditions,
                                                             const PlanRequest& request);

}  // namespace solotaxi::planning
