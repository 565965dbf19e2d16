// The time-only formula, the tables, and sums over movements.
#include "solotaxi/planning/estimate.hpp"

#include "solotaxi/base/error.hpp"
#include "support/counted.hpp"
#include "unit/planning/plan_fields.hpp"

using namespace solotaxi;
using namespace solotaxi::planning;
using namespace solotaxi::test;

namespace {

/// A straight taxiway of some 2 km in line with the runway, a stand at its end.
const Drawn& line_field() {
  static const Drawn field("a---------b--c", {"taxiway A: a b", "runway 09/27: b c"}, {.metres = 200});
  return field;
}

const char* stand_name() {
  static const std::string name = line_field().node('a');
  return name.c_str();
}

PlanRequest departure(const Drawn& f) {
  PlanRequest r = plan_request(f.node('a'), "runway:09");
  r.route.direction = routing::Direction::departure;
  return r;
}

PlanRequest arrival(const Drawn& f) {
  PlanRequest r = plan_request("runway:27", f.node('a'));
  r.route.direction = routing::Direction::arrival;
  r.since_landing_s = 180;  // cooled down: the way is too short to wait for it
  return r;
}

/// The stand's name must outlive the question.
MovementQuestion question(const char* stand) {
  MovementQuestion q;
  q.stand = stand;
  q.runway = "09";
  q.departure = true;
  q.hour = 6;
  q.month = 12 * 2026 + 6;
  return q;
}

}  // namespace

TEST_CASE("the time-only formula gives the published figures") {
  aircraft::Aircraft a;  // N = 2, f = 0.113 kg/s
  struct Row {
    double minutes, all_kg, one_kg;
  };
  for (const Row& row :
       {Row{20, 271.20, 169.50}, {10, 135.60, 101.70}, {26, 352.56, 210.18}, {5, 67.80, 67.80}, {3, 40.68, 40.68}}) {
    const TimeOnlyFuel f = time_only_fuel(a, 1, row.minutes * 60);  // [S:ZHANG2019]
    CHECK(f.all_kg == Approx(row.all_kg).margin(0.005));
    CHECK(f.one_kg == Approx(row.one_kg).margin(0.005));
  }
  a.engine_arms_m = {-11, -5.5, 5.5, 11};
  a.flow_7_kg_s = 0.255;
  CHECK(time_only_fuel(a, 2, 1200).all_kg == Approx(1224.0));  // [S:ZHANG2019]
  CHECK(time_only_fuel(a, 2, 1200).one_kg == Approx(765.0));
}

TEST_CASE("a table has the figures of plans at whole minutes of queue, and lies on the line between them elsewhere") {
  const Drawn& f = line_field();
  const TaxiField field(f.net);
  const aircraft::Aircraft aircraft;
  const motion::Conditions conditions;
  TaxiTable table(field, aircraft, conditions, departure(f));
  REQUIRE(table.refusal(0.0).empty());
  std::vector<TaxiFigures> at;
  for (const double minutes : {0.0, 1.0, 7.0}) {
    PlanRequest r = departure(f);
    r.queue_s = 60 * minutes;
    const Plan plan = plan_of(f.net, aircraft, conditions, r);
    const DrivenPlan& advised = plan.advised == "one-engine" ? plan.shown : plan.reference;
    const TaxiFigures t = table.at(60 * minutes);
    CHECK(t.one == (plan.advised == "one-engine"));
    CHECK(t.advised.fuel_kg == advised.route.fuel_kg);
    CHECK(t.advised.time_s == advised.route.time_s);
    CHECK(t.reference.fuel_kg == plan.reference.route.fuel_kg);
    CHECK(t.reference.time_s == plan.reference.route.time_s);
    CHECK(t.advised.engine_fuel_kg ==
          advised.route.fuel_kg - apu_fuel_kg(advised, plan.direction, aircraft, conditions, r.apu_lead_s));
    at.push_back(t);
  }
  // A queue of seven minutes and a half lies in the middle between seven and eight.
  CHECK(table.at(450.0).advised.fuel_kg ==
        Approx(0.5 * (at[2].advised.fuel_kg + table.at(480.0).advised.fuel_kg)).epsilon(1e-12));
  CHECK(table.plans() == 4);
}

