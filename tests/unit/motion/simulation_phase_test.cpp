// Phases that change at places and at times, rolling and standing; queue, waiting, turn-round.
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "simulation_way.hpp"
#include "solotaxi/motion/place.hpp"

using namespace solotaxi;
using namespace solotaxi::motion;
using namespace solotaxi::test;
using network::ArcId;

namespace {

const double kTaxi = knots(20).value();
const double kIdle_kg_h = 301.0;  // one engine, half of the 602 kg/h of two [S:MODEL-CALC]

double flow_kg_h(const PhaseRun& phase) { return phase.fuel_kg / phase.time_s * 3600; }

/// One engine, then a start of 60 s, then all.
std::vector<DrivePhase> departure(std::optional<double> start_at, double delay_s) {
  return {{kLeft, {}, 110}, {kLeft, kRight, 130, start_at, delay_s}, {kBoth, {}, 0, {}, 60}};
}

}  // namespace

TEST_CASE("a start in the push back burns standing at the flow of each phase") {
  const DrawnDrive way(straight_way(1000));
  Drive drive = way.drive({});
  drive.phases = departure(0.0, 30.0);
  drive.stops = {{0.0, 120.0}};
  const Simulation s = way.run(drive);
  CHECK(s.phases[0].time_s == Approx(30));
  CHECK(s.phases[1].time_s == Approx(60));
  CHECK(s.phases[1].begins_s == Approx(30));
  CHECK(s.phases[2].begins_s == Approx(90));
  CHECK(s.phases[2].at_m == 0.0);
  CHECK(flow_kg_h(s.phases[0]) == Approx(kIdle_kg_h + 110).epsilon(1e-3));
  CHECK(flow_kg_h(s.phases[1]) == Approx(2 * kIdle_kg_h + 130).epsilon(1e-3));
  CHECK(s.at_time(119.9).at_m == Approx(0).margin(1e-9));
  CHECK(s.at_time(121).at_m == Approx(0.15));
}

TEST_CASE("a phase that begins at a place while rolling begins there to the metre, one by time to the second") {
  const DrawnDrive way(straight_way(2000));
  Drive drive = way.drive({});
  drive.phases = departure(777.3, 0.0);
  const Simulation s = way.run(drive);
  CHECK(s.phases[1].at_m == Approx(777.3));
  CHECK(s.phases[1].begins_s == Approx(s.at(777.3).time_s));
  CHECK(s.phases[1].time_s == Approx(60).epsilon(1e-12));
  CHECK(s.phases[2].at_m == Approx(777.3 + 60 * kTaxi));
  CHECK(s.phases[1].way_m == Approx(60 * kTaxi));
  double time = 0, fuel = 0, length = 0;
  for (const PhaseRun& phase : s.phases) time += phase.time_s, fuel += phase.fuel_kg, length += phase.way_m;
  CHECK(time == Approx(s.time_s()));
  CHECK(fuel == Approx(s.fuel_kg()));
  CHECK(length == Approx(s.length_m));
  // Thrust is the same, shared out otherwise: N1 falls by √2 or to idle.
  CHECK(s.at(700).n1_pct > s.at(1900).n1_pct);
  CHECK(s.at(1000).thrust_available_n == Approx(s.at(1900).thrust_available_n / 2));
}

TEST_CASE("a start in the queue stands in one engine, then in the start, then in all") {
  const DrawnDrive way(straight_way(1000));
  Drive drive = way.drive({});
  drive.phases = departure(600.0, 200.0);
  drive.stops = {{600.0, 300.0}};
  const Simulation s = way.run(drive);
  const double stopped = s.at(600).time_s;
  CHECK(s.at(600).speed_mps == 0.0);
  CHECK(s.phases[1].begins_s == Approx(stopped + 200));
  CHECK(s.phases[1].at_m == Approx(600));
  CHECK(s.phases[2].begins_s == Approx(stopped + 260));
  CHECK(s.at_time(stopped + 200).fuel_kg - s.at(600).fuel_kg == Approx((kIdle_kg_h + 110) / 18).epsilon(1e-3));
  CHECK(s.at_time(stopped + 299).at_m == Approx(600));
  CHECK(s.at_time(stopped + 301).at_m > 600.1);
}

TEST_CASE("what the last phase still lacks is waited out where asked") {
  const DrawnDrive way(straight_way(1000));
  Drive drive = way.drive({});
  drive.phases = departure(700.0, 0.0);
  drive.stops = {{1000.0, 0.0, 0.0, 180.0}};
  const Simulation s = way.run(drive);
  CHECK(s.phases[2].time_s == Approx(180));
  CHECK(s.before_end_s(700) == Approx(240));
  CHECK(s.at(1000).time_s < s.time_s());
  drive.stops[0].last_phase_s = 0.0;
  const Simulation at_once = way.run(drive);
  CHECK(at_once.time_s() == Approx(s.at(1000).time_s));
  CHECK(std::isnan(at_once.phases[2].begins_s) == (at_once.before_end_s(700) < 60));
}

