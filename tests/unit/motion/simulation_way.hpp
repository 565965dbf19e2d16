// Simulations of drawn ways, for tests.
#pragma once

#include <random>

#include "drawn_way.hpp"
#include "solotaxi/motion/simulation.hpp"

namespace solotaxi::test {

inline const aircraft::Aircraft kTwin;
inline constexpr aircraft::RunningSet kLeft{1}, kRight{2}, kBoth{3};

/// Engines from the start to the end; with the APU running where one is left off.
inline motion::DrivePhase running(aircraft::RunningSet set) { return {set, {}, set == kBoth ? 0.0 : kTwin.apu_run_kg_h}; }

/// Network and shape that live together, and drives along all of it.
struct DrawnDrive {
  network::Network net;
  motion::Conditions conditions;
  aircraft::Aircraft aircraft;
  network::Shape shape;
  explicit DrawnDrive(network::Network n, motion::Conditions c = {}, aircraft::Aircraft a = {})
      : net(std::move(n)), conditions(c), aircraft(std::move(a)), shape(shape_for(net, aircraft, c)) {}

  [[nodiscard]] motion::Drive drive(motion::DrivePhase phase) const {
    motion::Drive out;
    for (std::uint32_t s = 0; s < net.segments.size(); ++s) out.arcs.push_back(network::ArcId{2 * s});
    out.phases = {phase};
    return out;
  }
  [[nodiscard]] motion::Simulation run(const motion::Drive& drive) const {
    return motion::simulate(net, shape, aircraft, conditions, drive);
  }
  [[nodiscard]] motion::Simulation run(aircraft::RunningSet set) const { return run(drive(running(set))); }
};

/// East along a straight of a grade, cut at the middle.
inline network::Network straight_way(double length_m, double grade = 0.0) {
  return draw_way({{{0, 0}, 0}, {{length_m / 2, 0}, grade * length_m / 2, true}, {{length_m, 0}, grade * length_m}});
}

/// A wandering way of straights, corners and curves over uneven ground.
inline std::vector<WayPoint> winding_way(std::mt19937_64& random, double hilliness) {
  std::vector<WayPoint> way = {{{0, 0}, 0, true}};
  double heading = 0.0;
  const auto pieces = random_int(random, 2, 12);
  for (std::int64_t i = 0; i < pieces; ++i) {
    const bool curve = random_unit(random) < 0.3;
    const double hand = random_unit(random) < 0.5 ? -1.0 : 1.0;
    const std::int64_t steps = curve ? random_int(random, 3, 8) : 1;
    const double turn = curve ? 0.15 : 1.4 * random_unit(random);
    for (std::int64_t s = 0; s < steps; ++s) {
      heading += hand * turn;
      const double length = curve ? 8.0 + 8.0 * random_unit(random) : 40.0 + 250.0 * random_unit(random);
      const WayPoint& last = way.back();
      const double grade = hilliness * (2.0 * random_unit(random) - 1.0);
      way.push_back({{last.at.x_m + length * std::cos(heading), last.at.y_m + length * std::sin(heading)},
                     last.height_m + grade * length,
                     random_unit(random) < 0.3});
    }
  }
  return way;
}

}  // namespace solotaxi::test
