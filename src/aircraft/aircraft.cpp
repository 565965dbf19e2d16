#include "solotaxi/aircraft/aircraft.hpp"

#include <algorithm>
#include <bit>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <set>

#include "solotaxi/aircraft/keys.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::aircraft {

namespace {

constexpr std::size_t kEnginesLeast = 2, kEnginesMost = 4;
constexpr double kArmMost = 40.0;  // m; half of the widest span the key table allows

// Ranges are wide on purpose: they catch a slip of unit or decimal point, not an unusual aircraft.
constexpr NumberKey kNumberKeys[] = {
    {"mass_kg", &Aircraft::mass_kg, 1000, 700000, "kg"},
    {"mass_min_kg", &Aircraft::mass_min_kg, 1000, 700000, "kg"},
    {"mass_max_kg", &Aircraft::mass_max_kg, 1000, 700000, "kg"},
    {"wheelbase_m", &Aircraft::wheelbase_m, 2, 45, "m"},
    {"wingspan_m", &Aircraft::wingspan_m, 5, 90, "m"},
    {"wheel_span_m", &Aircraft::wheel_span_m, 1, 20, "m"},
    {"steering_max_deg", &Aircraft::steering_max_deg, 10, 89, "degrees"},
    {"nose_load_share", &Aircraft::nose_load_share, 0.02, 0.30, ""},
    {"thrust_rated_n", &Aircraft::thrust_rated_n, 1000, 700000, "N"},
    {"idle_n1_pct", &Aircraft::idle_n1_pct, 5, 60, "%"},
    {"idle_thrust_share", &Aircraft::idle_thrust_share, 0.005, 0.20, ""},
    {"n1_limit_pct", &Aircraft::n1_limit_pct, 10, 100, "%"},
    {"flow_7_kg_s", &Aircraft::flow_7_kg_s, 0.001, 3, "kg/s"},
    {"flow_30_kg_s", &Aircraft::flow_30_kg_s, 0.001, 6, "kg/s"},
    {"ei_hc_g_kg", &Aircraft::ei_hc_g_kg, 0, 300, "g/kg"},
    {"ei_co_g_kg", &Aircraft::ei_co_g_kg, 0, 300, "g/kg"},
    {"ei_nox_g_kg", &Aircraft::ei_nox_g_kg, 0, 100, "g/kg"},
    {"apu_no_load_kg_h", &Aircraft::apu_no_load_kg_h, 0, 1000, "kg/h"},
    {"apu_run_kg_h", &Aircraft::apu_run_kg_h, 0, 1000, "kg/h"},
    {"apu_start_kg_h", &Aircraft::apu_start_kg_h, 0, 1000, "kg/h"},
    {"start_s", &Aircraft::start_s, 0, 600, "s"},
    {"warm_up_s", &Aircraft::warm_up_s, 0, 1800, "s"},
    {"cool_down_s", &Aircraft::cool_down_s, 0, 1800, "s"},
    {"cross_bleed_thrust_share", &Aircraft::cross_bleed_thrust_share, 0.01, 0.5, ""},
    {"brakes", &Aircraft::brakes, 1, 40, ""},
    {"brake_mass_kg", &Aircraft::brake_mass_kg, 1, 500, "kg"},
    {"brake_heat_j_kg_k", &Aircraft::brake_heat_j_kg_k, 100, 3000, "J/(kg K)"},
    {"brake_tau_s", &Aircraft::brake_tau_s, 10, 50000, "s"},
};

std::string number(double v) {
  char text[32];
  std::snprintf(text, sizeof text, "%.10g", v);
  return text;
}

Error bad_key(const std::string& key, const std::string& message) { return data_error(message, Where{{}, {}, key}); }

std::string set_text(RunningSet set) {
  std::string text;
  for (int e = 1; e <= 8; ++e)
    if (set.has(e)) text += (text.empty() ? "" : ",") + std::to_string(e);
  return text;
}

RunningSet set_of(const std::vector<int>& engines) {
  RunningSet set;
  for (const int e : engines) set.mask = static_cast<std::uint8_t>(set.mask | (1U << (e - 1)));
  return set;
}

std::string known_sets(const Aircraft& aircraft) {
  std::string text = "use all";
  if (aircraft.engines() == 2) text += ", left, right";
  return text + " or engine numbers 1 to " + std::to_string(aircraft.engines()) + " from the left, such as " +
         set_text(sets_to_try(aircraft).front());
}

bool may_run(const Aircraft& aircraft, RunningSet set) {
  if (set == all_engines(aircraft) || aircraft.may_run_alone.empty()) return true;
  return std::any_of(aircraft.may_run_alone.begin(), aircraft.may_run_alone.end(),
                     [&](const std::vector<int>& allowed) { return set_of(allowed) == set; });
}

void check_arms(const std::vector<double>& arms) {
  const std::string key = "engine_arms_m";
  if (arms.size() < kEnginesLeast || arms.size() > kEnginesMost)
    throw bad_key(key, "has " + std::to_string(arms.size()) + " engines; 2 to 4 are allowed");
  for (const double arm : arms)
    if (!(std::abs(arm) <= kArmMost))
      throw bad_key(key, "arm " + number(arm) + " m is out of range " + number(-kArmMost) + " to " + number(kArmMost));
  for (std::size_t i = 1; i < arms.size(); ++i)
    if (!(arms[i - 1] < arms[i]))
      throw bad_key(key, "arms must rise from left (negative) to right; " + number(arms[i]) + " m follows " +
                             number(arms[i - 1]) + " m");
}

void check_sets(const Aircraft& aircraft) {
  for (const std::vector<int>& set : aircraft.may_run_alone) {
    std::set<int> seen;
    for (const int e : set)
      if (e < 1 || e > aircraft.engines() || !seen.insert(e).second)
        throw bad_key("may_run_alone", "engine " + std::to_string(e) + " is not one of 1 to " +
                                           std::to_string(aircraft.engines()) + ", or is named twice in a set");
    if (set.empty() || set.size() >= aircraft.engine_arms_m.size())
      throw bad_key("may_run_alone", "each set must hold at least one engine and fewer than all");
  }
  for (const auto& [engine, text] : aircraft.notes) {
    int e = 0;
    const auto [end, error] = std::from_chars(engine.data(), engine.data() + engine.size(), e);
    if (error != std::errc{} || end != engine.data() + engine.size() || e < 1 || e > aircraft.engines())
      throw bad_key("notes", "\"" + engine + "\" is not an engine number 1 to " + std::to_string(aircraft.engines()));
  }
}

}  // namespace

