#include "solotaxi/planning/estimate.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "solotaxi/base/error.hpp"

namespace solotaxi::planning {
namespace {

routing::Place place_of(std::string_view name, const char* kind) {
  const std::string text(name);
  const bool told = text.find(':') != std::string::npos || text.find(',') != std::string::npos;
  return routing::parse_place(told ? text : kind + (":" + text));
}

}  // namespace

void add(Sums& to, const Sums& from) {
  for (std::size_t k = 0; k < kSums; ++k) to[k] += from[k];
}

void Bias::add(double seconds, std::int64_t times) {
  const int whole = static_cast<int>(std::lround(seconds));
  by_second_[whole] += times;
  count_ += times;
  sum_s_ += whole * times;
}

void Bias::add(const Bias& other) {
  for (const auto& [second, times] : other.by_second_) add(second, times);
}

void add(EstimateTotals& to, const EstimateTotals& from) {
  for (const auto& [key, sums] : from.cells) add(to.cells.try_emplace(key).first->second, sums);
  for (const auto& [field, bias] : from.bias) to.bias[field].add(bias);
  for (const auto& [key, plan] : from.plans) {
    const auto [known, fresh] = to.plans.try_emplace(key, plan);
    if (fresh) continue;
    for (const auto& [time, weight] : plan.by_time) add(known->second.by_time[time], weight);
  }
  to.rows += from.rows;
  to.rejected += from.rejected;
}

void add(Tally& to, const Tally& from) {
  for (const auto& [key, sums] : from.cells) add(to.cells.try_emplace(key).first->second, sums);
  for (const auto& [field, bias] : from.bias) to.bias[field].add(bias);
  for (const auto& [time, weight] : from.plans) add(to.plans[time], weight);
}

void add(PlanWeight& to, const PlanWeight& from) {
  to.queued += from.queued;
  to.unqueued += from.unqueued;
  to.stood_ms += from.stood_ms;
}

std::string hour_name(int hour) { return fmt::format("{:02}", hour); }
std::string month_name(int month) { return fmt::format("{:04}-{:02}", month / 12, month % 12 + 1); }

double Bias::mean_s() const { return count_ > 0 ? static_cast<double>(sum_s_) / static_cast<double>(count_) : 0.0; }

double Bias::quantile_s(double share) const {
  std::int64_t below = 0;
  for (const auto& [second, count] : by_second_) {
    below += count;
    if (static_cast<double>(below) >= share * static_cast<double>(count_)) return second;
  }
  return 0.0;
}

std::map<std::string, Sums> grouped(const EstimateTotals& totals, GroupBy by) {
  std::map<std::string, Sums> out;
  for (const auto& [key, sums] : totals.cells) {
    const std::string name = by == GroupBy::field      ? key.field
                             : by == GroupBy::aircraft ? key.aircraft
                             : by == GroupBy::hour     ? hour_name(key.hour)
                                                       : month_name(key.month);
    add(out.try_emplace(name).first->second, sums);
  }
  return out;
}

Sums whole(const EstimateTotals& totals) {
  Sums out{};
  for (const auto& [key, sums] : totals.cells) add(out, sums);
  return out;
}

std::size_t Estimate::add_field(const std::string& ident, network::Network network, double pressure_pa,
                                std::map<std::string, std::string> places) {
  fields_.push_back({ident, std::make_unique<TaxiField>(std::move(network)), pressure_pa, std::move(places)});
  return fields_.size() - 1;
}

std::size_t Estimate::add_aircraft(const std::string& name, const aircraft::Aircraft& aircraft,
                                   const motion::Conditions& conditions) {
  motion::check_ranges(conditions, aircraft);
  const std::lock_guard lock(mutex_);
  kinds_.push_back(
      {name, std::make_unique<aircraft::Aircraft>(aircraft), conditions, aircraft::sets_to_try(aircraft).front().count()});
  return kinds_.size() - 1;
}

const Estimate::Kind& Estimate::kind(std::size_t number) const {
  const std::lock_guard lock(mutex_);
  return kinds_[number];
}

std::uint32_t Estimate::id_of(Ids& ids, std::string_view text) {
  constexpr std::size_t kMost = 65535;
  const std::lock_guard lock(mutex_);
  if (const auto known = ids.find(text); known != ids.end()) return known->second;
  if (ids.size() >= kMost)
    throw data_error(fmt::format("names more than {} different stands, or runway ends", kMost), {},
                     "are the columns those that --columns says?");
  return ids.emplace(std::string(text), static_cast<std::uint32_t>(ids.size())).first->second;
}

Estimate::Entry Estimate::make_entry(const MovementQuestion& q, double mass_kg) const {
  const Field& field = fields_[q.field];
  const Kind& kind = kinds_[q.aircraft];
  Entry out;
  try {
    const auto named = field.places.find(std::string(q.stand));
    const routing::Place stand = place_of(named == field.places.end() ? q.stand : std::string_view(named->second), "stand");
    const routing::Place runway = place_of(q.runway, "runway");
    if (runway.kind != routing::Place::Kind::runway || stand.kind == routing::Place::Kind::runway)
      throw usage_error(fmt::format("\"{}\" to or from \"{}\" is no way between a stand and a runway", q.stand, q.runway));
    PlanRequest request;
    request.route.from = q.departure ? stand : runway;
    request.route.to = q.departure ? runway : stand;
    request.route.direction = q.departure ? routing::Direction::departure : routing::Direction::arrival;
    motion::Conditions conditions = kind.conditions;
    conditions.mass_kg = mass_kg;
    conditions.air.pressure_pa = field.pressure_pa;
    out.table = std::make_unique<TaxiTable>(*field.field, *kind.aircraft, conditions, std::move(request),
                                            spreads_ ? &*spreads_ : nullptr);
    out.key = {
        field.ident, std::string(q.stand), std::string(q.runway), kind.name, q.departure, std::llround(mass_kg * 1e3), 0};
    out.aircraft = kind.aircraft.get();
  } catch (const Error& error) {
    out.refusal = error.one_line();
  }
  return out;
}

Estimate::Entry& Estimate::entry(const MovementQuestion& q, const TableKey& key, double mass_kg) {
  const std::lock_guard lock(mutex_);
  const auto known = tables_.find(key);
  if (known != tables_.end()) return known->second;
  return tables_.emplace(key, make_entry(q, mass_kg)).first->second;
}

EstimateTotals Estimate::totals(const Tally& tally) const {
  EstimateTotals out;
  for (const auto& [key, sums] : tally.cells) {
    add(out.cells
            .try_emplace({fields_[key >> 44U].ident, kind((key >> 24U) & 0xFFFFFU).name, static_cast<int>(key & 31U),
                          static_cast<int>((key >> 5U) & 0x7FFFFU)})
            .first->second,
        sums);
  }
  for (const auto& [field, bias] : tally.bias)
    if (bias.count() > 0) out.bias[fields_[field].ident].add(bias);
  for (const auto& [time, weight] : tally.plans) {
    const Entry& entry = *entry_of(time);
    PlanKey key = entry.key;
    key.minute = static_cast<int>(time.when & 255U) + TaxiTable::kShortest;
    const auto [known, fresh] = out.plans.try_emplace(key);
    PlanCount& plan = known->second;
    if (fresh) {
      const KeptPlan& kept = *entry.table->kept(key.minute);
      plan.figures = kept.figures;
      plan.advised = kept.advised;
      plan.reference = kept.reference;
      plan.stalls_at = kept.stalls_at;
      plan.index_g_kg = {entry.aircraft->ei_hc_g_kg, entry.aircraft->ei_co_g_kg, entry.aircraft->ei_nox_g_kg};
    }
    add(plan.by_time[{static_cast<int>(time.when >> 8U & 31U), static_cast<int>(time.when >> 16U)}], weight);
  }
  return out;
}

std::size_t Estimate::tables() const {
  const std::lock_guard lock(mutex_);
  return tables_.size();
}

std::size_t Estimate::plans() const {
  const std::lock_guard lock(mutex_);
  std::size_t count = 0;
  for (const auto& [key, entry] : tables_) count += entry.table ? entry.table->plans() : 0;
  return count;
}

}  // namespace solotaxi::planning
