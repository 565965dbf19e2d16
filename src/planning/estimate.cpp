#include "solotaxi/planning/estimate.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "solotaxi/base/error.hpp"

namespace solotaxi::planning {
namespace {

constexpr double kLongestQueue_s = 7200.0;
/// A measured time shorter than this share of the plan's without a queue is no taxi time of that way; assumed.
constexpr double kLeastShare = 0.5;

std::int64_t thousandths(double value) { return std::llround(value * 1e3); }
std::int64_t millionths(double value) { return std::llround(value * 1e6); }

routing::Place place_of(std::string_view name, const char* kind) {
  const std::string text(name);
  const bool told = text.find(':') != std::string::npos || text.find(',') != std::string::npos;
  return routing::parse_place(told ? text : kind + (":" + text));
}

/// Engine fuel of a plan as emissions of the idle indices.
void set_emissions(Sums& sums, Sum hc, Sum co, Sum nox, double engine_fuel_kg, const aircraft::Aircraft& aircraft) {
  get(sums, hc) = thousandths(engine_fuel_kg * aircraft.ei_hc_g_kg);
  get(sums, co) = thousandths(engine_fuel_kg * aircraft.ei_co_g_kg);
  get(sums, nox) = thousandths(engine_fuel_kg * aircraft.ei_nox_g_kg);
}

}  // namespace

void add(Sums& to, const Sums& from) {
  for (std::size_t k = 0; k < kSums; ++k) to[k] += from[k];
}

void Bias::add(double seconds) {
  const int whole = static_cast<int>(std::lround(seconds));
  ++by_second_[whole];
  ++count_;
  sum_s_ += whole;
}

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
                             : by == GroupBy::hour     ? fmt::format("{:02}", key.hour)
                                                       : fmt::format("{:04}-{:02}", key.month / 12, key.month % 12 + 1);
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
  fields_.push_back({ident, std::make_unique<TaxiField>(std::move(network)), pressure_pa, std::move(places), {}});
  return fields_.size() - 1;
}

std::size_t Estimate::add_aircraft(const std::string& name, const aircraft::Aircraft& aircraft,
                                   const motion::Conditions& conditions) {
  motion::check_ranges(conditions, aircraft);
  kinds_.push_back(
      {name, std::make_unique<aircraft::Aircraft>(aircraft), conditions, aircraft::sets_to_try(aircraft).front().count()});
  return kinds_.size() - 1;
}

std::uint32_t Estimate::id_of(Ids& ids, std::string_view text) {
  constexpr std::size_t kMost = 65535;
  if (const auto known = ids.find(text); known != ids.end()) return known->second;
  if (ids.size() >= kMost)
    throw data_error(fmt::format("names more than {} different stands, or runway ends", kMost), {},
                     "are the columns those that --columns says?");
  return ids.emplace(std::string(text), static_cast<std::uint32_t>(ids.size())).first->second;
}

std::optional<double> Estimate::mass_of(const MovementQuestion& q, std::string& refusal) const {
  const Kind& kind = kinds_[q.aircraft];
  if (!q.mass_kg) return kind.conditions.mass_kg;
  const aircraft::Aircraft& a = *kind.aircraft;
  if (!(*q.mass_kg >= a.mass_min_kg && *q.mass_kg <= a.mass_max_kg)) {
    refusal =
        fmt::format("a mass of {} kg is out of range {} to {} kg of {}", *q.mass_kg, a.mass_min_kg, a.mass_max_kg, a.name);
    return std::nullopt;
  }
  return std::clamp(std::round(*q.mass_kg / mass_class_kg_) * mass_class_kg_, a.mass_min_kg, a.mass_max_kg);
}

Estimate::Entry Estimate::make_entry(const MovementQuestion& q, double mass_kg) {
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
    out.table = std::make_unique<TaxiTable>(*field.field, *kind.aircraft, conditions, std::move(request));
    out.refusal = out.table->refusal(q.taxi_time_s ? 0.0 : q.queue_s.value_or(0.0));
  } catch (const Error& error) {
    out.refusal = error.one_line();
  }
  if (!out.refusal.empty()) out.table.reset();
  return out;
}