TEST_CASE("moves in a queue add their fuel to the standing flow and no time or way") {
  const DrawnDrive way(straight_way(1000));
  Drive drive = way.drive(running(kLeft));
  drive.stops = {{500.0, 600.0}};
  const Simulation still = way.run(drive);
  drive.stops[0].moves_per_min = 1.0;
  const Simulation moved = way.run(drive);
  CHECK(moved.time_s() == Approx(still.time_s()));
  const double each = (moved.fuel_kg() - still.fuel_kg()) / 10;
  CHECK(each == Approx(queue_move_kg(Places(kTwin, kLeft, {}))));
  // The same as driving 50 m from rest to rest against standing as long.
  const DrawnDrive move(straight_way(50));
  const Simulation s = move.run(kLeft);
  CHECK(each == Approx(s.fuel_kg() - s.time_s() * (kIdle_kg_h + 110) / 3600).epsilon(0.05));
  CHECK(each > 0.0);
}

TEST_CASE("the driving set after a change by time is already looked ahead for") {
  Conditions wet;
  wet.surface = Surface::wet;
  wet.mu_side_wet = 0.12;  // so slippery that a turn toward the running engine is slower on it
  std::vector<WayPoint> points = {{{0, 0}, 0, true}};
  for (int i = 1; i <= 6; ++i) points.push_back({{i * 150.0, i % 2 * 150.0}, 0, i % 2 == 0});
  const DrawnDrive way(draw_way(points), wet);
  Drive drive = way.drive({});
  // Arrival: one engine off after so many seconds.
  for (const double after : {10.0, 33.3, 47.1, 60.0, 80.0}) {
    drive.phases = {{kBoth}, {kRight, {}, 110, 0.0, after}};
    const Simulation s = way.run(drive);
    REQUIRE_FALSE(s.stalled);
    const Places both(kTwin, kBoth, wet), right(kTwin, kRight, wet);
    const Ground level = known_ground(0);
    for (std::size_t a = 0; a < drive.arcs.size(); ++a)
      for (const network::Bend& bend : way.shape.bends_of(drive.arcs[a])) {
        const Sample there = s.at(s.arc_from_m[a] + bend.at_m);
        const Places& driving = there.phase == 0 ? both : right;
        CHECK(there.speed_mps <= driving.speed_mps(driving.bending(bend.radius_m, bend.angle_rad), level) + 1e-9);
      }
    for (std::size_t i = 1; i < s.samples.size(); ++i) {
      const Sample &a = s.samples[i - 1], &b = s.samples[i];
      CHECK((b.speed_mps - a.speed_mps) / (b.time_s - a.time_s) >= -0.8 - 1e-9);
    }
  }
}

TEST_CASE("a turn-round adds its way at its speed") {
  network::Network net = straight_way(1000);
  const DrawnDrive way(std::move(net));
  Drive drive = way.drive(running(kBoth));
  drive.arcs = {ArcId{0}, ArcId{2}, ArcId{3}, ArcId{1}};
  const Simulation s = way.run(drive);
  const double radius = 12.6 / std::sin(75 * std::numbers::pi / 180), round = std::numbers::pi * radius;
  const double length = way.net.segments[0].length_m + way.net.segments[1].length_m;
  CHECK(s.length_m == Approx(2 * length + round));
  CHECK(s.arc_from_m[2] == Approx(length + round));
  CHECK(s.arc_index(length + 1) == 1);
  const Sample in = s.at(length), out = s.at(length + round);
  CHECK(in.speed_mps == Approx(knots(5).value()));
  CHECK(out.time_s - in.time_s == Approx(round / knots(5).value()));
  drive.arcs.resize(2);
  drive.turn_round_at_end = true;
  CHECK(way.run(drive).length_m == Approx(length + round));
  drive = way.drive(running(kBoth));
  drive.arcs.erase(drive.arcs.begin());
  drive.rolled_on = ArcId{3};
  CHECK(way.run(drive).arc_from_m[0] == Approx(round));
}

TEST_CASE("the turn from the arc rolled on counts where the drive begins") {
  const DrawnDrive way(draw_way({{{0, 0}, 0}, {{300, 0}, 0, true}, {{300, -300}, 0}}));
  Drive drive = way.drive(running(kBoth));
  drive.arcs = {ArcId{2}};
  drive.start_mps = kTaxi;
  CHECK(way.run(drive).samples.front().speed_mps == Approx(kTaxi));
  drive.rolled_on = ArcId{0};
  CHECK(way.run(drive).samples.front().speed_mps == Approx(knots(10).value()));
}