TEST_CASE("fuel interpolated between whole minutes of queue is right to 1.2 kg, and exact where the start is in it") {
  const Drawn& f = line_field();
  const TaxiField field(f.net);
  const aircraft::Aircraft aircraft;
  TaxiTable table(field, aircraft, {}, departure(f));
  for (const double queue_s : {5.0, 15.0, 30.0, 50.0, 90.0, 150.0, 200.0, 270.0, 330.0, 450.0, 800.0}) {
    PlanRequest r = departure(f);
    r.queue_s = queue_s;
    const Plan plan = plan_of(f.net, aircraft, {}, r);
    const TaxiFigures t = table.at(queue_s);
    const double exact_kg = std::min(plan.reference.route.fuel_kg, plan.shown.route.fuel_kg);
    // Around two minutes the start moves into the queue, and the line has a bend; behind that it is straight.
    CHECK(std::abs(t.advised.fuel_kg - exact_kg) < (queue_s > 300.0 ? 0.02 : 1.2));
    CHECK(std::abs(t.reference.fuel_kg - plan.reference.route.fuel_kg) < 0.05);
    CHECK(std::abs(t.reference.time_s - plan.reference.route.time_s) < 0.1);
  }
}

TEST_CASE("a taxi time is met: by a queue, or where it is too short for one by standing, or by less than the way") {
  const Drawn& f = line_field();
  const TaxiField field(f.net);
  const aircraft::Aircraft aircraft;
  TaxiTable table(field, aircraft, {}, departure(f));
  const double none_s = table.at(0.0).reference.time_s;
  for (const double more_s : {-100.0, 0.0, 2.0, 60.0, 333.0})
    CHECK(table.at_taxi_time(none_s + more_s).reference.time_s == Approx(none_s + more_s).margin(0.05));
  CHECK(table.at_taxi_time(none_s).advised.fuel_kg == table.at(0.0).advised.fuel_kg);
  const double queued_s = table.at(240.0).reference.time_s;
  CHECK(table.at_taxi_time(queued_s).advised.fuel_kg == Approx(table.at(240.0).advised.fuel_kg).margin(0.01));
  CHECK(table.at_taxi_time(none_s - 100).reference.fuel_kg < table.at(0.0).reference.fuel_kg);
}

TEST_CASE("an arrival's wait is stood at idle as it ends: on few engines and the APU where one is advised") {
  const Drawn& f = line_field();
  const TaxiField field(f.net);
  const aircraft::Aircraft aircraft;
  const motion::Conditions conditions;
  TaxiTable table(field, aircraft, conditions, arrival(f));
  REQUIRE(table.refusal(0.0).empty());
  const TaxiFigures none = table.at(0.0), some = table.at_taxi_time(none.reference.time_s + 100.0);
  REQUIRE(none.one);
  const double idle_kg_s = aircraft::Engine(aircraft, conditions.air).idle_flow_kg_s();
  CHECK(some.reference.fuel_kg - none.reference.fuel_kg == Approx(100 * 2 * idle_kg_s));
  CHECK(some.advised.fuel_kg - none.advised.fuel_kg == Approx(100 * (idle_kg_s + aircraft.apu_run_kg_h / 3600)));
  CHECK(some.advised.engine_fuel_kg - none.advised.engine_fuel_kg == Approx(100 * idle_kg_s));
  CHECK(some.advised.time_s - none.advised.time_s == Approx(100));
}

TEST_CASE("a table of nowhere says why, and one of a position in mid-segment is refused") {
  const Drawn& f = line_field();
  const TaxiField field(f.net);
  const aircraft::Aircraft aircraft;
  PlanRequest r = departure(f);
  r.route.to = routing::parse_place("runway:18");
  TaxiTable table(field, aircraft, {}, r);
  CHECK(table.refusal(0.0).find("18") != std::string::npos);
  r.route.from = routing::parse_place("0.001,0.001");
  CHECK_THROWS_AS(TaxiTable(field, aircraft, {}, r), Error);
}

TEST_CASE("movements are summed by field, aircraft, hour and month, and every grouping adds up to the whole") {
  const Drawn& f = line_field();
  Estimate estimate;
  const aircraft::Aircraft twin;
  const std::size_t field = estimate.add_field("F", f.net, 101325.0, {{"north", f.node('a')}});
  const std::size_t kind = estimate.add_aircraft("T", twin, {});
  Counter counter(estimate);
  Sums by_hand{};
  for (int k = 0; k < 10; ++k) {
    MovementQuestion q = question("north");
    q.field = field;
    q.aircraft = kind;
    q.queue_s = 60.0 * (k % 3);
    q.hour = k % 4;
    q.month += k % 2;
    const MovementFigures* figures = test::counted(counter, q);
    REQUIRE(figures != nullptr);
    add(by_hand, figures->sums);
  }
  const EstimateTotals totals = estimate.totals(counter.take());
  CHECK(whole(totals) == by_hand);
  CHECK(get(by_hand, Sum::movements) == 10);
  for (const auto& [by, groups] : std::vector<std::pair<GroupBy, std::size_t>>{
           {GroupBy::field, 1}, {GroupBy::aircraft, 1}, {GroupBy::hour, 4}, {GroupBy::month, 2}}) {
    Sums sum{};
    const auto parts = grouped(totals, by);
    for (const auto& [name, s] : parts) add(sum, s);
    CHECK(sum == by_hand);
    CHECK(parts.size() == groups);
  }
  CHECK(grouped(totals, GroupBy::month).begin()->first == "2026-07");
  CHECK(grouped(totals, GroupBy::hour).begin()->first == "00");
  CHECK(estimate.tables() == 1);
  CHECK(estimate.plans() == 3);
}