Estimate::Entry& Estimate::entry(const MovementQuestion& q, double mass_kg) {
  const std::uint64_t stand = id_of(stands_, q.stand), runway = id_of(runways_, q.runway);
  const TableKey key{
      (static_cast<std::uint64_t>(q.field) << 33U) | (stand << 17U) | (runway << 1U) | (q.departure ? 1U : 0U),
      (static_cast<std::uint64_t>(q.aircraft) << 40U) | static_cast<std::uint64_t>(thousandths(mass_kg))};
  const auto known = tables_.find(key);
  if (known != tables_.end()) return known->second;
  return tables_.emplace(key, make_entry(q, mass_kg)).first->second;
}

Sums& Estimate::cell(const MovementQuestion& q) {
  const std::uint64_t key = (static_cast<std::uint64_t>(q.field) << 44U) | (static_cast<std::uint64_t>(q.aircraft) << 24U) |
                            (static_cast<std::uint64_t>(q.month) << 5U) | static_cast<std::uint64_t>(q.hour);
  return cells_[key];
}

const MovementFigures* Estimate::add(const MovementQuestion& q, std::string& refusal) {
  const std::optional<double> mass_kg = mass_of(q, refusal);
  if (!mass_kg) return nullptr;
  Entry& found = entry(q, *mass_kg);
  if (!found.table) {
    refusal = found.refusal;
    return nullptr;
  }
  const Kind& kind = kinds_[q.aircraft];
  const double queue_s = q.queue_s.value_or(0.0);
  std::optional<double> off_s;
  TaxiFigures f;
  if (q.taxi_time_s) {
    const double least_s = found.table->at(0.0).reference.time_s;
    if (!(*q.taxi_time_s >= kLeastShare * least_s && *q.taxi_time_s <= least_s + kLongestQueue_s)) {
      refusal =
          fmt::format("a taxi time of {:.0f} s is less than half of, or {:.0f} s more than, the {:.0f} s the way takes",
                      *q.taxi_time_s, kLongestQueue_s, least_s);
      return nullptr;
    }
    f = found.table->at_taxi_time(*q.taxi_time_s);
    off_s = *q.taxi_time_s - found.table->at(queue_s).reference.time_s;
  } else {
    f = found.table->at(queue_s);
  }
  figures_.mass_kg = *mass_kg;
  Sums& s = figures_.sums;
  get(s, Sum::movements) = 1;
  get(s, Sum::one_engine) = f.one ? 1 : 0;
  get(s, Sum::measured) = off_s ? 1 : 0;
  get(s, Sum::time_ms) = thousandths(f.advised.time_s);
  get(s, Sum::reference_time_ms) = thousandths(f.reference.time_s);
  get(s, Sum::fuel_mg) = millionths(f.advised.fuel_kg);
  get(s, Sum::reference_fuel_mg) = millionths(f.reference.fuel_kg);
  set_emissions(s, Sum::hc_mg, Sum::co_mg, Sum::nox_mg, f.advised.engine_fuel_kg, *kind.aircraft);
  set_emissions(s, Sum::reference_hc_mg, Sum::reference_co_mg, Sum::reference_nox_mg, f.reference.engine_fuel_kg,
                *kind.aircraft);
  const TimeOnlyFuel formula = time_only_fuel(*kind.aircraft, kind.kept, q.taxi_time_s.value_or(f.reference.time_s));
  get(s, Sum::time_only_all_mg) = millionths(formula.all_kg);
  get(s, Sum::time_only_one_mg) = millionths(formula.one_kg);
  planning::add(cell(q), s);
  if (off_s) fields_[q.field].bias.add(*off_s);
  return &figures_;
}

EstimateTotals Estimate::totals() const {
  EstimateTotals out;
  for (const auto& [key, sums] : cells_) {
    planning::add(out.cells
                      .try_emplace({fields_[key >> 44U].ident, kinds_[(key >> 24U) & 0xFFFFFU].name,
                                    static_cast<int>(key & 31U), static_cast<int>((key >> 5U) & 0x7FFFFU)})
                      .first->second,
                  sums);
  }
  for (const Field& field : fields_)
    if (field.bias.count() > 0) out.bias.emplace(field.ident, field.bias);
  return out;
}

std::size_t Estimate::plans() const {
  std::size_t count = 0;
  for (const auto& [key, entry] : tables_) count += entry.table ? entry.table->plans() : 0;
  return count;
}

}  // namespace solotaxi::planning
