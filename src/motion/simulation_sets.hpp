// The driving sets of a drive and what each of them meets on every piece of its way.
#pragma once

#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "arc_places.hpp"
#include "simulation_way.hpp"
#include "solotaxi/motion/place.hpp"

namespace solotaxi::motion {

struct DrivenSet {
  Places places;
  RoundTurn round;
  double limit, idle, usable;  ///< thrusts of the set [N]
  double flow_slope;           ///< [kg/s for a newton]
  double inverse_count;
};

/// A phase as it burns.
struct PhaseFlow {
  std::size_t set = 0;  ///< index of the driving set
  double base = 0.0;    ///< at no thrust, idling engines and APU included [kg/s]
  double standing = 0.0;
  double move_kg = 0.0;  ///< of one move in a queue
};

/// A piece as one driving set meets it. Speeds are held as their squares: linear in the way at a constant acceleration.
struct Pace {
  double limit_u = -1.0;  ///< of speed²; negative: not worked out
  double grade = 0.0, force = 0.0, need = 0.0;
  double share = 1.0;  ///< 1 - ȳκ: way of the running engines / way of the aircraft; 0 where it cannot be done
  double grip = std::numeric_limits<double>::infinity();  ///< the nose wheel grips thrust up to grip - grip_slope · speed²
  double grip_slope = 0.0;
  const Bending* bending = nullptr;
};

class DrivenSets {
 public:
  DrivenSets() = default;
  /// Throws Error (usage) for engines the aircraft does not have, or that drive and idle at once.
  DrivenSets(const aircraft::Aircraft& aircraft, Conditions conditions, std::span<const DrivePhase> phases);

  /// Must be called before `pace`; the way must outlive this.
  void meet(const DrivenWay& way);
  /// Worked out when first asked for.
  const Pace& pace(std::size_t piece, std::size_t set) {
    Pace& out = paces_[piece * sets_.size() + set];
    if (out.limit_u < 0.0) work_out(out, way_->pieces[piece], set);
    return out;
  }
  [[nodiscard]] const DrivenSet& set(std::size_t i) const { return sets_[i]; }
  [[nodiscard]] const std::vector<PhaseFlow>& phases() const { return phases_; }
  [[nodiscard]] double least_radius_m() const { return sets_.front().places.least_radius_m(); }

 private:
  void work_out(Pace& out, const DrivenWay::Piece& piece, std::size_t set) const;

  const DrivenWay* way_ = nullptr;
  std::vector<DrivenSet> sets_;
  std::vector<PhaseFlow> phases_;
  std::vector<Bending> bendings_;  ///< by zone, then set
  std::vector<Pace> paces_;        ///< by piece, then set
};

}  // namespace solotaxi::motion