std::span<const NumberKey> number_keys() { return kNumberKeys; }

int RunningSet::count() const { return std::popcount(mask); }

RunningSet all_engines(const Aircraft& aircraft) {
  return {static_cast<std::uint8_t>((1U << aircraft.engine_arms_m.size()) - 1U)};
}

double mean_arm_m(const Aircraft& aircraft, RunningSet set) {
  double sum = 0.0;
  int count = 0;
  for (int e = 1; e <= aircraft.engines(); ++e)
    if (set.has(e)) sum += aircraft.engine_arms_m[static_cast<std::size_t>(e - 1)], ++count;
  return count == 0 ? 0.0 : sum / count;
}

RunningSet parse_running_set(const Aircraft& aircraft, const std::string& text) {
  if (text == "all") return all_engines(aircraft);
  RunningSet set;
  if (text == "left" || text == "right") {
    if (aircraft.engines() != 2)
      throw usage_error("\"" + text + "\" names an engine of a twin; " + aircraft.name + " has " +
                            std::to_string(aircraft.engines()) + " engines",
                        known_sets(aircraft));
    set = set_of({text == "left" ? 1 : 2});
  } else {
    std::vector<int> engines;
    const char* at = text.data();
    const char* const end = at + text.size();
    for (bool more = true; more;) {
      int e = 0;
      const auto [next, error] = std::from_chars(at, end, e);
      if (error != std::errc{} || (next != end && *next != ','))
        throw usage_error("engines \"" + text + "\" cannot be read", known_sets(aircraft));
      if (e < 1 || e > aircraft.engines())
        throw usage_error("engine " + std::to_string(e) + " does not exist on " + aircraft.name, known_sets(aircraft));
      if (std::find(engines.begin(), engines.end(), e) != engines.end())
        throw usage_error("engine " + std::to_string(e) + " is named twice", known_sets(aircraft));
      engines.push_back(e);
      more = next != end;
      at = more ? next + 1 : next;
    }
    set = set_of(engines);
  }
  if (!may_run(aircraft, set))
    throw usage_error("engines " + set_text(set) + " may not run alone on " + aircraft.name + " (its file's may_run_alone)",
                      known_sets(aircraft));
  return set;
}

