// The phases of a planned way laid out along it for the simulation, and the start or stop of the other engines set to the
// metre. Shared by the parts of make_plan; not public.
#pragma once

#include <optional>
#include <vector>

#include "planning/phase_field.hpp"
#include "solotaxi/motion/simulation.hpp"

namespace solotaxi::planning {

inline constexpr double kTouch_m = 0.01;  ///< chainages are sums of the same lengths

/// A drive with what is needed to move START along it.
struct Layout {
  motion::Drive drive;
  std::vector<Phase> kinds;    ///< of Drive::phases
  std::vector<double> from_m;  ///< of each arc
  double length_m = 0.0, push_m = 0.0;
  std::optional<std::size_t> start;  ///< index of START in Drive::phases
  std::optional<double> queue_m;     ///< where the queue stands

  /// Index of the arc at a chainage.
  [[nodiscard]] std::size_t arc_at(double at_m) const;
  [[nodiscard]] double end_of(const routing::Question& q, std::size_t arc) const {
    return from_m[arc] + q.net->segment(drive.arcs[arc]).length_m;
  }
};

/// As the search has it.
[[nodiscard]] Layout lay_out_phases(const routing::Question& q, const PhaseField& field, const PlannedWay& planned,
                                    const PlanRequest& request);

[[nodiscard]] motion::Simulation run(const routing::Question& q, const motion::Drive& drive);

/// START of a departure set, in the simulation, as late as lets it last `start_s` before every engine is needed: by
/// warm-up, behind the queue's place, or where a place needs them; but not before the first arc is driven, nor on a runway or
/// in a turn over 60°.
/// In the reference, and where START is made standing, it stays where the search has it. Waits make up for what is missing
/// then.
[[nodiscard]] motion::Simulation set_start(const routing::Question& q, const PhaseField& field, const PlannedWay& planned,
                                           double queue_s, const PlanRequest& request, Layout& layout);

/// The shutdown of an arrival, set to where the cool-down has passed and no place ahead needs every engine; the start of the APU
/// before it is charged.
[[nodiscard]] motion::Simulation set_shutdown(const routing::Question& q, const PhaseField& field,
                                              const PlannedWay& planned, const PlanRequest& request, Layout& layout);

}  // namespace solotaxi::planning
