// A plan made by hand over the sample route: a departure on the left engine, its right engine started on the way.
#pragma once

#include "sample.hpp"
#include "solotaxi/report/plan_report.hpp"

namespace solotaxi::report::test {

inline motion::Sample sample_at(double at_m, double time_s, double speed_mps, std::uint32_t phase) {
  motion::Sample s;
  s.at_m = at_m;
  s.time_s = time_s;
  s.speed_mps = speed_mps;
  s.fuel_kg = time_s * 0.1;
  s.thrust_n = 9000.0;
  s.n1_pct = 28.125;
  s.brake_c = 20.0;
  s.phase = phase;
  return s;
}

/// Push back of 120 s standing at 0, then 1,200 m at 10 m/s in steps of 2 m; START from 700 m to 1,000 m; line-up.
inline planning::DrivenPlan sample_driven() {
  planning::DrivenPlan d;
  d.one = true;
  d.running_set = "left";
  d.route = sample_route();
  d.driven_from_m = 34.56;
  d.phases.resize(3);
  d.phases[0] = {planning::Phase::one, "left", 0.0, 734.56, 190.0, 30.0};
  d.phases[1] = {planning::Phase::start, "left", 734.56, 1034.56, 60.0, 12.0};
  d.phases[2] = {planning::Phase::all, "all", 1034.56, 1234.56, 55.25, 8.0};
  planning::EnginePoint start;
  start.at_m = 734.56;
  start.to_m = 1034.56;
  start.at_s = 190.0;
  start.at = LatLon::degrees(-30.0003, -19.99);
  start.place = "on B abeam C";
  start.before_line_up_s = 280.0;
  d.second_engine = start;
  d.sim.samples = {sample_at(0, 0, 0, 0), sample_at(0, 120, 0, 0)};
  for (int i = 1; i <= 600; ++i)
    d.sim.samples.push_back(sample_at(2.0 * i, 120 + 0.2 * i, 10.0, i <= 350 ? 0U : i <= 500 ? 1U : 2U));
  d.sim.length_m = 1200.0;
  d.sim.brake_most_c = 41.7;
  d.search_kg = 48.0;
  d.search_s = 300.0;
  d.one_s = 190.0;
  d.brake_all_c = 63.2;
  d.probability = 0.8725;
  return d;
}

inline planning::Plan sample_plan() {
  planning::Plan p;
  p.direction = routing::Direction::departure;
  p.shown = sample_driven();
  p.reference = sample_driven();
  p.reference.one = false;
  p.reference.route.fuel_kg = 62.5;
  p.reference.route.time_s = 280.0;
  p.reference.phases = {{planning::Phase::start, "left", 0.0, 0.0, 60.0, 8.0},
                        {planning::Phase::all, "all", 0.0, 1234.56, 220.0, 54.5}};
  p.reference.second_engine->at_m = p.reference.second_engine->to_m = 0.0;
  p.reference.second_engine->place = "in the push back";
  p.saving_kg = 12.5;
  p.extra_s = 25.25;
  p.advised = "one-engine";
  p.savings = {{0.0, -1.25}, {300.0, 12.5}, {600.0, 28.0}};
  p.pays_from_queue_s = 40.0;
  p.sensitivity = {
      {"mass", "kg", 58800.0, 61200.0, 13.0, 11.75, motion::Verdict::standing, motion::Verdict::rolling},
      {"grade", "%", -0.4, 0.4, 12.9, std::nullopt, motion::Verdict::standing, motion::Verdict::all}};
  p.search = {48.0, 47.5, 60.0, 12.5};
  p.alternatives.resize(1);
  p.alternatives[0].by = "M, F, A";
  p.alternatives[0].length_m = 1500.0;
  p.alternatives[0].time_s = 340.0;
  p.alternatives[0].fuel_kg = 55.0;
  p.alternatives[0].overlap = 0.42;
  p.alternatives[0].one = true;
  p.alternatives[0].running_set = "right";
  p.alternatives[0].geometry = {{p.shown.route.legs[1].geometry[0], p.shown.route.legs[1].geometry[1]}};
  add_finding(p.findings, "search-gap", Severity::caution, "", "Search and simulation differ by much.");
  p.questions = {{"2", "the left pump alone feeds the brakes"}};
  return p;
}

struct PlanSample {
  network::Network network = row({4.0, 4.0, 4.0}, 100.0);
  aircraft::Aircraft aircraft;
  motion::Conditions conditions;
  planning::PlanRequest request = [] {
    planning::PlanRequest r;
    r.queue_s = 300.0;
    r.alternatives = 2;
    return r;
  }();
  planning::Plan plan = sample_plan();
  [[nodiscard]] PlanContext context() const { return {{&network, &aircraft, &conditions, "field.osm"}, &request}; }
  [[nodiscard]] std::string text(Units units = Units::si) const { return plan_text(plan, context(), units); }
};

}  // namespace solotaxi::report::test
