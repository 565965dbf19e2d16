// A chosen route driven with continuous speed: speed, thrust, fuel, time and brakes step by step (ground-movement model,
// section 7).
//
// The way. Arcs end to end with the movements between them; chainage 0 is where the first arc begins. An arc that is
// followed by its own reverse is a runway turn-round: πR of way at the turn-round speed lies between them. Every bend holds
// over its zone, which may reach over nodes; where zones overlap the lower speed and the greater thrust factor hold, and a
// bend whose zone is cut away still slows at its vertex. Grade is that of the profile, level where it is unknown.
//
// Speed. A backward pass brakes for what lies ahead at a_dec. A forward pass speeds up with min(a_acc, (T_lim (1 - ȳκ) - F)
// / m) in steps of at most `step_m`, each of one grade, bend and phase and cut where braking must begin; speed bleeds off
// where that is negative. In a turn toward the running engine thrust for speeding up is held to what the nose wheel grips;
// the steady need comes first. Acceleration is constant in a step, so time, energy and distance of a step agree to
// rounding:
//   ½ m Δv² + F Δs + brake energy = T (1 - ȳκ) Δs,   (1 - ȳκ) Δs being the way of the running engines.
// Thrust is within [idle sum, limit sum]; idle thrust beyond the need goes into the brakes. Speed never exceeds the limits
// of the driving set; where a change of the driving set may come at a time and not at a place, bends that may be met with
// either set are taken at the lower of both limits.
//
// Stall. Below the least grip speed (3 kt), with a higher limit and no acceleration left, or from rest where T_lim does not
// break away (µ_b): the run ends there. Samples and totals then reach to that place only; nothing is made up beyond it.
//
// Deterministic; no state. O(bends + knots + steps) time and memory: 4 km take under 0.1 ms.
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <vector>

#include "solotaxi/aircraft/aircraft.hpp"
#include "solotaxi/motion/conditions.hpp"
#include "solotaxi/network/network.hpp"
#include "solotaxi/network/shape.hpp"

