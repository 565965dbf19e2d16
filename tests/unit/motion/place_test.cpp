#include "solotaxi/motion/place.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "solotaxi/units/quantity.hpp"

using namespace solotaxi;
using namespace solotaxi::motion;

namespace {

const aircraft::Aircraft kTwin;
constexpr aircraft::RunningSet kLeft{1}, kRight{2}, kBoth{3};
constexpr double kPerHour = 3600.0;
const double kTaxi = knots(20).value();
const double kHalfPi = Radians::degrees(90).value();

Places places(aircraft::RunningSet set, const Conditions& conditions = {}) { return {kTwin, set, conditions}; }
double steady_flow(const Places& p, double grade) { return p.flow_kg_s(p.steady_thrust_n(p.force_n(grade))); }
std::vector<std::string> why(const Judgement& j) { return words(j.reasons); }
using Words = std::vector<std::string>;

}  // namespace

TEST_CASE("the default twin burns, brakes and stands still as calculated independently") {
  // 60 t, 117 kN, 3CM033 flows, µ 0.015, level, 20 kt [S:MODEL-CALC]. Sanity band 600 and 400 kg/h [C].
  const Places both = places(kBoth), left = places(kLeft);
  CHECK(steady_flow(both, 0) * kPerHour == Approx(602).margin(0.5));
  CHECK(both.brake_power_w(0, kTaxi) == Approx(5500).margin(50));
  CHECK(steady_flow(left, 0) * kPerHour == Approx(536).margin(0.5));
  CHECK(both.idle_flow_kg_s() * kPerHour == Approx(602).margin(0.5));
  CHECK(left.idle_flow_kg_s() * kPerHour == Approx(411).margin(0.5));
  CHECK(left.standing_mass_limit_kg() == Approx(72300).margin(50));
  CHECK(left.rolling_grade_limit() == Approx(0.0139).margin(5e-5));
  CHECK(left.standing_grade_limit() == Approx(0.0049).margin(5e-5));
}

TEST_CASE("without an APU its flow is not charged on one engine, and never on all") {
  Conditions off;
  off.apu_on = false;
  CHECK((places(kLeft).idle_flow_kg_s() - places(kLeft, off).idle_flow_kg_s()) * kPerHour == Approx(110));
  CHECK(places(kBoth).idle_flow_kg_s() == places(kBoth, off).idle_flow_kg_s());
}

TEST_CASE("idling downhill heats the brakes as calculated independently") {
  // 60 t, µ 0.015, -1 %, 20 kt, idle 5 % of 117 kN: two engines 90.1 kW, one 29.9 kW [S:MODEL-CALC].
  aircraft::Aircraft a;
  a.idle_thrust_share = 0.05;
  CHECK(Places(a, kBoth, {}).brake_power_w(-0.01, kTaxi) == Approx(90100).epsilon(1e-3));
  CHECK(Places(a, kLeft, {}).brake_power_w(-0.01, kTaxi) == Approx(29900).epsilon(1e-3));
  CHECK(Places(a, kLeft, {}).brake_power_w(0.02, kTaxi) == 0.0);
}

TEST_CASE("auxiliary power units burn what their class does in a cycle") {
  // ICAO Doc 9889 classes [S:DOC9889]: no load 3.0 min, running 3.6 min (two engines), start 35 s; arrival running 15 min.
  struct Class {
    double no_load, run, start, cycle_kg;
  };
  for (const Class& c : {Class{77, 110, 130, 39.21}, Class{68, 101, 110, 35.78}, Class{108, 164, 191, 58.10}}) {
    aircraft::Aircraft a;
    a.apu_run_kg_h = c.run;
    Conditions off;
    off.apu_on = false;
    const double run = Places(a, kLeft, {}).idle_flow_kg_s() - Places(a, kLeft, off).idle_flow_kg_s();
    const double departure = c.no_load / kPerHour * 180 + run * 216 + c.start / kPerHour * 35;
    CHECK(departure + run * 900 == Approx(c.cycle_kg).epsilon(5e-4));
    if (c.run == 110) {  // smaller newer: 11.714 kg in the departure, 0.029462 kg/s in the mean of the cycle
      CHECK(departure == Approx(11.714).epsilon(5e-4));
      CHECK((departure + run * 900) / (180 + 216 + 35 + 900) == Approx(0.029462).epsilon(5e-4));
    }
  }
}

