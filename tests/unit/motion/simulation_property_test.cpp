// Properties of simulations over ways drawn at random.
#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <iostream>

#include "simulation_way.hpp"
#include "solotaxi/motion/force.hpp"

using namespace solotaxi;
using namespace solotaxi::motion;
using namespace solotaxi::test;
using network::ArcId;

namespace {

std::mt19937_64 generator() { return std::mt19937_64{*rc::gen::arbitrary<std::uint64_t>()}; }

Conditions random_conditions(std::mt19937_64& random) {
  Conditions c;
  c.mass_kg = static_cast<double>(random_int(random, 42000, 79000));
  if (random_unit(random) < 0.3) c.surface = Surface::wet;
  return c;
}

/// A departure or arrival with changes of phase and stops at random.
Drive random_drive(const DrawnDrive& way, std::mt19937_64& random) {
  Drive drive = way.drive(running(kBoth));
  double length = 0.0;
  for (const auto& segment : way.net.segments) length += segment.length_m;
  const auto one = random_unit(random) < 0.5 ? kLeft : kRight;
  const aircraft::RunningSet other{static_cast<std::uint8_t>(3 - one.mask)};
  switch (random_int(random, 0, 3)) {
    case 0:
      break;
    case 1:
      drive.phases = {running(one)};
      break;
    case 2:
      drive.phases = {running(one), {one, other, 130, length * random_unit(random), 0}, {kBoth, {}, 0, {}, 30}};
      break;
    default:
      drive.phases = {running(kBoth), {one, {}, 110, 0.0, 60 * random_unit(random)}};
  }
  if (random_unit(random) < 0.5) drive.stops.push_back({length * random_unit(random), 60 * random_unit(random), 0.5});
  if (drive.stops.empty() && random_unit(random) < 0.3) drive.start_mps = 12 * random_unit(random);
  return drive;
}

/// Height of the way, from the drawn profile and not from the samples.
double height_at(const DrawnDrive& way, const Simulation& s, double at) {
  const std::size_t i = s.arc_index(std::min(at, s.length_m));
  const auto& profile = way.net.segments[i].profile;
  const double here = at - s.arc_from_m[i];
  for (std::size_t k = 1; k < profile.size(); ++k)
    if (here <= profile[k].at_m || k + 1 == profile.size()) {
      const double share = (here - profile[k - 1].at_m) / (profile[k].at_m - profile[k - 1].at_m);
      return profile[k - 1].height_m + share * (profile[k].height_m - profile[k - 1].height_m);
    }
  return profile.front().height_m;
}

/// The worst verdict along the way.
Verdict worst_place(const DrawnDrive& way, const CostTable& table) {
  Verdict worst = Verdict::standing;
  for (std::uint32_t i = 0; i < way.net.segments.size(); ++i) {
    worst = std::max(worst, table.arc_verdict(ArcId{2 * i}).verdict);
    if (i > 0)
      worst = std::max(worst, table.movement(movement_between(way.net, ArcId{2 * i - 2}, ArcId{2 * i})).place.verdict);
  }
  return worst;
}

}  // namespace

TEST_CASE("every step of a run balances its energy and keeps its limits") {
  CHECK(rc::check("energy", [] {
    auto random = generator();
    const DrawnDrive way(draw_way(winding_way(random, 0.03)), random_conditions(random));
    const Conditions& c = way.conditions;
    const Drive drive = random_drive(way, random);
    const Simulation s = way.run(drive);
    double brakes = 0.0;
    for (std::size_t i = 1; i < s.samples.size(); ++i) {
      const Sample &a = s.samples[i - 1], &b = s.samples[i];
      const double ds = b.at_m - a.at_m, dt = b.time_s - a.time_s;
      RC_ASSERT(ds <= drive.step_m * (1 + 1e-9) && ds >= 0.0 && dt >= 0.0);
      brakes = b.brake_energy_j - a.brake_energy_j;
      RC_ASSERT(brakes >= 0.0);
      RC_ASSERT(b.fuel_kg >= a.fuel_kg);
      if (ds == 0.0) {
        RC_ASSERT(brakes == 0.0);
        continue;
      }
      // Distance at the mean of both speeds, as at a constant acceleration.
      RC_ASSERT(std::abs(0.5 * (a.speed_mps + b.speed_mps) * dt - ds) <= 1e-7);
      const double kinetic = 0.5 * c.mass_kg * (b.speed_mps * b.speed_mps - a.speed_mps * a.speed_mps);
      const double resistance = rolling_force_n(c.mass_kg, c.mu_rolling, b.grade) * ds;  // rolling work and height
      const double potential = c.mass_kg * 9.80665 * (height_at(way, s, b.at_m) - height_at(way, s, a.at_m));
      const double rolling = c.mass_kg * 9.80665 * c.mu_rolling * ds;
      RC_ASSERT(std::abs(resistance - potential - rolling) <= 1e-3 * (std::abs(potential) + rolling) + 5.0);
      // Way of the engine: of the aircraft, by need against force.
      const double force = resistance / ds;
      const double share = std::isinf(b.thrust_needed_n) ? 0.0 : std::abs(force) > 1e-6 ? force / b.thrust_needed_n : 1.0;
      const double work = b.thrust_n * share * ds;
      const double scale =
          std::abs(kinetic) + std::abs(resistance) + brakes + work + 0.5 * c.mass_kg * a.speed_mps * a.speed_mps;
      if (std::abs(force) > 1.0) RC_ASSERT(std::abs(kinetic + resistance + brakes - work) <= 1e-9 * scale + 1e-3);
      // Brakes alone never hold harder than asked; a hill may.
      const double a_mps2 = (b.speed_mps - a.speed_mps) / dt;
      if (brakes > 0.0) RC_ASSERT(a_mps2 >= -c.braking_m_s2 - 1e-6);
      RC_ASSERT(a_mps2 <= c.acceleration_m_s2 + 1e-6);
      const double idle = drive.phases[b.phase].driving.count() * 4680.0;
      RC_ASSERT(b.thrust_n >= idle * (1 - 1e-9) && b.thrust_n <= b.thrust_available_n * (1 + 1e-9));
      if (brakes > 1e-6 * scale) RC_ASSERT(std::abs(b.thrust_n - idle) <= 1e-6);
      RC_ASSERT(b.speed_mps <= knots(20).value() + 1e-12);
    }
    if (!s.stalled) {
      RC_ASSERT(s.samples.back().at_m == s.length_m);
      RC_ASSERT(s.samples.back().speed_mps == 0.0);
    }
    double fuel = 0.0, time = 0.0;
    for (const PhaseRun& phase : s.phases) fuel += phase.fuel_kg, time += phase.time_s;
    RC_ASSERT(std::abs(fuel - s.fuel_kg()) <= 1e-9 * (1 + fuel));
    RC_ASSERT(std::abs(time - s.time_s()) <= 1e-9 * (1 + time));
  }));
}

