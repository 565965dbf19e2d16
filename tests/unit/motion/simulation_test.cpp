#include "solotaxi/motion/simulation.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "simulation_way.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/motion/place.hpp"

using namespace solotaxi;
using namespace solotaxi::motion;
using namespace solotaxi::test;
using network::ArcId;

namespace {

const double kTaxi = knots(20).value();

/// Rolling in and rolling out: only the steady part.
Drive steady(Drive drive) {
  drive.start_mps = kTaxi;
  drive.end_at_rest = false;
  return drive;
}

/// Brake power over the whole of a steady run.
double brake_w(const Simulation& s) { return s.samples.back().brake_energy_j / s.time_s(); }

}  // namespace

TEST_CASE("standing and rolling on the level burn what an independent calculation says") {
  // 602 and 411 kg/h standing, 602 and 536 kg/h at 20 kt, 5.5 kW into the brakes with every engine [S:MODEL-CALC].
  const DrawnDrive way(straight_way(1000));
  for (const auto& [set, standing, rolling] : {std::tuple{kBoth, 602.0, 602.0}, {kLeft, 411.0, 536.0}}) {
    Drive drive = way.drive(running(set));
    drive.stops = {{0.0, 600.0}};
    const Simulation s = way.run(drive);
    CHECK(s.at_time(600.0).fuel_kg == Approx(standing / 6).epsilon(1e-3));
    CHECK(s.at_time(600.0).at_m == 0.0);
    const Simulation rolled = way.run(steady(way.drive(running(set))));
    CHECK(rolled.time_s() == Approx(rolled.length_m / kTaxi));
    CHECK(rolled.fuel_kg() * 3600 / rolled.time_s() == Approx(rolling).epsilon(1e-3));
    CHECK(brake_w(rolled) == Approx(set == kBoth ? 5500.0 : 0.0).margin(60));
  }
}

TEST_CASE("the steady part reproduces the published time-only formula for one-engine fuel") {
  // Zhang, Huang, Liu & Li, Sustainability 2019, 11(21):6110 [S:ZHANG2019]: N = 2, f = 0.113 kg/s, T = 20 min: 271.20 kg on
  // all engines, 169.50 kg with one for 15 min and both for the last 5; with a 110 kg/h APU 74.20 kg are saved.
  aircraft::Aircraft a;
  a.idle_thrust_share = 0.07;
  Conditions c;
  c.n1_limit_pct = a.n1_limit_pct = a.idle_n1_pct;
  c.mu_rolling = 0.010;  // so that one engine's 7 % keeps it rolling; the fuel does not depend on it
  const DrawnDrive way(straight_way(20 * 60 * kTaxi), c, a);
  Drive all = steady(way.drive({kBoth}));
  CHECK(way.run(all).fuel_kg() == Approx(271.20).epsilon(1e-4));
  Drive one = all;
  one.phases = {{kLeft}, {kLeft, kRight, 0.0, 0.0, 900.0}, {kBoth, {}, 0.0, {}, 60.0}};
  CHECK(way.run(one).fuel_kg() == Approx(169.50).epsilon(1e-4));
  one.phases[0].apu_kg_h = 110.0;
  CHECK(way.run(all).fuel_kg() - way.run(one).fuel_kg() == Approx(74.20).epsilon(1e-3));
}

TEST_CASE("rolling down a slope heats the brakes with what idle thrust and the slope leave over") {
  // 60 t, µ 0.015, −1 %, 20 kt, idle 5 % of 117 kN: two engines 90.1 kW, one 29.9 kW [S:MODEL-CALC].
  aircraft::Aircraft a;
  a.idle_thrust_share = 0.05;
  const DrawnDrive way(straight_way(2000, -0.01), {}, a);
  CHECK(brake_w(way.run(steady(way.drive({kBoth})))) == Approx(90100).epsilon(2e-3));
  CHECK(brake_w(way.run(steady(way.drive({kLeft})))) == Approx(29900).epsilon(2e-3));
}

