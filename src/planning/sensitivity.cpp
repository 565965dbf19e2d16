#include "planning/sensitivity.hpp"

#include <algorithm>
#include <utility>

namespace solotaxi::planning {

double saving_of(const Solution& s) {
  return s.one && s.reference ? s.reference->route.fuel_kg - s.one->route.fuel_kg : 0.0;
}

template <class Ask>
auto Variation::with(const Change& change, Ask ask) const {
  aircraft::Aircraft aircraft = aircraft_;
  motion::Conditions conditions = conditions_;
  change(aircraft, conditions);
  Solver solver(net_, aircraft, conditions, request_, only_);
  return ask(solver);
}

Solution Variation::solution(const Change& change) const {
  return with(change, [&](Solver& solver) { return solver.possible() ? solver.solve(request_.queue_s) : Solution{}; });
}

Variation::Answer Variation::answer(const Change& change, const DrivenPlan& shown) const {
  return with(change, [&](Solver& solver) -> Answer {
    if (!solver.possible()) return {std::nullopt, motion::Verdict::blocked};
    const Solution s = solver.solve(request_.queue_s);
    Answer out{std::nullopt, solver.verdict_alone(shown)};
    if (s.one && s.reference) out.saving_kg = saving_of(s);
    return out;
  });
}

std::vector<Sensitivity> sensitivity_of(const Variation& vary, const DrivenPlan& shown, const aircraft::Aircraft& aircraft,
                                        const motion::Conditions& conditions, bool arrival) {
  struct Row {
    const char *what, *unit;
    double low, high;
    std::function<void(aircraft::Aircraft&, motion::Conditions&, double)> set;
  };
  const double mass_low = std::max(aircraft.mass_min_kg, 0.9 * conditions.mass_kg);
  const double mass_high = std::min(aircraft.mass_max_kg, 1.1 * conditions.mass_kg);
  std::vector<Row> rows = {
      {"rolling resistance", "", 0.008, 0.020, [](auto&, auto& c, double v) { c.mu_rolling = v; }},  // [M] its range
      {"mass", "kg", mass_low, mass_high, [](auto&, auto& c, double v) { c.mass_kg = v; }},          // [A] a tenth
      {"grade", "standard deviations", -1.0, 1.0, [](auto&, auto& c, double v) { c.grade_sigmas = v; }},
      {"idle thrust", "share of rated", 0.03, 0.06, [](auto& a, auto&, double v) { a.idle_thrust_share = v; }},  // [M]
      {"APU flow", "kg/h", 0.75 * aircraft.apu_run_kg_h, 1.25 * aircraft.apu_run_kg_h,  // [A] a quarter
       [](auto& a, auto&, double v) {
         if (!(a.apu_run_kg_h > 0.0)) return;  // nothing to vary
         const double by = v / a.apu_run_kg_h;
         a.apu_no_load_kg_h *= by;
         a.apu_start_kg_h *= by;
         a.apu_run_kg_h = v;
       }}};
  if (arrival)
    rows.push_back({"cool-down", "s", 120.0, 300.0, [](auto& a, auto&, double v) { a.cool_down_s = v; }});
  else
    rows.push_back({"warm-up", "s", 120.0, 300.0, [](auto& a, auto&, double v) { a.warm_up_s = v; }});  // [C] 2 to 5 min
  std::vector<Sensitivity> out;
  for (const Row& row : rows) {
    const auto at = [&](double value) { return vary.answer([&](auto& a, auto& c) { row.set(a, c, value); }, shown); };
    const Variation::Answer low = at(row.low), high = at(row.high);
    out.push_back({row.what, row.unit, row.low, row.high, low.saving_kg, high.saving_kg, low.verdict, high.verdict});
  }
  return out;
}

}  // namespace solotaxi::planning
