#include "solotaxi/motion/force.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "solotaxi/units/quantity.hpp"

using namespace solotaxi;
using namespace solotaxi::motion;

// Source of the values below: independent calculation of the ground-movement model, section 3 [S:MODEL-CALC].
TEST_CASE("60 t roll on the level against 8.83 kN, doubled by 1.5 % up and none on 1.5 % down") {
  const double level = rolling_force_n(60000, 0.015, 0.0);
  CHECK(level == Approx(8830).epsilon(0.0005));
  CHECK(level == Approx(60000 * 9.80665 * 0.015));
  CHECK(rolling_force_n(60000, 0.015, 0.015) == Approx(2 * level).epsilon(0.0002));
  CHECK(rolling_force_n(60000, 0.015, -0.015) == Approx(0.0).margin(1e-9));
  CHECK(rolling_force_n(60000, 0.015, -0.02) < 0.0);
}

TEST_CASE("downhill the brakes take the idle thrust that the roll does not need") {
  const double speed = knots(20).value();
  const double idle_n = 0.05 * 117000;
  const double need_n = rolling_force_n(60000, 0.015, -0.01);
  CHECK((2 * idle_n - need_n) * speed == Approx(90100).epsilon(0.001));
  CHECK((idle_n - need_n) * speed == Approx(29900).epsilon(0.002));
}

TEST_CASE("one engine at the limit holds 60 t on 1.39 % rolling and 0.49 % from rest") {
  const double limit_n = 4 * 0.04 * 117000 / 1.1;  // 40 % N1 is four times idle thrust; 10 % margin
  CHECK(limiting_grade(limit_n, 60000, 0.015) * 100 == Approx(1.39).margin(0.005));
  CHECK(limiting_grade(limit_n, 60000, 1.6 * 0.015) * 100 == Approx(0.49).margin(0.005));
  CHECK(limiting_grade(limit_n, 72300, 1.6 * 0.015) == Approx(0.0).margin(5e-5));  // level limit from rest 72.3 t
}

TEST_CASE("a thrust beyond every slope's need has no limiting grade") {
  CHECK(std::isinf(limiting_grade(60000 * 9.80665 * 1.1, 60000, 0.015)));
}

TEST_CASE("the limiting grade is the inverse of the rolling force, which grows with mass and grade") {
  const bool ok = rc::check([] {
    const double mass = *rc::gen::inRange(5000, 400000);
    const double mu = *rc::gen::inRange(8, 40) / 1000.0;
    const double grade = *rc::gen::inRange(-400, 400) / 10000.0;
    const double force = rolling_force_n(mass, mu, grade);
    RC_ASSERT(std::abs(limiting_grade(force, mass, mu) - grade) < 1e-12);
    RC_ASSERT(rolling_force_n(mass, mu, grade + 0.001) > force);
    if (force > 0) RC_ASSERT(rolling_force_n(mass * 1.01, mu, grade) > force);
  });
  CHECK(ok);
}