TEST_CASE("a stop puts the energy of motion into the brakes and warms them by its share of their heat") {
  // 27 t from 46.3 m/s: 28.94 MJ; 386 kg of 500 J/(kg K) rise by 150 K. Worked example [S:DATABOOK2002].
  aircraft::Aircraft a;
  a.mass_min_kg = 20000;
  a.brakes = 1;
  a.brake_mass_kg = 386;
  a.brake_heat_j_kg_k = 500;
  a.brake_tau_s = 1e9;  // none of it is lost on the way
  a.idle_thrust_share = 1e-9;
  Conditions c;
  c.mass_kg = 27000;
  c.mu_rolling = 1e-9;
  c.speed_straight_kt = 100;
  const DrawnDrive way(straight_way(1400), c, a);
  Drive drive = way.drive({kBoth});
  drive.start_mps = 46.3;
  const Simulation s = way.run(drive);
  CHECK(s.samples.front().speed_mps == Approx(46.3));
  CHECK(s.samples.back().brake_energy_j == Approx(28.94e6).epsilon(1e-3));
  CHECK(s.samples.back().brake_c - s.samples.front().brake_c == Approx(150).epsilon(2e-3));
}

TEST_CASE("brakes cool to the air with their time constant and caution is given at the threshold") {
  const DrawnDrive way(straight_way(1000));
  Drive drive = way.drive(running(kBoth));
  drive.brake_start_c = 415.0;
  drive.brake_caution_c = 400.0;
  drive.stops = {{0.0, 2500.0}};
  const Simulation s = way.run(drive);
  CHECK(s.at_time(2500.0).brake_c == Approx(15.0 + 400.0 / std::numbers::e));  // one time constant of 2500 s, 15 °C
  CHECK(s.brake_most_c == 415.0);
  REQUIRE(s.caution_at_m);
  CHECK(*s.caution_at_m == 0.0);
  drive.brake_start_c.reset();
  CHECK(way.run(drive).samples.front().brake_c == Approx(15.0));
  CHECK_FALSE(way.run(drive).caution_at_m);
}

TEST_CASE("from rest to rest takes the times of constant acceleration and braking") {
  // Every engine: 0.3 m/s² to 20 kt, then 0.8 m/s² [from memory, inputs of the model].
  const DrawnDrive way(straight_way(1000));
  const Simulation s = way.run(kBoth);
  const double lost = kTaxi / (2 * 0.3) + kTaxi / (2 * 0.8);
  // A step in which speeding up ends is driven with less.
  CHECK(s.time_s() == Approx(s.length_m / kTaxi + lost).epsilon(1e-3));
  CHECK(s.at(100).speed_mps == Approx(std::sqrt(2 * 0.3 * 100)));
  CHECK(s.at(s.length_m - 10).speed_mps == Approx(std::sqrt(2 * 0.8 * 10)).epsilon(1e-9));
  CHECK(s.samples.back().speed_mps == 0.0);
  CHECK_FALSE(s.stalled);
  CHECK(s.carried.empty());
}

TEST_CASE("time, place and arc of a run are found again") {
  const DrawnDrive way(straight_way(1000));
  const Simulation s = way.run(kLeft);
  for (const double at : {0.0, 0.7, 123.4, 500.0, 999.0}) {
    const Sample there = s.at(at);
    CHECK(there.at_m == Approx(at));
    CHECK(s.at_time(there.time_s).at_m == Approx(at));
    CHECK(s.at_time(there.time_s).speed_mps == Approx(there.speed_mps));
    CHECK(s.before_end_s(at) == Approx(s.time_s() - there.time_s));
  }
  CHECK(s.arc_index(0.0) == 0);
  CHECK(s.arc_index(s.arc_from_m[1] - 0.1) == 0);
  CHECK(s.arc_index(s.arc_from_m[1] + 0.1) == 1);
  CHECK_THROWS_AS(s.at(s.length_m + 1), std::out_of_range);
  CHECK_THROWS_AS(s.at_time(-1), std::out_of_range);
}

