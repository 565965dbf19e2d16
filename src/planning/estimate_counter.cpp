// One thread's look-ups: everything it has met before is found without waiting for others.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "solotaxi/planning/estimate.hpp"

namespace solotaxi::planning {
namespace {

constexpr double kMostWaiting_s = 7200.0;
/// A measured time shorter than this share of the plan's without a queue is no taxi time of that way; assumed.
constexpr double kLeastShare = 0.5;

std::int64_t thousandths(double value) { return std::llround(value * 1e3); }
std::int64_t millionths(double value) { return std::llround(value * 1e6); }

/// Engine fuel of a plan as emissions of the idle indices.
void set_emissions(Sums& sums, Sum hc, Sum co, Sum nox, double engine_fuel_kg, const aircraft::Aircraft& aircraft) {
  get(sums, hc) = thousandths(engine_fuel_kg * aircraft.ei_hc_g_kg);
  get(sums, co) = thousandths(engine_fuel_kg * aircraft.ei_co_g_kg);
  get(sums, nox) = thousandths(engine_fuel_kg * aircraft.ei_nox_g_kg);
}

}  // namespace

std::uint32_t Counter::id_of(Ids& known, Ids& all, std::string_view text) {
  if (const auto found = known.find(text); found != known.end()) return found->second;
  return known.emplace(std::string(text), estimate_->id_of(all, text)).first->second;
}

const Estimate::Kind& Counter::kind(std::size_t number) {
  if (number >= kinds_.size()) kinds_.resize(number + 1, nullptr);
  if (kinds_[number] == nullptr) kinds_[number] = &estimate_->kind(number);
  return *kinds_[number];
}

std::optional<double> Counter::mass_of(const MovementQuestion& q) {
  const Estimate::Kind& asked = kind(q.aircraft);
  if (!q.mass_kg) return asked.conditions.mass_kg;
  const aircraft::Aircraft& a = *asked.aircraft;
  if (!(*q.mass_kg >= a.mass_min_kg && *q.mass_kg <= a.mass_max_kg)) {
    refusal_ =
        fmt::format("a mass of {} kg is out of range {} to {} kg of {}", *q.mass_kg, a.mass_min_kg, a.mass_max_kg, a.name);
    return std::nullopt;
  }
  const double class_kg = estimate_->mass_class_kg_;
  return std::clamp(std::round(*q.mass_kg / class_kg) * class_kg, a.mass_min_kg, a.mass_max_kg);
}

Estimate::Entry& Counter::entry(const MovementQuestion& q, double mass_kg) {
  const std::uint64_t stand = id_of(stands_, estimate_->stands_, q.stand);
  const std::uint64_t runway = id_of(runways_, estimate_->runways_, q.runway);
  const Estimate::TableKey key{
      (static_cast<std::uint64_t>(q.field) << 33U) | (stand << 17U) | (runway << 1U) | (q.departure ? 1U : 0U),
      (static_cast<std::uint64_t>(q.aircraft) << 40U) | static_cast<std::uint64_t>(thousandths(mass_kg))};
  const auto known = tables_.find(key);
  if (known != tables_.end()) return *known->second;
  return *tables_.emplace(key, &estimate_->entry(q, key, mass_kg)).first->second;
}

Sums& Counter::cell(const MovementQuestion& q) {
  const std::uint64_t key = (static_cast<std::uint64_t>(q.field) << 44U) | (static_cast<std::uint64_t>(q.aircraft) << 24U) |
                            (static_cast<std::uint64_t>(q.month) << 5U) | static_cast<std::uint64_t>(q.hour);
  if (cell_ == nullptr || key != cell_key_) {
    cell_ = &tally_.cells[key];
    cell_key_ = key;
  }
  return *cell_;
}

void Counter::set_sums(const MovementQuestion& q, const TaxiFigures& f, bool measured) {
  const Estimate::Kind& asked = kind(q.aircraft);
  const aircraft::Aircraft& aircraft = *asked.aircraft;
  Sums& s = figures_.sums;
  get(s, Sum::movements) = 1;
  get(s, Sum::one_engine) = f.one ? 1 : 0;
  get(s, Sum::measured) = measured ? 1 : 0;
  get(s, Sum::time_ms) = thousandths(f.advised.time_s);
  get(s, Sum::reference_time_ms) = thousandths(f.reference.time_s);
  get(s, Sum::fuel_mg) = millionths(f.advised.fuel_kg);
  get(s, Sum::reference_fuel_mg) = millionths(f.reference.fuel_kg);
  set_emissions(s, Sum::hc_mg, Sum::co_mg, Sum::nox_mg, f.advised.engine_fuel_kg, aircraft);
  set_emissions(s, Sum::reference_hc_mg, Sum::reference_co_mg, Sum::reference_nox_mg, f.reference.engine_fuel_kg, aircraft);
  const TimeOnlyFuel formula = time_only_fuel(aircraft, asked.kept, q.taxi_time_s.value_or(f.reference.time_s));
  get(s, Sum::time_only_all_mg) = millionths(formula.all_kg);
  get(s, Sum::time_only_one_mg) = millionths(formula.one_kg);
}

void Counter::count_plans(const MovementQuestion& q, const Estimate::Entry& entry, const TaxiTable::Found& found) {
  const std::int64_t high = std::llround(found.high_share * static_cast<double>(kWhole));
  const auto when = static_cast<std::uint64_t>(q.month) << 16U | static_cast<std::uint64_t>(q.hour) << 8U;
  const auto weigh = [&](int minute, std::int64_t weight, std::int64_t stood_ms) {
    PlanWeight& to = tally_.plans[{&entry, when | static_cast<std::uint64_t>(minute - TaxiTable::kShortest)}];
    (q.taxi_time_s ? to.unqueued : to.queued) += weight;
    to.stood_ms += stood_ms;
  };
  weigh(found.low, kWhole - high, thousandths(found.stood_s));
  if (high > 0) weigh(found.high, high, 0);
}

Counter::Answer Counter::count(const MovementQuestion& q) {
  const std::optional<double> mass_kg = mass_of(q);
  if (!mass_kg) return Answer::refused;
  Estimate::Entry& found = entry(q, *mass_kg);
  if (!found.table) {
    refusal_ = found.refusal;
    return Answer::refused;
  }
  TaxiTable::Found told, none, f;
  bool made = found.table->look_up(q.queue_s.value_or(0.0), told, wanted_);
  if (q.taxi_time_s) {
    made = found.table->look_up(0.0, none, wanted_) && made;
    if (made && none.refusal == nullptr) {
      const double least_s = none.figures.reference.time_s;
      if (!(*q.taxi_time_s >= kLeastShare * least_s && *q.taxi_time_s <= least_s + kMostWaiting_s)) {
        refusal_ =
            fmt::format("a taxi time of {:.0f} s is less than half of, or {:.0f} s more than, the {:.0f} s the way takes",
                        *q.taxi_time_s, kMostWaiting_s, least_s);
        return Answer::refused;
      }
      made = found.table->look_up_taxi_time(*q.taxi_time_s, f, wanted_);
    }
  }
  if (!made) return Answer::unmade;
  for (const TaxiTable::Found* each : {&none, &told, &f})
    if (each->refusal != nullptr) {
      refusal_ = *each->refusal;
      return Answer::refused;
    }
  figures_.mass_kg = *mass_kg;
  set_sums(q, q.taxi_time_s ? f.figures : told.figures, q.taxi_time_s.has_value());
  add(cell(q), figures_.sums);
  if (estimate_->spreads_) count_plans(q, found, q.taxi_time_s ? f : told);
  if (q.taxi_time_s) tally_.bias[q.field].add(*q.taxi_time_s - told.figures.reference.time_s);
  return Answer::counted;
}

void Counter::make_wanted() {
  constexpr std::size_t kMost = 256;
  std::sort(wanted_.begin(), wanted_.end());
  wanted_.erase(std::unique(wanted_.begin(), wanted_.end()), wanted_.end());
  if (wanted_.size() > kMost) wanted_.resize(kMost);
  make_plans(wanted_);
}

Tally Counter::take() {
  cell_ = nullptr;
  return std::exchange(tally_, Tally{});
}

}  // namespace solotaxi::planning