TEST_CASE("grade decides between standing, rolling, every engine and blocked") {
  const Places left = places(kLeft);
  CHECK(left.judge(known_ground(0.0)).verdict == Verdict::standing);
  CHECK(left.judge(known_ground(left.standing_grade_limit() - 1e-6)).verdict == Verdict::standing);
  CHECK(left.judge(known_ground(left.standing_grade_limit() + 1e-6)).verdict == Verdict::rolling);
  CHECK(left.judge(known_ground(left.rolling_grade_limit() - 1e-6)).verdict == Verdict::rolling);
  CHECK(left.judge(known_ground(left.rolling_grade_limit() + 1e-6)).verdict == Verdict::all);
  const double both_limit = places(kBoth).rolling_grade_limit();
  CHECK(left.judge(known_ground(both_limit - 1e-6)).verdict == Verdict::all);
  CHECK(left.judge(known_ground(both_limit + 1e-6)).verdict == Verdict::blocked);
  CHECK(places(kBoth).judge(known_ground(both_limit + 1e-6)).verdict == Verdict::blocked);
  CHECK(why(left.judge(known_ground(0.01))) == Words{"grade"});
  CHECK(why(left.judge(known_ground(0.03))) == Words{"grade"});
  CHECK(why(left.judge(known_ground(-0.01))).empty());
}

TEST_CASE("a turn toward the running engine is named where the straight would do, and away is easier than the straight") {
  const Places left = places(kLeft);
  const Bending toward = left.bending(30, -kHalfPi), away = left.bending(30, kHalfPi);
  // Turn factors by virtual work, 5.75 m, 12.6 m, line radius 30 m: 1.2677 toward, 0.8256 away [S:MODEL-CALC].
  CHECK(toward.factor == Approx(1.2677).epsilon(1e-4));
  CHECK(away.factor == Approx(0.8256).epsilon(1e-4));
  const double straight_limit = left.rolling_grade_limit();
  const Judgement turned = left.judge(known_ground(straight_limit * 0.9), toward);
  CHECK(turned.verdict == Verdict::all);
  CHECK(why(turned) == Words{"grade", "turn toward the running engine"});
  const Judgement level = left.judge(known_ground(0.0), toward);
  CHECK(level.verdict == Verdict::rolling);
  CHECK(why(level) == Words{"turn toward the running engine"});
  CHECK(left.judge(known_ground(straight_limit * 1.1), away).verdict == Verdict::rolling);
  CHECK(places(kRight).judge(known_ground(0.0), places(kRight).bending(30, kHalfPi)).verdict == Verdict::rolling);
}

TEST_CASE("mass is the reason where neither level nor straight ground helps") {
  Conditions heavy;
  heavy.mass_kg = 75000;  // above the 72.3 t that start on the level
  const Judgement j = places(kLeft, heavy).judge(known_ground(0.0));
  CHECK(j.verdict == Verdict::rolling);
  CHECK(why(j) == Words{"mass"});
}

TEST_CASE("a turn too tight for the running engine needs every engine, downhill too") {
  const Places left = places(kLeft);
  const Bending toward = left.bending(13.5, -1.0);  // main gear inside the engine's arm
  REQUIRE(std::isinf(toward.factor));
  for (const double grade : {0.0, -0.03}) {
    const Judgement j = left.judge(known_ground(grade), toward);
    CHECK(j.verdict == Verdict::all);
    CHECK(j.reasons.has(Reason::turn));
    CHECK(left.verdict(j).margin == -1.0);
    CHECK(left.verdict(j).probability == 0.0);
  }
}