TEST_CASE("a slower piece of way is entered at its speed and left from it") {
  auto net = straight_way(2000);
  net.segments[1].speed_limit = knots(8);
  const DrawnDrive way(net);
  const Simulation s = way.run(kBoth);
  const double node = s.arc_from_m[1];
  CHECK(s.at(node).speed_mps == Approx(knots(8).value()));
  CHECK(s.at(node - 20).speed_mps == Approx(std::sqrt(std::pow(knots(8).value(), 2) + 2 * 0.8 * 20)));
  for (const Sample& sample : s.samples) CHECK((sample.at_m < node || sample.speed_mps <= knots(8).value() + 1e-12));
}

TEST_CASE("a hill one engine cannot start on is climbed with the speed brought to it, and named") {
  // One-engine limits at 60 t: 1.39 % rolling, 0.49 % from rest [S:MODEL-CALC]; the limit without margin is 1.68 %.
  const auto hill = [](double run_up, double grade, double climb) {
    return draw_way({{{0, 0}, 0},
                     {{run_up, 0}, 0, true},
                     {{run_up + climb, 0}, grade * climb, true},
                     {{run_up + climb + 200, 0}, grade * climb}});
  };
  const DrawnDrive steep(hill(600, 0.03, 100));
  const Simulation carried = steep.run(kLeft);
  CHECK_FALSE(carried.stalled);
  REQUIRE(carried.carried.size() == 1);
  CHECK(carried.carried[0].from_m == Approx(carried.arc_from_m[1]));
  CHECK(carried.carried[0].to_m == Approx(carried.arc_from_m[2]));
  CHECK(carried.carried[0].needed_n > carried.carried[0].available_n);
  CHECK(carried.carried[0].least_mps < kTaxi);
  CHECK(carried.at(carried.arc_from_m[2]).speed_mps == Approx(carried.carried[0].least_mps));
  // v² falls by 2 (F − T_lim) / m for each metre.
  const double loss = 2 * (carried.carried[0].needed_n - carried.carried[0].available_n) / 60000 * 100;
  const double before = carried.at(carried.arc_from_m[1]).speed_mps, after = carried.at(carried.arc_from_m[2]).speed_mps;
  CHECK(before * before - after * after == Approx(loss).epsilon(1e-4));

  const DrawnDrive high(hill(600, 0.03, 600));
  const Simulation stalled = high.run(kLeft);
  REQUIRE(stalled.stalled);
  CHECK_FALSE(stalled.stalled->from_rest);
  CHECK(stalled.stalled->at_m > stalled.arc_from_m[1]);
  CHECK(stalled.stalled->at_m < stalled.arc_from_m[2]);
  CHECK(stalled.samples.back().speed_mps < knots(3).value());
  CHECK(stalled.samples.back().at_m == stalled.stalled->at_m);
  CHECK_FALSE(high.run(kBoth).stalled);
  // The same stall further on is not made up: what comes after is not known.
  CHECK_THROWS_AS(stalled.at(stalled.length_m), std::out_of_range);
}

TEST_CASE("starting from rest needs the breakaway thrust, rolling on does not") {
  // 1.2 % lies between the limits from rest and rolling, and above what the full limit breaks away (0.78 %).
  const DrawnDrive way(straight_way(800, 0.012));
  const Simulation still = way.run(kLeft);
  REQUIRE(still.stalled);
  CHECK(still.stalled->from_rest);
  CHECK(still.stalled->at_m == 0.0);
  CHECK(still.samples.size() == 1);
  CHECK_FALSE(way.run(kBoth).stalled);
  Drive rolling = way.drive(running(kLeft));
  rolling.start_mps = kTaxi;
  CHECK_FALSE(way.run(rolling).stalled);
  rolling.stops = {{400.0, 30.0}};
  const Simulation stopped = way.run(rolling);
  REQUIRE(stopped.stalled);
  CHECK(stopped.stalled->at_m == Approx(400.0));
  CHECK(stopped.time_s() == Approx(stopped.at(400.0).time_s + 30.0));
}