namespace solotaxi::motion {

class Places;

/// Engines as they run from some point on. Phases begin in their order; the first at time 0, each other `delay_s` after the
/// aircraft has reached `from_m` (before it stands there; 0 is reached at time 0), or without `from_m` after the phase
/// before began. So {0, 45 s} is 45 s into the push back, {hold, 0} on stopping at the hold, {nothing, 60 s} a start's end.
struct DrivePhase {
  aircraft::RunningSet driving;    ///< engines that push
  aircraft::RunningSet idling{};   ///< engines that burn idle flow besides, such as those being started
  double apu_kg_h = 0.0;           ///< ≥ 0; conditions' apu_on is not asked
  std::optional<double> from_m{};  ///< ascending, within the way
  double delay_s = 0.0;            ///< ≥ 0
};

/// A stop to rest. At 0: the push back and what is waited before the first metre.
struct DriveStop {
  double at_m = 0.0;           ///< ascending, within the way
  double standing_s = 0.0;     ///< ≥ 0, at idle flow of the phase then in force
  double moves_per_min = 0.0;  ///< queue: so many moves of 50 m, charged as flow while standing; no way is covered
  double last_phase_s = 0.0;   ///< stands on until the last phase has lasted so long (warm-up still missing)
};

struct Drive {
  std::vector<network::ArcId> arcs;         ///< whole arcs, at least one; a turn-round is an arc and its reverse
  std::optional<network::ArcId> rolled_on;  ///< arc rolled on before the first: its turn into it counts
  bool turn_round_at_end = false;           ///< a runway turn-round after the last arc
  std::vector<DrivePhase> phases;           ///< at least one
  std::vector<DriveStop> stops;
  double start_mps = 0.0;  ///< 0 from rest; else rolling, or as fast as the first places allow
  bool end_at_rest = true;
  double step_m = 2.0;                  ///< at most, 0.01…10
  std::optional<double> brake_start_c;  ///< ambient where not given
  double brake_caution_c = 300.0;       ///< [M]
};

/// The aircraft at a point. Thrusts, grade and phase are those of the step that led here; in the first sample, of standing.
struct Sample {
  double at_m = 0.0, time_s = 0.0, speed_mps = 0.0;
  double fuel_kg = 0.0, brake_energy_j = 0.0;  ///< since the start
  double brake_c = 0.0;
  double thrust_n = 0.0;            ///< of the driving engines together
  double thrust_needed_n = 0.0;     ///< steady need F / (1 - ȳκ); infinite in a turn that cannot be done; may be negative
  double thrust_available_n = 0.0;  ///< their limit
  double n1_pct = 0.0;              ///< of a driving engine
  double grade = 0.0;
  std::uint32_t phase = 0;  ///< index of Drive::phases
};

struct PhaseRun {
  double at_m = std::numeric_limits<double>::quiet_NaN();  ///< where and when it began; NaN: it never did
  double begins_s = std::numeric_limits<double>::quiet_NaN();
  double time_s = 0.0, fuel_kg = 0.0, way_m = 0.0;
};

/// Steady thrust would be short of the need (limit / (1 + margin), as verdicts have it), the speed brought carries over.
struct Carried {
  double from_m = 0.0, to_m = 0.0;
  double needed_n = 0.0, available_n = 0.0;  ///< greatest need; limit without margin
  double least_mps = 0.0;
  std::uint32_t phase = 0;
};

struct Stalled {
  double at_m = 0.0, time_s = 0.0;
  double needed_n = 0.0, available_n = 0.0;  ///< from rest with µ_b
  bool from_rest = false;
  bool grip = false;  ///< the nose wheel would not take more thrust
  std::uint32_t phase = 0;
};

struct Simulation {
  /// Ascending in chainage and time; standing gives two or more of one chainage. At least one.
  std::vector<Sample> samples;
  std::vector<PhaseRun> phases;    ///< as Drive::phases
  std::vector<double> arc_from_m;  ///< chainage of each arc's start
  double length_m = 0.0;           ///< of the whole way, turn-rounds included
  std::vector<Carried> carried;
  std::optional<Stalled> stalled;  ///< needs every engine there; the end was not reached
  double brake_most_c = 0.0;
  std::optional<double> caution_at_m;  ///< brakes first reach brake_caution_c

  [[nodiscard]] double time_s() const { return samples.back().time_s; }
  [[nodiscard]] double fuel_kg() const { return samples.back().fuel_kg; }
  /// The aircraft when it first reaches a chainage (arrival, before standing there). O(log samples). Throws
  /// std::out_of_range outside what was driven.
  [[nodiscard]] Sample at(double at_m) const;
  /// The same at a time since the start.
  [[nodiscard]] Sample at_time(double time_s) const;
  /// Time from first reaching a chainage to the end of the run.
  [[nodiscard]] double before_end_s(double at_m) const { return time_s() - at(at_m).time_s; }
  /// Index in Drive::arcs of the arc at a chainage; in a turn-round that of the arc before it.
  [[nodiscard]] std::size_t arc_index(double at_m) const;
};

/// The shape must be traced with the aircraft's wheelbase and steering limit and the conditions' radii; ranges of aircraft
/// and conditions are not checked again. Throws Error (usage) for a drive that does not hang together: no arcs, arcs
/// without a movement between them, no phases, an engine the aircraft does not have, places outside the way or out of
/// order, a stop that waits for a phase which begins further on.
[[nodiscard]] Simulation simulate(const network::Network& network, const network::Shape& shape,
                                  const aircraft::Aircraft& aircraft, const Conditions& conditions, const Drive& drive);

/// Fuel a 50 m move in a queue adds to standing at idle, on the level: speeding up from rest as far as the braking allows,
/// at most to the straight's speed. The queue does not end sooner or later for it [kg].
[[nodiscard]] double queue_move_kg(const Places& places);

}  // namespace solotaxi::motion