TEST_CASE("no bend is taken faster than its cost has it") {
  CHECK(rc::check("bends", [] {
    auto random = generator();
    const DrawnDrive way(draw_way(winding_way(random, 0.0)), random_conditions(random));
    const auto set = random_unit(random) < 0.5 ? kBoth : kLeft;
    const CostTable table(way.net, way.shape, way.aircraft, set, way.conditions);
    const Simulation s = way.run(set);
    if (s.stalled) RC_DISCARD("stalled");
    for (std::uint32_t i = 0; i < way.net.segments.size(); ++i) {
      const ArcId a{2 * i};
      for (std::size_t b = way.shape.first_bend[index(a)]; b < way.shape.first_bend[index(a) + 1]; ++b)
        RC_ASSERT(s.at(s.arc_from_m[i] + way.shape.bends[b].at_m).speed_mps <= table.bend(b).speed_mps + 1e-9);
      if (i > 0)
        RC_ASSERT(s.at(s.arc_from_m[i]).speed_mps <=
                  table.movement(movement_between(way.net, ArcId{2 * i - 2}, a)).speed_mps + 1e-9);
    }
  }));
}

TEST_CASE("a way whose places may all be rolled on the set, and its start started on, does not stall") {
  CHECK(rc::check("verdicts", [] {
    auto random = generator();
    // Of one grade: elsewhere a turn is judged on the mean of both sides, but driven on either.
    auto points = winding_way(random, 0.0);
    const double grade = 0.01 * random_unit(random);
    double run = 0.0;
    for (std::size_t i = 1; i < points.size(); ++i) {
      run += std::hypot(points[i].at.x_m - points[i - 1].at.x_m, points[i].at.y_m - points[i - 1].at.y_m);
      points[i].height_m = grade * run;
    }
    const DrawnDrive way(draw_way(points), random_conditions(random));
    const auto set = random_unit(random) < 0.3 ? kBoth : kLeft;
    const CostTable table(way.net, way.shape, way.aircraft, set, way.conditions);
    RC_PRE(worst_place(way, table) <= Verdict::rolling);
    RC_PRE(table.start_zone(ArcId{0}).verdict == Verdict::standing);
    const Simulation s = way.run(set);
    RC_ASSERT(!s.stalled);
    RC_ASSERT(s.carried.empty());
  }));
}