std::string to_string(const Aircraft& aircraft, RunningSet set) {
  if (set == all_engines(aircraft)) return "all";
  if (aircraft.engines() == 2 && set.count() == 1) return set.has(1) ? "left" : "right";
  return set_text(set);
}

std::vector<RunningSet> sets_to_try(const Aircraft& aircraft) {
  std::vector<RunningSet> sets;
  for (const std::vector<int>& engines : aircraft.may_run_alone) sets.push_back(set_of(engines));
  if (!sets.empty()) return sets;
  switch (aircraft.engines()) {
    case 2: return {set_of({1}), set_of({2})};
    case 3: return {set_of({2}), set_of({1, 3})};
    default: return {set_of({1, 4}), set_of({2, 3})};
  }
}

void check_ranges(const Aircraft& aircraft) {
  for (const NumberKey& k : kNumberKeys) {
    const double v = aircraft.*k.member;
    if (v >= k.least && v <= k.most) continue;  // false for NaN too
    const std::string unit = *k.unit ? std::string(" ") + k.unit : "";
    throw bad_key(k.key, number(v) + unit + " is out of range " + number(k.least) + " to " + number(k.most) + unit);
  }
  check_arms(aircraft.engine_arms_m);
  const auto order = [](const char* key, double low, const char* other, double high) {
    if (!(low < high)) throw bad_key(key, number(low) + " must be less than " + other + " " + number(high));
  };
  order("mass_min_kg", aircraft.mass_min_kg, "mass_max_kg", aircraft.mass_max_kg);
  if (aircraft.mass_kg < aircraft.mass_min_kg || aircraft.mass_kg > aircraft.mass_max_kg)
    throw bad_key("mass_kg", number(aircraft.mass_kg) + " kg is not between mass_min_kg " + number(aircraft.mass_min_kg) +
                                 " and mass_max_kg " + number(aircraft.mass_max_kg));
  if (aircraft.idle_n1_pct > aircraft.n1_limit_pct)
    throw bad_key("idle_n1_pct",
                  number(aircraft.idle_n1_pct) + " must not be above n1_limit_pct " + number(aircraft.n1_limit_pct));
  order("flow_7_kg_s", aircraft.flow_7_kg_s, "flow_30_kg_s", aircraft.flow_30_kg_s);
  order("wheel_span_m", aircraft.wheel_span_m, "wingspan_m", aircraft.wingspan_m);
  // The line through the 7 % and 30 % points is continued below 7 %; it must not reach nought before the thrust does.
  if (!(aircraft.flow_7_kg_s > (aircraft.flow_30_kg_s - aircraft.flow_7_kg_s) * 0.07 / 0.23))
    throw bad_key("flow_30_kg_s", number(aircraft.flow_30_kg_s) + " kg/s with flow_7_kg_s " + number(aircraft.flow_7_kg_s) +
                                      " gives no flow at zero thrust");
  check_sets(aircraft);
}

}  // namespace solotaxi::aircraft
