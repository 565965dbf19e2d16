#include <nlohmann/json.hpp>

#include "page.hpp"
#include "plan_sample.hpp"

using namespace solotaxi;
using namespace solotaxi::report;
using namespace solotaxi::report::test;

namespace {
nlohmann::json json_of(const PlanSample& s) { return nlohmann::json::parse(plan_json(s.plan, s.context())); }
}  // namespace

TEST_CASE("The JSON of a plan holds the route's keys for the plan shown, and those of its contract") {
  const PlanSample s;
  const auto json = json_of(s);
  const auto route = nlohmann::json::parse(route_json(s.plan.shown.route, s.context().route));
  for (const auto& [key, value] : route.items()) {
    CAPTURE(key);
    REQUIRE(json.contains(key));
    if (key != "probability" && key != "emissions" && key != "findings") CHECK(json[key] == value);
  }
  CHECK(json["direction"] == "departure");
  CHECK(json["running_set"] == "left");
  REQUIRE(json["phases"].size() == 3);
  CHECK(json["phases"][1] ==
        nlohmann::json{{"phase", "start"}, {"from_m", 734.6}, {"to_m", 1034.6}, {"time_s", 60.0}, {"fuel_kg", 12.0}});
  CHECK(json["second_engine"]["at_m"] == 734.6);
  CHECK(json["second_engine"]["lon"] == -19.99);
  CHECK(json["second_engine"]["place"] == "on B abeam C");
  CHECK(json["second_engine"]["before_line_up_s"] == 280.0);
  CHECK(json["shutdown"].is_null());
  CHECK(json["reference"] == nlohmann::json{{"time_s", 280.0}, {"fuel_kg", 62.5}});
  CHECK(json["saving_kg"] == 12.5);
  CHECK(json["advised"] == "one-engine");
  CHECK(json["savings"][0] == nlohmann::json{{"queue_s", 0.0}, {"saving_kg", -1.25}});
  CHECK(json["pays_from_queue_s"] == 40.0);
  CHECK(json["sensitivity"][1]["saving_high_kg"].is_null());
  CHECK(json["sensitivity"][1]["verdict_low"] == "standing");
  CHECK(json["sensitivity"][1]["verdict_high"] == "all");
  CHECK(json["sensitivity"][1]["saving_low_kg"] == 12.9);
  CHECK(json["search"]["minimum_kg"] == 47.5);
  CHECK(json["brake_all_c"] == 63.2);
  CHECK(json["probability"] == 0.8725);
  CHECK(json["stalled_at_m"].is_null());
  CHECK(json["alternatives"][0]["overlap"] == 0.42);
  CHECK(json["alternatives"][0]["geometry"][0][0] == nlohmann::json{-20.0, -30.0003, 4.0});
  CHECK(json["questions"][0].get<std::string>().find("feeds the brakes") != std::string::npos);
  CHECK(std::any_of(json["findings"].begin(), json["findings"].end(),
                    [](const auto& f) { return f["code"] == "search-gap"; }));
}

TEST_CASE("The samples of a plan are at most 10 m apart and keep both ends, changes of phase and both ends of a standing") {
  const auto sim = json_of(PlanSample{})["sim"];
  CHECK(sim.size() > 120);
  CHECK(sim.size() < 135);  // 1,200 m, of 603 samples
  CHECK(sim.front()["at_m"] == 34.6);
  CHECK(sim.front()["time_s"] == 0.0);
  CHECK(sim[1]["at_m"] == 34.6);
  CHECK(sim[1]["time_s"] == 120.0);
  CHECK(sim.back()["at_m"] == 1234.6);
  CHECK(sim.back()["time_s"] == 240.0);
  CHECK(sim.back()["speed_kt"].get<double>() == Approx(10.0 * 3600.0 / 1852.0).margin(0.005));  // [S:ISO80000-3]
  for (std::size_t i = 1; i < sim.size(); ++i)
    CHECK(sim[i]["at_m"].get<double>() - sim[i - 1]["at_m"].get<double>() <= 10.0 + 0.11);  // both rounded to 0.1 m
  for (const double change_m : {734.6, 736.6, 1034.6, 1036.6}) {
    CAPTURE(change_m);
    CHECK(std::any_of(sim.begin(), sim.end(), [&](const auto& s) { return s["at_m"] == change_m; }));
  }
}

TEST_CASE("The emissions of a plan leave out what the APU burns by phase [S:DATABANK]") {
  PlanSample s;
  // 110 kg/h over 190 s and 130 kg/h over 60 s of 50 kg.
  const double engines_kg = 50.0 - 110.0 / 3600.0 * 190.0 - 130.0 / 3600.0 * 60.0;
  CHECK(json_of(s)["emissions"]["engine_fuel_kg"].get<double>() == Approx(engines_kg).margin(0.001));
  s.conditions.apu_on = false;
  CHECK(json_of(s)["emissions"]["engine_fuel_kg"] == 50.0);
  // An arrival's APU is started 60 s before at 77 kg/h.
  s.conditions.apu_on = true;
  s.plan.direction = routing::Direction::arrival;
  s.plan.shown.phases.erase(s.plan.shown.phases.begin() + 1);
  CHECK(json_of(s)["emissions"]["engine_fuel_kg"].get<double>() ==
        Approx(50.0 - 110.0 / 3600.0 * 190.0 - 77.0 / 3600.0 * 60.0).margin(0.001));
}

TEST_CASE("An arrival's JSON tells the shutdown, and what is carried or stalled along the whole way") {
  PlanSample s;
  s.plan.direction = routing::Direction::arrival;
  s.plan.shown.shutdown = s.plan.shown.second_engine;
  s.plan.shown.shutdown->after_landing_s = 200.0;
  s.plan.shown.second_engine.reset();
  s.plan.pays_from_queue_s.reset();
  motion::Carried carried;
  carried.from_m = 165.44;
  carried.to_m = 205.44;
  carried.needed_n = 20000;
  carried.available_n = 18000;
  s.plan.shown.sim.carried = {carried};
  motion::Stalled stalled;
  stalled.at_m = 465.44;
  s.plan.shown.sim.stalled = stalled;
  const auto json = json_of(s);
  CHECK(json["second_engine"].is_null());
  CHECK(json["shutdown"]["after_landing_s"] == 200.0);
  CHECK(json["pays_from_queue_s"].is_null());
  CHECK(json["carried"][0] ==
        nlohmann::json{{"from_m", 200.0}, {"to_m", 240.0}, {"needed_n", 20000.0}, {"available_n", 18000.0}});
  CHECK(json["stalled_at_m"] == 500.0);
}
