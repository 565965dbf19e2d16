// The published time-only formula through a whole estimate: on level ground, with every flow the databank's 7 % flow and no
// APU, the model has nothing that the formula leaves out (plan_formula_test.cpp holds single plans against it).
#include "support/counted.hpp"
#include "unit/planning/plan_fields.hpp"

using namespace solotaxi;
using namespace solotaxi::planning;
using namespace solotaxi::test;

TEST_CASE("on level fields, at idle flow and without an APU, an estimate is the time-only formula") {
  // Straight taxiways of some 6 to 11 min, in line with a runway; a stand at each end.
  const Drawn fields[] = {{"a---------b--c", {"taxiway A: a b", "runway 09/27: b c"}, {.metres = 420}},
                          {"a---------b--c", {"taxiway A: a b", "runway 09/27: b c"}, {.metres = 300}},
                          {"a---------b--c", {"taxiway A: a b", "runway 09/27: b c"}, {.metres = 550}}};
  aircraft::Aircraft a;
  a.idle_thrust_share = 0.07;
  a.n1_limit_pct = a.idle_n1_pct;
  a.apu_no_load_kg_h = a.apu_run_kg_h = a.apu_start_kg_h = 0.0;
  a.start_s = 60;
  a.warm_up_s = 240;
  motion::Conditions c;
  c.mass_kg = a.mass_min_kg;
  c.n1_limit_pct = a.n1_limit_pct;
  c.mu_rolling = 0.008;  // so that 7 % of one engine is enough; the fuel does not depend on it
  c.push_back_s = 0.0;
  c.acceleration_m_s2 = 0.05;  // one engine reaches it as all do
  Estimate estimate;
  std::vector<std::string> stands;
  for (const Drawn& f : fields) {
    (void)estimate.add_field("F" + std::to_string(stands.size()), f.net, 101325.0);
    stands.push_back(f.node('a'));
  }
  (void)estimate.add_aircraft("T", a, c);
  Counter counter(estimate);
  int count = 0;
  for (int k = 0; k < 60; ++k) {
    MovementQuestion q;
    q.field = static_cast<std::size_t>(k) % stands.size();
    q.stand = stands[q.field];
    q.runway = "09";
    q.departure = true;
    q.queue_s = 60.0 * (k % 8);
    const MovementFigures* figures = counted(counter, q);
    REQUIRE(figures != nullptr);
    const Sums& s = figures->sums;
    // To 0.1 s of one engine's flow, as far as START is set.
    constexpr double kMargin_mg = 0.1 * 0.113e6;
    CHECK(static_cast<double>(get(s, Sum::reference_fuel_mg) - get(s, Sum::time_only_all_mg)) ==
          Approx(0).margin(kMargin_mg));
    CHECK(static_cast<double>(get(s, Sum::fuel_mg) - get(s, Sum::time_only_one_mg)) == Approx(0).margin(kMargin_mg));
    ++count;
  }
  CHECK(count == 60);
}
