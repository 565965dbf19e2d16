// One line a movement, and one a total.
#include <fmt/format.h>

#include <cmath>

#include "common.hpp"
#include "solotaxi/io/csv.hpp"
#include "solotaxi/io/staged_writer.hpp"
#include "solotaxi/report/estimate_report.hpp"

namespace solotaxi::report {
namespace {

using planning::Sum;

/// Thousandths, from a sum in millionths.
void append_milli(std::string& to, std::int64_t millionths) {
  constexpr std::int64_t kHalf = 500, kWhole = 1000;
  to += ',';
  io::append_fixed(to, (millionths < 0 ? millionths - kHalf : millionths + kHalf) / kWhole, 3);
}

}  // namespace

std::string movement_heading() {
  return "row,time,field,stand,runway,aircraft,direction,mass_kg,advised,time_s,reference_time_s,fuel_kg,reference_kg,"
         "saving_kg,co2_kg,hc_g,co_g,nox_g,time_only_saving_kg\n";
}

void append_movement(std::string& to, const MovementLine& line, const planning::MovementFigures& figures) {
  const planning::Sums& s = figures.sums;
  io::append_fixed(to, static_cast<std::int64_t>(line.row), 0);
  for (const std::string_view text : {line.time, line.field, line.stand, line.runway, line.aircraft}) {
    to += ',';
    io::append_csv(to, text);
  }
  to += line.departure ? ",out," : ",in,";
  io::append_fixed(to, static_cast<std::int64_t>(figures.mass_kg + 0.5), 0);
  to += get(s, Sum::one_engine) != 0 ? ",one-engine" : ",reference";
  for (const Sum ms : {Sum::time_ms, Sum::reference_time_ms}) {
    to += ',';
    io::append_fixed(to, (get(s, ms) + 50) / 100, 1);
  }
  const std::int64_t fuel = get(s, Sum::fuel_mg), reference = get(s, Sum::reference_fuel_mg);
  append_milli(to, fuel);
  append_milli(to, reference);
  append_milli(to, reference - fuel);
  append_milli(to, std::llround(static_cast<double>(fuel) * kCo2PerFuel));
  for (const Sum mg : {Sum::hc_mg, Sum::co_mg, Sum::nox_mg}) {
    to += ',';
    io::append_fixed(to, (get(s, mg) + 50) / 100, 1);
  }
  append_milli(to, get(s, Sum::time_only_all_mg) - get(s, Sum::time_only_one_mg));
  to += '\n';
}

std::string estimate_totals_csv(const planning::EstimateTotals& totals, const planning::Uncertainty* uncertainty) {
  using planning::GroupBy;
  using planning::Total;
  static constexpr std::array kQuantities{Total::time_s,    Total::reference_time_s,
                                          Total::fuel_kg,   Total::reference_fuel_kg,
                                          Total::saving_kg, Total::hc_kg,
                                          Total::co_kg,     Total::nox_kg};
  static constexpr std::array kNames{"time_s", "reference_time_s", "fuel_kg", "reference_kg", "saving_kg", "hc_kg", "co_kg",
                                     "nox_kg"};
  std::string text = "by,name,movements,one_engine";
  for (const char* name : kNames) text += fmt::format(",{}", name);
  text += ",co2_kg,time_only_saving_kg";
  if (uncertainty != nullptr)
    for (const char* name : kNames) text += fmt::format(",{0}_p5,{0}_median,{0}_p95", name);
  text += '\n';
  const auto line = [&](const char* by, const std::string& name, const planning::Sums& s,
                        const planning::Intervals* intervals) {
    text += fmt::format("{},", by);
    io::append_csv(text, name);
    text += fmt::format(",{},{}", get(s, Sum::movements), get(s, Sum::one_engine));
    for (const Sum ms : {Sum::time_ms, Sum::reference_time_ms}) {
      text += ',';
      io::append_fixed(text, get(s, ms), 3);
    }
    for (const std::int64_t mg :
         {get(s, Sum::fuel_mg), get(s, Sum::reference_fuel_mg), get(s, Sum::reference_fuel_mg) - get(s, Sum::fuel_mg),
          get(s, Sum::hc_mg), get(s, Sum::co_mg), get(s, Sum::nox_mg)})
      append_milli(text, mg);
    append_milli(text, std::llround(static_cast<double>(get(s, Sum::fuel_mg)) * kCo2PerFuel));
    append_milli(text, get(s, Sum::time_only_all_mg) - get(s, Sum::time_only_one_mg));
    if (intervals != nullptr)
      for (const Total which : kQuantities) {
        const planning::Interval& i = get(*intervals, which);
        text += fmt::format(",{:.3f},{:.3f},{:.3f}", i.p5, i.median, i.p95);
      }
    text += '\n';
  };
  line("all", "", planning::whole(totals), uncertainty != nullptr ? &uncertainty->whole : nullptr);
  static constexpr std::pair<GroupBy, const char*> kGroups[] = {
      {GroupBy::field, "field"}, {GroupBy::aircraft, "aircraft"}, {GroupBy::hour, "hour"}, {GroupBy::month, "month"}};
  for (const auto& [by, word] : kGroups)
    for (const auto& [name, sums] : planning::grouped(totals, by))
      line(word, name, sums, uncertainty != nullptr ? &uncertainty->groups.at(by).at(name) : nullptr);
  return text;
}

}  // namespace solotaxi::report