TEST_CASE("the nose wheel's grip forbids a turn toward the running engine on a slippery surface") {
  Conditions slippery;
  slippery.surface = Surface::wet;
  slippery.mu_side_wet = 0.08;  // little over wet ice
  const Places left = places(kLeft, slippery), both = places(kBoth, slippery);
  const Judgement j = left.judge(known_ground(0.0), left.bending(30, -kHalfPi));
  CHECK(j.verdict == Verdict::all);
  CHECK(j.reasons.has(Reason::nose_grip));
  CHECK(both.judge(known_ground(0.0), both.bending(30, -kHalfPi)).verdict == Verdict::standing);
  CHECK(left.judge(known_ground(0.0), left.bending(30, kHalfPi)).verdict != Verdict::all);
}

TEST_CASE("a wet turn is slowed by grip toward the running engine as the formula says") {
  Conditions wet;
  wet.surface = Surface::wet;
  const Places left = places(kLeft, wet);
  const double r_m = std::sqrt(30.0 * 30.0 - 12.6 * 12.6);
  const double thrust = 60000 * 9.80665 * 0.015 / (1 - 5.75 / r_m);
  const double v2 = (0.20 * 9.80665 - thrust * 5.75 / (12.6 * 0.08 * 60000)) * r_m;
  const double gentle = Radians::degrees(45).value();  // not yet held to the slow limit of bends over 60°
  CHECK(left.speed_mps(left.bending(30, -gentle), known_ground(0.0)) == Approx(std::sqrt(v2)));
  CHECK(left.speed_mps(left.bending(30, gentle), known_ground(0.0)) == Approx(std::sqrt(0.133 * 9.80665 * 30)));
  CHECK(left.speed_mps(left.bending(300, kHalfPi), known_ground(0.0)) == Approx(knots(10).value()));
  CHECK(left.speed_mps(left.bending(300, gentle), known_ground(0.0)) == Approx(std::sqrt(0.133 * 9.80665 * 300)));
}

TEST_CASE("from 45 to 60 degrees the limit of a bend falls to that of sharp bends without a step") {
  const Places both = places(kBoth);
  const auto limit = [&](double deg) { return both.comfort_limit_mps(60, Radians::degrees(deg).value()); };
  CHECK(limit(45) == Approx(std::sqrt(0.133 * 9.80665 * 60)));
  CHECK(limit(52.5) == Approx(0.5 * (limit(45) + knots(10).value())));
  CHECK(limit(60.0) == Approx(knots(10).value()));
  CHECK(limit(90) == Approx(knots(10).value()));
}

TEST_CASE("comfort speeds are those of the curve table within 1.5 %") {
  // 16/32/48/96 km/h on 15/60/135/540 m [S:DOC9157-2] ( as given by Horonjeff et al.). Bends of 45° at most.
  const Places both = places(kBoth);
  for (const auto& [kmh, radius] : {std::pair{16.0, 15.0}, {32.0, 60.0}, {48.0, 135.0}, {96.0, 540.0}}) {
    const double v = both.comfort_limit_mps(radius, 0.7) * 3.6;
    CHECK(v * v == Approx(kmh * kmh).epsilon(0.015));  // the table's tolerance is on the radius
  }
}

TEST_CASE("a radius at the steering limit is steered, one under it is blocked for steering alone") {
  const Places left = places(kLeft);
  const double least = 12.6 / std::sin(Radians::degrees(75).value());
  CHECK(left.bending(least, kHalfPi).steerable);
  CHECK(left.judge(known_ground(0), left.bending(least * 0.99, kHalfPi)).verdict == Verdict::blocked);
  CHECK(why(left.judge(known_ground(0), left.bending(least * 0.99, kHalfPi))) == Words{"steering"});
  CHECK(why(left.judge(known_ground(0), left.bending(5.0, kHalfPi))) == Words{"steering"});
}

