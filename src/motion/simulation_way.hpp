// The way of a drive laid out along its chainage: stretches of one grade, zones of bends, and the pieces both are cut into.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "solotaxi/motion/simulation.hpp"

namespace solotaxi::motion {

/// Points of the way nearer to each other than this are one [m].
inline constexpr double kSamePoint_m = 1e-3;

struct DrivenWay {
  /// Of one grade and place speed, up to the next stretch.
  struct Stretch {
    double from_m = 0.0, grade = 0.0;
    double speed_mps = 0.0;  ///< of the place; unused in a turn-round
    bool turn_round = false;
  };
  /// Where a bend holds.
  struct Zone {
    double from_m = 0.0, to_m = 0.0;
    const network::Bend* bend = nullptr;
  };
  /// Of one stretch, covered by the same zones all along, without a stop or a phase's place inside.
  struct Piece {
    double from_m = 0.0, to_m = 0.0;
    std::uint32_t stretch = 0;
    std::uint32_t first_cover = 0, past_cover = 0;  ///< into covers
    std::uint32_t first_point = 0, steps = 1;       ///< its steps lie between points first_point … first_point + steps
  };

  std::vector<Stretch> stretches;
  std::vector<Zone> zones;  ///< ascending in from_m
  std::vector<Piece> pieces;
  std::vector<std::uint32_t> covers;  ///< zones over each piece
  std::vector<double> arc_from_m;
  double length_m = 0.0;
  std::uint32_t points = 0;

  [[nodiscard]] std::span<const std::uint32_t> covers_of(const Piece& p) const {
    return {covers.data() + p.first_cover, covers.data() + p.past_cover};
  }
};

/// Throws as `simulate` does.
[[nodiscard]] DrivenWay lay_out(const network::Network& network, const network::Shape& shape, const Conditions& conditions,
                                const Drive& drive, double turn_round_radius_m);

}  // namespace solotaxi::motion
