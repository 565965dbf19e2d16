// What a finished simulation is asked.
#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "solotaxi/motion/place.hpp"
#include "solotaxi/motion/simulation.hpp"

namespace solotaxi::motion {

namespace {

constexpr double kQueueMove_m = 50.0;
constexpr double kRounding = 1e-6;  // m and s beyond the ends that are rounding of the caller's own sums

/// Between two samples, a share of the way from the first in place and another in time.
Sample between(const Sample& a, const Sample& b, double way, double time, double speed) {
  Sample out = b;
  out.at_m = a.at_m + way * (b.at_m - a.at_m);
  out.time_s = a.time_s + time * (b.time_s - a.time_s);
  out.speed_mps = speed;
  out.fuel_kg = a.fuel_kg + time * (b.fuel_kg - a.fuel_kg);
  out.brake_energy_j = a.brake_energy_j + way * (b.brake_energy_j - a.brake_energy_j);
  out.brake_c = a.brake_c + time * (b.brake_c - a.brake_c);
  return out;
}

}  // namespace

Sample Simulation::at(double at_m) const {
  if (!(at_m >= -kRounding && at_m <= samples.back().at_m + kRounding))
    throw std::out_of_range("chainage outside what was driven");
  const auto b =
      std::lower_bound(samples.begin(), samples.end(), at_m, [](const Sample& s, double m) { return s.at_m < m; });
  if (b == samples.end()) {  // first of those at the end
    const double end = samples.back().at_m;
    return *std::lower_bound(samples.begin(), samples.end(), end, [](const Sample& s, double m) { return s.at_m < m; });
  }
  if (b == samples.begin() || b->at_m == at_m) return *b;
  const Sample& a = *(b - 1);
  const double way = (at_m - a.at_m) / (b->at_m - a.at_m);
  const double from = a.speed_mps * a.speed_mps, to = b->speed_mps * b->speed_mps;
  const double speed = std::sqrt(from + way * (to - from));
  const double time = way * (a.speed_mps + b->speed_mps) / (a.speed_mps + speed);
  return between(a, *b, way, time, speed);
}

Sample Simulation::at_time(double time_s) const {
  if (!(time_s >= -kRounding && time_s <= samples.back().time_s + kRounding))
    throw std::out_of_range("time outside what was driven");
  const auto b =
      std::lower_bound(samples.begin(), samples.end(), time_s, [](const Sample& s, double t) { return s.time_s < t; });
  if (b == samples.end()) return samples.back();
  if (b == samples.begin() || b->time_s == time_s) return *b;
  const Sample& a = *(b - 1);
  const double time = (time_s - a.time_s) / (b->time_s - a.time_s);
  const double speed = a.speed_mps + time * (b->speed_mps - a.speed_mps);
  const double way = b->at_m > a.at_m ? time * (a.speed_mps + speed) / (a.speed_mps + b->speed_mps) : 0.0;
  return between(a, *b, way, time, speed);
}

std::size_t Simulation::arc_index(double at_m) const {
  if (!(at_m >= -kRounding && at_m <= length_m + kRounding)) throw std::out_of_range("chainage outside the way");
  const auto past = std::upper_bound(arc_from_m.begin() + 1, arc_from_m.end(), at_m);
  return static_cast<std::size_t>(past - arc_from_m.begin()) - 1;
}

double queue_move_kg(const Places& places) {
  const double up = places.acceleration_mps2(known_ground(0.0)), down = places.conditions().braking_m_s2;
  const double most = knots(places.conditions().speed_straight_kt).value();
  const double speed = std::min(most, std::sqrt(2.0 * kQueueMove_m * up * down / (up + down)));
  const double thrust = places.steady_thrust_n(places.force_n(0.0) + places.mass_kg() * up);
  const double steady = places.steady_thrust_n(places.force_n(0.0));
  // What is left of the way after speeding up and braking is driven steadily.
  const double steady_s = std::max(0.0, kQueueMove_m - speed * speed * (up + down) / (2.0 * up * down)) / speed;
  const double idle = places.idle_flow_kg_s();
  return (places.flow_kg_s(thrust) - idle) * speed / up + (places.flow_kg_s(steady) - idle) * steady_s;
}

}  // namespace solotaxi::motion