TEST_CASE("a run agrees with the search's costs on level ways") {
  std::mt19937_64 random(20240501);
  for (const auto set : {kBoth, kLeft}) {
    std::vector<double> time, fuel;
    while (time.size() < 200) {
      const DrawnDrive way(draw_way(winding_way(random, 0.0)));
      const CostTable table(way.net, way.shape, way.aircraft, set, way.conditions);
      if (worst_place(way, table) > Verdict::rolling) continue;
      Cost cost = way_cost(way.net, table);
      const auto last = static_cast<std::uint32_t>(2 * way.net.segments.size() - 2);
      cost += table.start_from_rest(ArcId{0}) + table.stop(ArcId{last});
      const Simulation s = way.run(set);
      REQUIRE_FALSE(s.stalled);
      time.push_back(s.time_s() / cost.time_s - 1);
      fuel.push_back(s.fuel_kg() / cost.fuel_kg - 1);
    }
    const auto print = [&](const char* what, std::vector<double>& gaps) {
      std::sort(gaps.begin(), gaps.end());
      std::cout << "simulation against cost, " << (set == kBoth ? "every engine, " : "one engine, ") << what << ": median "
                << 100 * gaps[100] << " %, 5th to 95th of 100 " << 100 * gaps[10] << " to " << 100 * gaps[190]
                << " %, least " << 100 * gaps.front() << ", most " << 100 * gaps.back() << '\n';
      // Ways with a turn every 150 m and nothing but turns: the search pays each time for the full speed it may regain.
      CHECK(std::abs(gaps[100]) < 0.10);
      CHECK(gaps[10] > -0.20);
      CHECK(gaps[190] < 0.10);
    };
    print("time", time);
    print("fuel", fuel);
  }
}

TEST_CASE("a mirrored way with the other engine runs the same") {
  CHECK(rc::check("mirror", [] {
    auto random = generator();
    auto points = winding_way(random, 0.02);
    const Conditions c = random_conditions(random);
    const Simulation left = DrawnDrive(draw_way(points), c).run(kLeft);
    for (WayPoint& p : points) p.at.y_m = -p.at.y_m;
    const Simulation right = DrawnDrive(draw_way(points), c).run(kRight);
    RC_ASSERT(left.stalled.has_value() == right.stalled.has_value());
    RC_ASSERT(left.carried.size() == right.carried.size());
    if (left.stalled) {  // what a stall takes hangs on the last digits of the speed
      RC_ASSERT(std::abs(left.stalled->at_m - right.stalled->at_m) <= 0.1);
      return;
    }
    RC_ASSERT(std::abs(left.time_s() - right.time_s()) <= 1e-5 * (1 + left.time_s()));
    RC_ASSERT(std::abs(left.fuel_kg() - right.fuel_kg()) <= 1e-5 * (1 + left.fuel_kg()));
  }));
}

TEST_CASE("dividing segments changes a run by no more than its steps do") {
  CHECK(rc::check("division", [] {
    auto random = generator();
    const auto points = winding_way(random, 0.01);
    const Conditions c = random_conditions(random);
    std::vector<WayPoint> divided;
    for (const WayPoint& p : points) {
      if (!divided.empty() && random_unit(random) < 0.5) {
        const WayPoint last = divided.back();
        const double share = 0.05 + 0.9 * random_unit(random);
        divided.push_back({last.at + (p.at - last.at) * share, last.height_m + (p.height_m - last.height_m) * share, true});
      }
      divided.push_back(p);
      if (random_unit(random) < 0.5) divided.back().node = true;
    }
    for (const auto set : {kBoth, kLeft}) {
      const Simulation whole = DrawnDrive(draw_way(points), c).run(set), parts = DrawnDrive(draw_way(divided), c).run(set);
      if (whole.stalled || parts.stalled) continue;
      RC_ASSERT(std::abs(whole.time_s() - parts.time_s()) <= 1e-3 * whole.time_s());
      RC_ASSERT(std::abs(whole.fuel_kg() - parts.fuel_kg()) <= 1e-3 * whole.fuel_kg());
    }
  }));
}

TEST_CASE("shorter steps change a run little") {
  CHECK(rc::check("steps", [] {
    auto random = generator();
    const DrawnDrive way(draw_way(winding_way(random, 0.01)), random_conditions(random));
    Drive drive = random_drive(way, random);
    const Simulation coarse = way.run(drive);
    drive.step_m = 0.1;
    const Simulation fine = way.run(drive);
    if (coarse.stalled || fine.stalled) return;
    RC_ASSERT(std::abs(coarse.time_s() - fine.time_s()) <= 3e-3 * fine.time_s());
    RC_ASSERT(std::abs(coarse.fuel_kg() - fine.fuel_kg()) <= 3e-3 * fine.fuel_kg());
  }));
}

TEST_CASE("more mass never takes less fuel on a way, nor mends a stall or a carried place") {
  CHECK(rc::check("mass", [] {
    auto random = generator();
    const auto net = draw_way(winding_way(random, 0.015));
    Conditions light = random_conditions(random), heavy = light;
    heavy.mass_kg = static_cast<double>(random_int(random, static_cast<std::int64_t>(light.mass_kg), 79000));
    const auto set = random_unit(random) < 0.5 ? kBoth : kLeft;
    const Simulation a = DrawnDrive(net, light).run(set), b = DrawnDrive(net, heavy).run(set);
    if (a.stalled) RC_ASSERT(b.stalled.has_value());
    RC_ASSERT(b.stalled || b.carried.size() >= a.carried.size() || !b.carried.empty());
    if (a.stalled || b.stalled) return;
    RC_ASSERT(b.fuel_kg() >= a.fuel_kg() * (1 - 1e-4));
    RC_ASSERT(b.time_s() >= a.time_s() * (1 - 1e-4));
  }));
}
