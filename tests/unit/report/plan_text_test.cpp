#include <algorithm>

#include "page.hpp"
#include "plan_sample.hpp"

using namespace solotaxi;
using namespace solotaxi::report;
using namespace solotaxi::report::test;

TEST_CASE("A plan's briefing never exceeds 80 columns, whatever the names") {
  PlanSample s;
  check_width(s.text());
  check_width(s.text(Units::us));
  s.plan.shown.second_engine->place = "on " + std::string(150, 'W');
  s.plan.sensitivity[0].what = std::string(60, 'm');
  s.plan.sensitivity[0].low = 1234567.0;
  s.plan.why_not = {std::string(200, 'y')};
  s.plan.alternatives[0].by = std::string(120, 'B');
  s.request.rules = {planning::Rule{planning::Rule::Kind::all_engines_at, std::string(100, 'r'), "x", {}, 0.0, ""}};
  check_width(s.text());
}

TEST_CASE("A plan's briefing begins with what is advised, what it saves, and where to start the other engine") {
  check_order(
      unwrapped(PlanSample{}.text()),
      {"TAXI PLAN Sand Bank (XXSB)", "Planning aid, not for navigation.", "From stand:12 To runway:08L",
       "Advised ONE ENGINE: taxi on the left engine",
       // 12.5 of 62.5 kg is 20 %; 39.5 kg of CO2 are 3.16 × 12.5 [S:CORSIA].
       "Saves 12.5 kg of 62.5 kg (20 %), CO2 39.5 kg; takes 25 s longer",
       "Start the right engine at 735 m, on B abeam C, 4 min 40 s before line-up; the start takes the way to 1,035 m "
       "(1 min 00 s)",
       "Chance 87 % that thrust suffices wherever the left engine drives alone", "In all 1,235 m, 5 min 05 s, 50.0 kg",
       "Asked for departure, least fuel, queue of 5 min 00 s before line-up", "Aircraft narrow-body-twin, 60,000 kg",
       "Times push back 2 min 00 s, start 1 min 00 s, warm-up 3 min 00 s", "APU runs while an engine is off"});
}

TEST_CASE("A plan's briefing lists engines by phase and the brakes, then the saving by queue") {
  check_order(
      unwrapped(PlanSample{}.text()),
      {"ENGINES from to time fuel", "Left engine 0 m 735 m 3 min 10 s 30.0 kg",
       "Left engine, starting right 735 m 1,035 m 1 min 00 s 12.0 kg", "Every engine 1,035 m 1,235 m 55 s 8.0 kg",
       "Brakes at most 42 °C, on every engine 63 °C; caution from 300 °C", "SAVING BY QUEUE BEFORE LINE-UP",
       "0 min burns more by 1.2 kg", "5 min saves 12.5 kg (asked for)", "10 min saves 28.0 kg", "Pays from a queue of 40 s",
       // 50.0 of 48.0 kg is 4.2 % more.
       "Search 48.0 kg (on the left engine), 50.0 kg when driven (+4.2 %); least 47.5 kg, on every engine 60.0 kg"});
}

TEST_CASE("A plan's briefing tells the way with the engine's start on it, and what the plan hangs on") {
  check_order(unwrapped(PlanSample{}.text()),
              {"THE WAY",
               "Push back 35 m",
               "at 735 m: START the right engine",
               "at 1,035 m: every engine runs, warm-up begins",
               "RUNWAYS",
               "WHAT IT HANGS ON",

               "low saving high saving",
               "mass (kg) 58,800 13.0 kg 61,200 11.8 kg",
               "grade (%) -0.4 12.9 kg 0.4 not possible",
               "With grade 0.4 %, the left engine alone will not do on this way.",
               "OTHER WAYS",
               "1 by M, F, A: 1,500 m, 5 min 40 s, 55.0 kg, on the right engine; 42 % of it shared",
               "TO BE ASKED FIRST",
               "Engine 2 off, the operator's note: the left pump alone feeds the brakes. Is it provided for?",
               "Do the operator's procedures allow it",
               "slippery",
               "low-visibility",
               "auxiliary power unit",
               "de-icing",
               "heavy",
               "congested",
               "WORTH KNOWING",
               "Search and simulation differ by much.",
               "CAUTIONS",
               cautions().front()});
}