TEST_CASE("a turn needs the thrust of the running engine's path, and a tight one toward it slows and loses speed") {
  // Turn factors at a line radius of 30 m: 1.2677 toward the running engine, 0.8256 away [independent calculation].
  const auto turn = draw_way({{{0, 0}, 0}, {{300, 0}, 0, true}, {{300, -300}, 0}});  // to the right
  const DrawnDrive way(turn);
  const double force = 60000 * 9.80665 * 0.015;
  for (const auto& [set, factor] : {std::pair{kRight, 1.2677}, {kLeft, 0.8256}, {kBoth, 1.0}}) {
    const Simulation s = way.run(set);
    CHECK(s.at(s.arc_from_m[1] + 0.5).thrust_needed_n == Approx(factor * force).epsilon(1e-3));
    CHECK(s.at(s.arc_from_m[1]).speed_mps == Approx(knots(10).value()));
    CHECK(s.at(100).thrust_needed_n == Approx(force));
  }
}

TEST_CASE("in a turn toward the running engine thrust for speeding up is held to the nose wheel's grip") {
  Conditions wet;
  wet.surface = Surface::wet;
  wet.mass_kg = 55000;
  // From rest in the middle of a right turn of 30 m drawn finely.
  std::vector<WayPoint> points = {{{-100, 0}, 0}};
  for (int i = 0; i <= 12; ++i) {
    const double a = i * std::numbers::pi / 24;
    points.push_back({{30 * std::sin(a), -30 * (1 - std::cos(a))}, 0, false});
  }
  points.push_back({{30, -130}, 0});
  const DrawnDrive way(draw_way(points), wet);
  Drive drive = way.drive(running(kRight));
  drive.stops = {{120.0, 0.0}};
  const Simulation right = way.run(drive);
  drive.phases = {running(kLeft)};
  const Simulation left = way.run(drive);
  REQUIRE_FALSE(right.stalled);
  const Places places(kTwin, kRight, wet);
  const Bending bending = places.bending(way.shape.bends.at(0).radius_m, way.shape.bends.at(0).angle_rad);
  int held = 0;
  for (const Sample& s : right.samples) {
    if (s.at_m <= 120.0 || s.at_m > 140.0) continue;
    const double grip = places.grip_thrust_n(bending, s.speed_mps);
    CHECK(s.thrust_n <= std::max(grip, s.thrust_needed_n) * (1 + 1e-9));
    held += s.thrust_n < 0.99 * s.thrust_available_n;
  }
  CHECK(held > 0);
  CHECK(left.at(140).time_s - left.at(120).time_s < right.at(140).time_s - right.at(120).time_s);
}

TEST_CASE("drives that do not hang together are refused") {
  const DrawnDrive way(straight_way(1000));
  const Drive good = way.drive(running(kBoth));
  const auto refused = [&](auto&& spoil) {
    Drive drive = good;
    spoil(drive);
    CHECK_THROWS_AS(way.run(drive), Error);
  };
  refused([](Drive& d) { d.arcs.clear(); });
  refused([](Drive& d) { d.arcs = {ArcId{2}, ArcId{0}}; });
  refused([](Drive& d) { d.arcs = {ArcId{99}}; });
  refused([](Drive& d) { d.phases.clear(); });
  refused([](Drive& d) { d.phases[0].driving = {4}; });
  refused([](Drive& d) { d.phases[0].driving = {0}; });
  refused([](Drive& d) { d.phases[0].idling = {1}; });
  refused([](Drive& d) { d.phases[0].delay_s = 5; });
  refused([](Drive& d) { d.phases.push_back({kBoth, {}, 0, 1200.0}); });
  refused([](Drive& d) { d.stops = {{500}, {400}}; });
  refused([](Drive& d) { d.stops = {{-5}}; });
  refused([](Drive& d) { d.stops = {{0.0, 60.0}}, d.start_mps = 5; });
  refused([](Drive& d) { d.stops = {{500, std::nan("")}}; });
  refused([](Drive& d) { d.step_m = 0; });
  refused([](Drive& d) { d.phases.push_back({kBoth, {}, 0, 900.0}), d.stops = {{500, 0, 0, 60}}; });
}
