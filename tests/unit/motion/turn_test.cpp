#include "solotaxi/motion/turn.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <utility>

#include "solotaxi/motion/force.hpp"
#include "solotaxi/units/quantity.hpp"

using namespace solotaxi;
using namespace solotaxi::motion;

// Source: ICAO Doc 9157 Part 2, as given by Horonjeff et al., Planning and Design of Airports [S:DOC9157-2].
TEST_CASE("curve radii and speeds agree with the published table within 1.5 %") {
  constexpr double kTolerance = 0.015;  // the table is rounded
  for (const auto& [km_h, radius_m] : {std::pair{16.0, 15.0}, {32.0, 60.0}, {48.0, 135.0}, {96.0, 540.0}}) {
    const double v = comfort_speed_mps(radius_m, 0.133);
    CHECK(v * v / (0.133 * kGravity.value()) == Approx(radius_m));
    const double table_radius_m = km_h * km_h / (127.133 * 0.133);
    CHECK(table_radius_m == Approx(radius_m).epsilon(kTolerance));
    CHECK(v * 3.6 == Approx(km_h).epsilon(kTolerance / 2));
  }
}

// Source: rapid exit radii and speeds of ICAO Doc 9157 Part 2 [S:DOC9157-2].
TEST_CASE("rapid exits ask for the lateral acceleration their radius and speed imply") {
  CHECK(comfort_speed_mps(550.0, 0.1237) * 3.6 == Approx(93.0).epsilon(0.001));
  CHECK(comfort_speed_mps(275.0, 0.1208) * 3.6 == Approx(65.0).epsilon(0.001));
}

// Source: Matthews, Aeronautical Engineer's Data Book, 2002, Fig. 11.13 [S:DATABOOK2002]; wheelbase 25.88 m [M].
TEST_CASE("the nose gear's radius follows from wheelbase and steering angle") {
  constexpr double kWheelbase = 25.88;
  for (const auto& [deg, radius_m] : {std::pair{30.0, 51.3}, {45.0, 36.4}, {60.0, 29.9}, {70.0, 27.6}}) {
    CHECK(least_radius_m(kWheelbase, deg) == Approx(radius_m).epsilon(0.01));
    CHECK(Radians{steering_angle_rad(kWheelbase, least_radius_m(kWheelbase, deg))}.in_degrees() == Approx(deg));
  }
  CHECK(std::isnan(steering_angle_rad(kWheelbase, 25.0)));
  CHECK(main_gear_radius_m(3.0, 5.0) == Approx(4.0));
  CHECK(main_gear_radius_m(5.0, 4.0) == 0.0);
}

// Source: independent calculation of the ground-movement model by virtual work [S:MODEL-CALC]; arm 5.75 m, wheelbase 12.6
// m.
TEST_CASE("one engine needs more thrust in a turn toward it and less in a turn away") {
  const struct {
    double radius_m, toward, away;
  } rows[] = {{25, 1.3629, 0.7897}, {30, 1.2677, 0.8256}, {60, 1.1087, 0.9107}};
  for (const auto& row : rows) {
    CHECK(thrust_factor(5.75, 12.6, row.radius_m, +1.0) == Approx(row.toward).margin(5e-5));
    CHECK(thrust_factor(5.75, 12.6, row.radius_m, -1.0) == Approx(row.away).margin(5e-5));
    CHECK(thrust_factor(-5.75, 12.6, row.radius_m, -1.0) == Approx(row.toward).margin(5e-5));
    CHECK(thrust_factor(-5.75, 12.6, row.radius_m, +1.0) == Approx(row.away).margin(5e-5));
    CHECK(thrust_factor(0.0, 12.6, row.radius_m, 1.0) == 1.0);
  }
}

