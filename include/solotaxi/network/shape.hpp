// The shape of the ways through a network: how tight each bend is, judged along through-lines and not single segments.
//
// A map's polylines are drawn by hand: an undrawn corner, an arc of short chords and a kink of drawing noise must each give
// the radius an aircraft would steer. The rules, per model section 2, are:
//  - simplify to 0.3 m; a straight piece goes on through a node whose straightest continuation deflects under 5°;
//  - a run of bends of one hand, each under 20° with legs under 60 m, is one curve of R = max(length, wheelbase) / angle;
//  - a single bend α is steered on R = min(t / tan(α/2), R_cap(α)), t half of the shorter straight beside it.
// Depends on the aircraft (wheelbase, fillet radius), so it is traced anew for each; cost is linear in vertices + movements.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "solotaxi/network/network.hpp"

namespace solotaxi::network {

struct ShapeOptions {
  double wheelbase_m = 12.6;         ///< aircraft's
  double steering_max_deg = 75.0;    ///< aircraft's nose-wheel limit
  double fillet_radius_m = 30.0;     ///< R_fillet, assumed
  double tight_radius_m = 30.0;      ///< judged radius of a place drawn tighter than steering allows; assumed = R_fillet
};

/// One bend as an arc meets it, or the bend a movement makes at its node.
struct Bend {
  double at_m = 0.0;           ///< along the arc in its own direction (0 for a movement)
  double from_m = 0.0;         ///< where the bend's own zone τ (or the curve) begins along the arc …
  double to_m = 0.0;           ///< … and ends; equal to at_m for a movement
  double angle_rad = 0.0;      ///< signed, right positive; of the whole curve where it is one
  double radius_m = 0.0;       ///< line radius, > 0; infinity where there is no bend
  double drawn_radius_m = 0.0; ///< before `tight_radius_m` took over; equal to radius_m otherwise
  bool assumed = false;        ///< radius is the fillet's, not the map's
  bool tight_drawing = false;  ///< drawn under the steering limit, judged at tight_radius_m
  bool curve = false;          ///< part of a run of bends of one hand
  bool refused = false;        ///< cannot be steered (over 100° under the steering limit, or over 135°)
  double zone_before_m = 0.0;  ///< τ cut to the straight before it
  double zone_after_m = 0.0;   ///< τ cut to the straight after it
};

struct Shape {
  std::vector<Bend> movement;               ///< by index of Network::movements
  std::vector<std::uint32_t> first_bend;    ///< by arc, size arcs + 1
  std::vector<Bend> bends;                  ///< bends and curves inside arcs, ascending in at_m
  /// By arc: index in Network::movements of its straightest continuation, kNoMovement at a dead end.
  std::vector<std::uint32_t> straight_on;
  static constexpr std::uint32_t kNoMovement = 0xFFFFFFFF;

  [[nodiscard]] std::span<const Bend> bends_of(ArcId a) const {
    return {bends.data() + first_bend[index(a)], bends.data() + first_bend[index(a) + 1]};
  }
};

[[nodiscard]] Shape trace_shape(const Network& network, const ShapeOptions& options);

}  // namespace solotaxi::network