TEST_CASE("a mass told is computed with in its class, one not told as it stands, one out of range not at all") {
  const Drawn& f = line_field();
  Estimate estimate(2000.0);
  const aircraft::Aircraft twin;  // 42 to 79 t
  (void)estimate.add_field("F", f.net, 101325.0);
  motion::Conditions conditions;
  conditions.mass_kg = 61234.0;
  (void)estimate.add_aircraft("T", twin, conditions);
  Counter counter(estimate);
  const auto mass_used = [&](std::optional<double> kg) {
    MovementQuestion q = question(stand_name());
    q.mass_kg = kg;
    const MovementFigures* figures = test::counted(counter, q);
    return figures != nullptr ? figures->mass_kg : 0.0;
  };
  CHECK(mass_used(std::nullopt) == 61234.0);
  CHECK(mass_used(60999.0) == 60000.0);
  CHECK(mass_used(61000.0) == 62000.0);
  CHECK(mass_used(79000.0) == 79000.0);  // 80 t lies beyond the aircraft's limit
  CHECK(mass_used(79001.0) == 0.0);
  CHECK(counter.refusal().find("42000 to 79000") != std::string::npos);
}

TEST_CASE("a measured taxi time takes the queue's place, and how far it lies off the model is told") {
  const Drawn& f = line_field();
  Estimate estimate;
  (void)estimate.add_field("F", f.net, 101325.0);
  (void)estimate.add_aircraft("T", {}, {});
  Counter counter(estimate);
  MovementQuestion q = question(stand_name());
  q.queue_s = 300.0;
  const MovementFigures* told = test::counted(counter, q);
  REQUIRE(told != nullptr);
  const Sums modelled = told->sums;
  q.taxi_time_s = static_cast<double>(get(modelled, Sum::reference_time_ms)) / 1000.0;
  q.queue_s = 240.0;
  const Sums measured = test::counted(counter, q)->sums;
  // The time is kept to a millisecond.
  CHECK(std::abs(get(measured, Sum::fuel_mg) - get(modelled, Sum::fuel_mg)) < 500);
  CHECK(get(measured, Sum::measured) == 1);
  const EstimateTotals totals = estimate.totals(counter.take());
  const Bias& bias = totals.bias.at("F");
  CHECK(bias.count() == 1);
  CHECK(bias.mean_s() == 60.0);
  q.queue_s = 0.0;
  q.taxi_time_s = std::nullopt;
  const double none_s = static_cast<double>(get(test::counted(counter, q)->sums, Sum::reference_time_ms)) / 1000.0;
  q.taxi_time_s = 0.4 * none_s;
  CHECK(test::counted(counter, q) == nullptr);
  CHECK(counter.refusal().find("less than half") != std::string::npos);
  q.taxi_time_s = none_s + 7300.0;
  CHECK(test::counted(counter, q) == nullptr);
  CHECK(counter.refusal().find("more than") != std::string::npos);
}

TEST_CASE("quantiles of the bias are values that were met") {
  Bias bias;
  for (int k = 1; k <= 100; ++k) bias.add(k);
  CHECK(bias.quantile_s(0.05) == 5.0);
  CHECK(bias.quantile_s(0.5) == 50.0);
  CHECK(bias.quantile_s(0.95) == 95.0);
  CHECK(bias.mean_s() == 50.5);
}

TEST_CASE("what is no movement between a stand and a runway is refused with its reason") {
  const Drawn& f = line_field();
  Estimate estimate;
  (void)estimate.add_field("F", f.net, 101325.0);
  (void)estimate.add_aircraft("T", {}, {});
  Counter counter(estimate);
  for (const auto& [stand, runway, said] :
       std::vector<std::array<std::string, 3>>{{"77", "09", "77"},
                                               {f.node('a'), "18", "18"},
                                               {"runway:27", "09", "no way between"},
                                               {f.node('a'), "node:0", "no way between"},
                                               {"0.1,0.1", "09", "position"},
                                               {"", "09", ""}}) {
    MovementQuestion q = question(stand.c_str());
    q.runway = runway;
    CHECK(test::counted(counter, q) == nullptr);
    CAPTURE(counter.refusal());
    CHECK(!counter.refusal().empty());
    CHECK(counter.refusal().find(said) != std::string::npos);
  }
  CHECK(estimate.totals(counter.take()).cells.empty());
}