TEST_CASE("a turn so tight that the running engine stands on its centre cannot be done toward it") {
  const double radius_m = std::hypot(12.6, 5.75);  // R_m = arm
  CHECK(std::isinf(thrust_factor(5.75, 12.6, radius_m * 0.999, +1.0)));
  CHECK(thrust_factor(5.75, 12.6, radius_m, -1.0) == Approx(0.5));
  CHECK(std::isinf(thrust_factor(5.75, 12.6, 12.0, -1.0)));  // under the wheelbase: cannot be steered
  CHECK(thrust_factor(5.75, 12.6, INFINITY, 1.0) == 1.0);
  CHECK(thrust_factor(5.75, 12.6, 30.0, 0.0) == 1.0);
}

// Source: independent calculation of the ground-movement model [S:MODEL-CALC].
TEST_CASE("the nose wheel holds thrust times arm over wheelbase, to the engine's side") {
  CHECK(nose_side_force_n(10000.0, 5.75, 12.6) == Approx(4563.0).margin(0.6));
  CHECK(nose_side_force_n(10000.0, -5.75, 12.6) == Approx(-4563.0).margin(0.6));
}

TEST_CASE("the nose wheel's grip is worked out by hand on both sides of a wet turn") {
  // µ g = 0.2 × 9.80665 = 1.96133; T ȳ / (L f m) = 9000 × 5.75 / (12.6 × 0.08 × 60000) = 0.85565; R_m = √(30² − 12.6²)
  // = 27.2257
  const double toward = grip_speed_mps(0.20, 9000, 5.75, 12.6, 0.08, 60000, 30, +1);
  const double away = grip_speed_mps(0.20, 9000, 5.75, 12.6, 0.08, 60000, 30, -1);
  CHECK(toward * toward == Approx((1.96133 - 0.855655) * 27.2257).epsilon(1e-5));
  CHECK(away * away == Approx((1.96133 + 0.855655) * 27.2257).epsilon(1e-5));
  CHECK(grip_speed_mps(0.05, 9000, 5.75, 12.6, 0.08, 60000, 30, +1) == 0.0);
  const double centred = grip_speed_mps(0.20, 9000, 0.0, 12.6, 0.08, 60000, 30, +1);
  CHECK(centred * centred == Approx(1.96133 * 27.2257).epsilon(1e-5));
}

TEST_CASE("mirroring the turn and the engine changes nothing") {
  const bool ok = rc::check([] {
    const double arm = *rc::gen::inRange(-1200, 1200) / 100.0;
    const double radius = *rc::gen::inRange(1300, 50000) / 100.0;
    const double sign = *rc::gen::element(-1.0, 1.0);
    const double thrust = *rc::gen::inRange(0, 20000);
    RC_ASSERT(thrust_factor(arm, 12.6, radius, sign) == thrust_factor(-arm, 12.6, radius, -sign));
    RC_ASSERT(grip_speed_mps(0.2, thrust, arm, 12.6, 0.08, 60000, radius, sign) ==
              grip_speed_mps(0.2, thrust, -arm, 12.6, 0.08, 60000, radius, -sign));
    RC_ASSERT(nose_side_force_n(thrust, arm, 12.6) == -nose_side_force_n(thrust, -arm, 12.6));
  });
  CHECK(ok);
}

TEST_CASE("work done by the engine along its own circle equals the work of the resistance along the aircraft's") {
  const bool ok = rc::check([] {
    const double arm = *rc::gen::inRange(-900, 900) / 100.0;
    const double radius = *rc::gen::inRange(2000, 50000) / 100.0;
    const double sign = *rc::gen::element(-1.0, 1.0);
    const double gear = main_gear_radius_m(12.6, radius);
    const double engine_radius = gear - arm * sign;  // toward the engine it runs on the smaller circle
    RC_PRE(engine_radius > 0.01);
    const double thrust = thrust_factor(arm, 12.6, radius, sign) * 8826.0;
    RC_ASSERT(std::abs(thrust * engine_radius - 8826.0 * gear) < 1e-6 * 8826.0 * gear);
  });
  CHECK(ok);
}