TEST_CASE("Where the reference is advised the briefing tells its way, and what one engine would cost and why") {
  PlanSample s;
  s.plan.advised = "reference";
  s.plan.saving_kg = -3.0;
  s.plan.why_not = {"one engine saves from a queue of 4 min on."};
  const std::string text = unwrapped(s.text());
  check_order(
      text,
      {"Advised EVERY ENGINE", "One engine on the left engine burns more by 3.0 kg of 62.5 kg, and takes 25 s longer",
       "Start the right engine at 0 m, in the push back, 4 min 40 s before line-up; the start takes "
       "1 min 00 s",
       "Left engine, starting right 0 m 0 m 1 min 00 s 8.0 kg", "Every engine 0 m 1,235 m 3 min 40 s 54.5 kg",
       "AGAINST ONE ENGINE", "- one engine saves from a queue of 4 min on.", "THE WAY", "WHAT IT HANGS ON", "Chance 87 %"});
  CHECK(text.find("on B abeam C") == std::string::npos);
}

TEST_CASE("Where no plan with one engine is left the briefing says so and gives no saving") {
  PlanSample s;
  s.plan.shown = s.plan.reference;
  s.plan.advised = "reference";
  s.plan.saving_kg = s.plan.extra_s = 0.0;
  s.plan.savings.clear();
  s.plan.sensitivity.clear();
  s.plan.pays_from_queue_s.reset();
  const std::string text = unwrapped(s.text());
  CHECK(text.find("One engine no plan is left") != std::string::npos);
  CHECK(text.find("SAVING BY QUEUE") == std::string::npos);
  CHECK(text.find("WHAT IT HANGS ON") == std::string::npos);
}

TEST_CASE("An arrival says where to shut down, how long after landing, and asks nothing of a queue") {
  PlanSample s;
  s.plan.direction = routing::Direction::arrival;
  s.plan.shown.shutdown = s.plan.shown.second_engine;
  s.plan.shown.shutdown->after_landing_s = 200.0;
  s.plan.shown.second_engine.reset();
  s.plan.savings.clear();
  s.plan.pays_from_queue_s.reset();
  s.request.since_landing_s = 45.0;
  const std::string text = unwrapped(s.text());
  check_order(text, {"Shut down the right engine at 735 m, on B abeam C, 3 min 20 s after landing",
                     "arrival, least fuel, 45 s since the landing roll", "Times cool-down 3 min 00 s",
                     "SHUT DOWN the right engine"});
  CHECK(text.find("Pays") == std::string::npos);
  CHECK(text.find("queue") == std::string::npos);
}

TEST_CASE("Brakes at the caution, stretches carried by speed and a stall are told plainly") {
  PlanSample s;
  s.plan.shown.sim.brake_most_c = 300.0;  // caution temperature of motion::Drive
  motion::Carried carried;
  carried.from_m = 165.44;
  carried.to_m = 205.44;
  s.plan.shown.sim.carried = {carried};
  motion::Stalled stalled;
  stalled.at_m = 465.44;
  s.plan.shown.sim.stalled = stalled;
  const std::string text = unwrapped(s.text());
  CHECK(text.find("at most 300 °C, on every engine 63 °C; caution from 300 °C: CAUTION, TOO HOT") != std::string::npos);
  CHECK(text.find("From 200 m to 240 m thrust falls short and the speed brought carries over") != std::string::npos);
  CHECK(text.find("SERIOUS: at 500 m this plan cannot go on") != std::string::npos);
  CHECK(unwrapped(PlanSample{}.text()).find("TOO HOT") == std::string::npos);
}

TEST_CASE("Four engines are told by their numbers") {
  PlanSample s;
  s.aircraft.engine_arms_m = {-15.0, -8.0, 8.0, 15.0};
  s.plan.shown.running_set = s.plan.shown.route.engines = "1,4";
  s.plan.shown.phases[0].engines = s.plan.shown.phases[1].engines = "1,4";
  check_order(unwrapped(s.text()), {"Advised FEWER ENGINES: taxi on engines 1 and 4", "Start engines 2 and 3 at 735 m",
                                    "Engines 1 and 4 0 m", "Engines 1 and 4, starting 2 and 3 735 m"});
}

TEST_CASE("Without an APU the briefing tells of a cross-bleed start and asks about what is behind") {
  PlanSample s;
  s.conditions.apu_on = false;
  const std::string text = unwrapped(s.text());
  check_order(text, {"APU off: cross-bleed start", "bleed of the running engines", "behind clear of people"});
  CHECK(text.find("auxiliary power unit serviceable") == std::string::npos);
}

TEST_CASE("US units reach every figure of a plan's briefing [S:ISO80000-3]") {
  const std::string text = unwrapped(PlanSample{}.text(Units::us));
  CHECK(text.find("Saves 27.6 lb of 137.8 lb") != std::string::npos);     // 12.5 and 62.5 kg
  CHECK(text.find("the right engine at 2,410 ft") != std::string::npos);  // 734.56 m
  CHECK(text.find("mass (lb) 129,632 28.7 lb") != std::string::npos);     // 58,800 and 13.0 kg
  CHECK(text.find(" kg") == std::string::npos);
}
