#include "simulation_sets.hpp"

#include <algorithm>
#include <cmath>

#include "solotaxi/aircraft/engine.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::motion {

DrivenSets::DrivenSets(const aircraft::Aircraft& aircraft, Conditions conditions, std::span<const DrivePhase> phases) {
  conditions.apu_on = false;  // the phases' own
  const aircraft::Engine engine(aircraft, conditions.air, conditions.n1_limit_pct);
  const unsigned every = aircraft::all_engines(aircraft).mask;
  sets_.reserve(phases.size());
  phases_.reserve(phases.size());
  for (const DrivePhase& given : phases) {
    if (given.driving.mask == 0 || ((given.driving.mask | given.idling.mask) & ~every) != 0 ||
        (given.driving.mask & given.idling.mask) != 0)
      throw usage_error("engines of a phase must be the aircraft's, one at least driving, none driving and idling");
    PhaseFlow phase;
    while (phase.set < sets_.size() && sets_[phase.set].places.running_set() != given.driving) ++phase.set;
    if (phase.set == sets_.size()) {
      const Places places(aircraft, given.driving, conditions);
      sets_.push_back({places, round_turn(places), places.limit_thrust_n(), places.idle_thrust_n(),
                       places.usable_thrust_n(), places.flow_kg_s(1.0) - places.flow_kg_s(0.0),
                       1.0 / given.driving.count()});
    }
    const Places& places = sets_[phase.set].places;
    const double besides = given.idling.count() * engine.idle_flow_kg_s() + given.apu_kg_h / 3600.0;
    phase.base = places.flow_kg_s(0.0) + besides;
    phase.standing = places.idle_flow_kg_s() + besides;
    phase.move_kg = queue_move_kg(places);
    phases_.push_back(phase);
  }
}

void DrivenSets::meet(const DrivenWay& way) {
  way_ = &way;
  bendings_.reserve(way.zones.size() * sets_.size());
  for (const auto& zone : way.zones)
    for (const DrivenSet& set : sets_) bendings_.push_back(bending_of(set.places, *zone.bend));
  paces_.resize(way.pieces.size() * sets_.size());
}

void DrivenSets::work_out(Pace& out, const DrivenWay::Piece& piece, std::size_t set) const {
  static constexpr Bending kStraight{};
  const DrivenSet& driven = sets_[set];
  const DrivenWay::Stretch& stretch = way_->stretches[piece.stretch];
  const Ground ground = known_ground(stretch.grade);
  double limit = stretch.speed_mps;
  out.bending = &kStraight;
  if (stretch.turn_round) {
    out.bending = &driven.round.bending;
    limit = round_turn_mps(driven.places, driven.round, ground);
  }
  for (const std::uint32_t zone : way_->covers_of(piece)) {
    const Bending& bending = bendings_[zone * sets_.size() + set];
    limit = std::min(limit, driven.places.speed_mps(bending, ground));
    if (out.bending->straight || bending.factor > out.bending->factor) out.bending = &bending;
  }
  out.limit_u = limit * limit;
  out.grade = stretch.grade;
  out.force = driven.places.force_n(stretch.grade, *out.bending);
  out.need = out.force;
  if (out.bending->straight) return;
  out.share = std::isfinite(out.bending->factor) ? 1.0 / out.bending->factor : 0.0;
  out.need = out.share > 0.0 ? out.force / out.share : std::numeric_limits<double>::infinity();
  out.grip = driven.places.grip_thrust_n(*out.bending, 0.0);
  if (std::isfinite(out.grip)) out.grip_slope = out.grip - driven.places.grip_thrust_n(*out.bending, 1.0);
}

}  // namespace solotaxi::motion
