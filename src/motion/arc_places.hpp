// Single places of arcs as costs and simulation both see them: place speed, ground, bending, turn-round.
#pragma once

#include "solotaxi/motion/place.hpp"
#include "solotaxi/network/network.hpp"
#include "solotaxi/network/shape.hpp"

namespace solotaxi::motion {

/// By kind and posted limit.
[[nodiscard]] double place_speed_mps(const network::Segment& segment, const Conditions& conditions);
/// Ground of profile interval i, counted in the direction of travel.
[[nodiscard]] Ground interval_ground(const network::Segment& segment, bool along, std::size_t i,
                                     const Conditions& conditions);
/// A traced bend as a running set meets it; tight drawings at their radius or, if the conditions say so, at the limit.
/// Either way they are driven at the speed of the limit: how tight the place is is not known, and a drawing just under the
/// limit is driven as one just over it.
[[nodiscard]] Bending bending_of(const Places& places, const network::Bend& bend);

/// A turn of 180° on a runway: at the steering limit, away from the running engine, else to the right.
struct RoundTurn {
  double radius_m = 0.0, side = 1.0;
  Bending bending;
};
[[nodiscard]] RoundTurn round_turn(const Places& places);
/// Its speed on this ground.
[[nodiscard]] double round_turn_mps(const Places& places, const RoundTurn& turn, const Ground& ground);

}  // namespace solotaxi::motion
