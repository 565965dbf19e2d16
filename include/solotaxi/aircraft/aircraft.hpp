// An aircraft as its file describes it. Units and meanings of the TOML keys; every key has the default of a generic
// narrow-body twin (data/aircraft/narrow-body-twin.toml names the source of each value).
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace solotaxi::aircraft {

struct Aircraft {
  std::string name = "narrow-body-twin";
  double mass_kg = 60000, mass_min_kg = 42000, mass_max_kg = 79000;
  std::vector<double> engine_arms_m = {-5.75, 5.75};  ///< lateral, right positive; numbered from the left; 2 to 4
  double wheelbase_m = 12.6;
  double wingspan_m = 35.8;
  double wheel_span_m = 8.9;           ///< outer main gear wheel span: a taxiway narrower than this does not carry it
  double steering_max_deg = 75;
  double nose_load_share = 0.08;
  double thrust_rated_n = 117000;      ///< F00, one engine
  double idle_n1_pct = 20;
  double idle_thrust_share = 0.04;
  double n1_limit_pct = 40;
  double flow_7_kg_s = 0.113, flow_30_kg_s = 0.338;  ///< one engine, databank points
  double ei_hc_g_kg = 1.9, ei_co_g_kg = 18.8, ei_nox_g_kg = 4.7;
  double apu_no_load_kg_h = 77, apu_run_kg_h = 110, apu_start_kg_h = 130;
  double start_s = 60, warm_up_s = 180, cool_down_s = 180;
  double cross_bleed_thrust_share = 0.12;
  double brakes = 4, brake_mass_kg = 60, brake_heat_j_kg_k = 1200, brake_tau_s = 2500;
  std::map<std::string, std::string> notes;               ///< operator's own, by engine left off ("1", "2", …)
  std::vector<std::vector<int>> may_run_alone;            ///< sets allowed with fewer than every engine; empty: any

  [[nodiscard]] int engines() const { return static_cast<int>(engine_arms_m.size()); }
};

/// The engines that turn. Bit i - 1 is engine i, numbered from the left.
struct RunningSet {
  std::uint8_t mask = 0;
  bool operator==(const RunningSet&) const = default;
  [[nodiscard]] int count() const;
  [[nodiscard]] bool has(int engine) const { return (mask >> (engine - 1)) & 1U; }
};

[[nodiscard]] RunningSet all_engines(const Aircraft& aircraft);
/// Mean lateral arm of a running set [m], right positive.
[[nodiscard]] double mean_arm_m(const Aircraft& aircraft, RunningSet set);
/// Reads "all", "left", "right" (twins only) or "1,3". Throws Error (usage) for anything the aircraft does not have or
/// whose set `may_run_alone` forbids.
[[nodiscard]] RunningSet parse_running_set(const Aircraft& aircraft, const std::string& text);
/// "all", "left", "right" or "1,3".
[[nodiscard]] std::string to_string(const Aircraft& aircraft, RunningSet set);
/// Sets with fewer than every engine that are tried: `may_run_alone`, else twin {1}, {2}; three {2}, {1,3};
/// four {1,4}, {2,3}.
[[nodiscard]] std::vector<RunningSet> sets_to_try(const Aircraft& aircraft);
/// Throws Error (data) naming the first key whose value is out of its range (ranges are stated in aircraft.cpp's table).
void check_ranges(const Aircraft& aircraft);

}  // namespace solotaxi::aircraft