TEST_CASE("on a contaminated surface fewer than every engine is never better than all") {
  Conditions c;
  c.surface = Surface::contaminated;
  CHECK(places(kLeft, c).judge(known_ground(-0.01)).verdict == Verdict::all);
  CHECK(why(places(kLeft, c).judge(known_ground(-0.01))) == Words{"surface"});
  CHECK(places(kBoth, c).judge(known_ground(0)).verdict == Verdict::standing);
}

TEST_CASE("an unknown grade is judged uphill and named, and its chance is that of the level") {
  const Places left = places(kLeft);
  const Ground unknown{0.0, 0.03, 0.015, true};
  const Judgement j = left.judge(unknown);
  CHECK(j.verdict == Verdict::all);
  CHECK(why(j) == Words{"unknown grade"});
  CHECK(left.verdict(j).margin < 0.0);
  CHECK(left.verdict(j).probability > 0.5);
  CHECK(left.verdict(j).probability < 0.95);
}

TEST_CASE("a grade that is only assumed asks for every engine, but does not shut the way to them") {
  Conditions heavy;
  heavy.mass_kg = 79000;
  const Ground unknown{0.0, 0.03, 0.015, true};
  // Both engines give 37,440 N, 34,036 N within the margin of 10 %; 79 t ask for 34,847 N at 3 %.
  CHECK(places(kBoth, heavy).judge(known_ground(0.03)).verdict == Verdict::blocked);
  const Judgement both = places(kBoth, heavy).judge(unknown);
  CHECK(both.verdict == Verdict::rolling);
  CHECK(why(both) == Words{"unknown grade"});
  CHECK(places(kLeft, heavy).judge(unknown).verdict == Verdict::all);
  // Where not even the level can be driven, it is the mass that shuts the way.
  heavy.n1_limit_pct = 21;
  CHECK(places(kBoth, heavy).judge(unknown).verdict == Verdict::blocked);
  CHECK(why(places(kBoth, heavy).judge(unknown)) == Words{"mass"});
}

TEST_CASE("margin and chance follow thrust limit, need and the stated spreads") {
  const Places left = places(kLeft);
  const double weight = 60000 * 9.80665, limit = 4 * 0.04 * 117000;
  const PlaceVerdict level = left.verdict(left.judge(known_ground(0.0, 0.005)));
  CHECK(level.margin == Approx(limit / (weight * 0.024) - 1));
  const double need = weight * 0.024;
  const double sigma = std::sqrt(std::pow(need * 0.01, 2) + std::pow(weight * 0.0032, 2) + std::pow(weight * 0.005, 2) +
                                 std::pow(limit * 0.05, 2));
  CHECK(level.probability == Approx(0.5 * (1 + std::erf((limit - need) / sigma / std::sqrt(2.0)))));
  CHECK(std::isnan(left.verdict(left.judge(known_ground(-0.03))).margin));
  // Where the whole limit is just needed the chance is even, and the margin nought.
  const double grade = limit / weight - 0.015;
  const PlaceVerdict even = left.verdict(left.judge(known_ground(grade)));
  CHECK(even.verdict == Verdict::all);
  CHECK(even.margin == Approx(0).margin(2e-3));  // cos γ is not 1
  CHECK(even.probability == Approx(0.5).margin(0.02));
}

