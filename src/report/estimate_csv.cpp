// One line a movement.
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

}  // namespace solotaxi::report