TEST_CASE("braking and speeding up add what a drive in small steps adds") {
  const Places left = places(kLeft);
  for (const double grade : {-0.02, 0.0, 0.008})
    for (const double way : {1000.0, 80.0, 20.0}) {
      CAPTURE(grade, way);
      const double from = 4.0, weight = 60000 * 9.80665;
      const double force = weight * (0.015 + grade) / std::sqrt(1 + grade * grade);
      const double a = std::min(0.3, (4 * 4680.0 - force) / 60000);
      const auto flow = [&](double thrust) {
        const double x = std::clamp(thrust, 4680.0, 4 * 4680.0) / 117000;
        return 0.113 + (0.338 - 0.113) * (x - 0.07) / 0.23 + 110.0 / 3600;
      };
      double v = from, at = 0, time = 0, fuel = 0;
      constexpr double kStep = 1e-3;
      while (at < way) {
        const bool gaining = v < kTaxi;
        fuel += flow(gaining ? force + 60000 * a : force) * kStep;
        at += v * kStep;
        time += kStep;
        if (gaining) v += a * kStep;
      }
      const Cost added = left.speeding_up(from, kTaxi, way, known_ground(grade));
      CHECK(added.time_s == Approx(time - way / kTaxi).epsilon(2e-3).margin(2e-3));
      const double exact = fuel - flow(force) * way / kTaxi;
      // On one engine at full thrust, with too little way, the fuel is kept from falling with the grade: a little over.
      const bool kept = a < 0.3 && v < kTaxi && force > 4680;
      CHECK(added.fuel_kg >= exact * (1 - 2e-3) - 1e-3);
      CHECK(added.fuel_kg <= exact * (kept ? 1.10 : 1 + 2e-3) + 1e-3);
    }
  // Braking at a constant rate loses Δv² / (2 a v) against driving on.
  const Cost braked = left.braking(kTaxi, 4.0);
  CHECK(braked.time_s == Approx((kTaxi - 4.0) / 0.8 - (kTaxi * kTaxi - 16.0) / (2 * 0.8) / kTaxi));
  CHECK(braked.fuel_kg == Approx(braked.time_s * left.idle_flow_kg_s()));
  CHECK(left.braking(4.0, kTaxi).time_s == 0.0);
  CHECK(left.speeding_up(kTaxi, 4.0, 100, known_ground(0)).fuel_kg == 0.0);
}

TEST_CASE("fuel over a straight with a change of speed never falls with mass or grade") {
  CHECK(rc::check("over the way the speeding up takes", [] {
    const double grade = *rc::gen::inRange(-300, 300) * 1e-4, tilt = *rc::gen::inRange(0, 100) * 1e-4;
    const double from = *rc::gen::inRange(0, 100) * 0.1, way = *rc::gen::inRange(1, 800);
    const int mass = *rc::gen::inRange(42000, 79001), more = *rc::gen::inRange(mass, 79001);
    const auto set = *rc::gen::element(kLeft, kBoth);
    const auto fuel = [&](double kg, double g) {
      Conditions c;
      c.mass_kg = kg;
      const Places p(kTwin, set, c);
      return steady_flow(p, g) * way / kTaxi + std::max(0.0, p.speeding_up(from, kTaxi, way, known_ground(g)).fuel_kg);
    };
    RC_ASSERT(fuel(more, grade) >= fuel(mass, grade) - 1e-12);
    RC_ASSERT(fuel(mass, grade + tilt) >= fuel(mass, grade) - 1e-12);
  }));
}

TEST_CASE("a bend is never faster with more mass or on steeper ground") {
  CHECK(rc::check("bend speed", [] {
    Conditions c;
    c.surface = *rc::gen::element(Surface::dry, Surface::wet);
    const double radius = *rc::gen::inRange(14, 120), angle = *rc::gen::element(-0.9, 0.9, -1.5, 1.5);
    const double grade = *rc::gen::inRange(-300, 300) * 1e-4;
    const int mass = *rc::gen::inRange(42000, 79001), more = *rc::gen::inRange(mass, 79001);
    const auto speed = [&](double kg, double g) {
      c.mass_kg = kg;
      const Places p(kTwin, kLeft, c);
      return p.speed_mps(p.bending(radius, angle), known_ground(g));
    };
    RC_ASSERT(speed(more, grade) <= speed(mass, grade) + 1e-12);
    RC_ASSERT(speed(mass, grade + 0.01) <= speed(mass, grade) + 1e-12);
  }));
}
