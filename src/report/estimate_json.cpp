// The estimate for programs; keys as in data/schema/estimate.schema.json.
#include <nlohmann/json.hpp>

#include "common.hpp"
#include "solotaxi/report/estimate_report.hpp"
#include "solotaxi/report/route_report.hpp"

namespace solotaxi::report {
namespace {

using Json = nlohmann::ordered_json;
using planning::Sum;
using planning::Sums;

Json kilograms(std::int64_t mg) { return rounded(static_cast<double>(mg) * 1e-6, 3); }
Json seconds(std::int64_t ms) { return rounded(static_cast<double>(ms) * 1e-3, 1); }
Json co2(std::int64_t fuel_mg) { return rounded(static_cast<double>(fuel_mg) * 1e-6 * kCo2PerFuel, 3); }

Json interval(const planning::Interval& i, int decimals) {
  return {{"p5", rounded(i.p5, decimals)}, {"median", rounded(i.median, decimals)}, {"p95", rounded(i.p95, decimals)}};
}

Json interval(const planning::Intervals& all, planning::Total which, double factor = 1.0) {
  const planning::Interval& i = get(all, which);
  const bool seconds = which == planning::Total::time_s || which == planning::Total::reference_time_s;
  return interval({factor * i.p5, factor * i.median, factor * i.p95}, seconds ? 1 : 3);
}

/// Of one group of movements.
Json intervals(const planning::Intervals& all) {
  using planning::Total;
  return {{"advised",
           {{"time_s", interval(all, Total::time_s)},
            {"fuel_kg", interval(all, Total::fuel_kg)},
            {"co2_kg", interval(all, Total::fuel_kg, kCo2PerFuel)},
            {"hc_kg", interval(all, Total::hc_kg)},
            {"co_kg", interval(all, Total::co_kg)},
            {"nox_kg", interval(all, Total::nox_kg)}}},
          {"reference",
           {{"time_s", interval(all, Total::reference_time_s)},
            {"fuel_kg", interval(all, Total::reference_fuel_kg)},
            {"co2_kg", interval(all, Total::reference_fuel_kg, kCo2PerFuel)},
            {"hc_kg", interval(all, Total::reference_hc_kg)},
            {"co_kg", interval(all, Total::reference_co_kg)},
            {"nox_kg", interval(all, Total::reference_nox_kg)}}},
          {"saving_kg", interval(all, Total::saving_kg)}};
}

Json uncertainty_json(const planning::Uncertainty& u) {
  Json spreads = Json::array(), effects = Json::array();
  for (const planning::UncertainKey& key : planning::uncertain_keys()) {
    const planning::Spread& s = u.spreads[index(key.what)];
    spreads.push_back({{"what", key.key},
                       {"unit", key.unit},
                       {"all", rounded(s.all, 6)},
                       {"field", rounded(s.field, 6)},
                       {"aircraft", rounded(s.aircraft, 6)},
                       {"source", s.source}});
  }
  for (const planning::Effect& e : u.effects)
    effects.push_back({{"what", planning::uncertain_keys()[index(e.what)].key},
                       {"saving_kg", interval(e.saving_kg, 3)},
                       {"fuel_kg", interval(e.fuel_kg, 3)}});
  return {{"draws", u.draws}, {"seed", u.seed}, {"spreads", std::move(spreads)}, {"effects", std::move(effects)}};
}

void put_sums(Json& json, const Sums& s) {
  const auto kg = [&](Sum which) { return kilograms(get(s, which)); };
  const std::int64_t fuel = get(s, Sum::fuel_mg), reference = get(s, Sum::reference_fuel_mg);
  json["movements"] = get(s, Sum::movements);
  json["one_engine"] = get(s, Sum::one_engine);
  json["measured"] = get(s, Sum::measured);
  json["advised"] = {{"time_s", seconds(get(s, Sum::time_ms))},
                     {"fuel_kg", kilograms(fuel)},
                     {"co2_kg", co2(fuel)},
                     {"hc_kg", kg(Sum::hc_mg)},
                     {"co_kg", kg(Sum::co_mg)},
                     {"nox_kg", kg(Sum::nox_mg)}};
  json["reference"] = {{"time_s", seconds(get(s, Sum::reference_time_ms))},
                       {"fuel_kg", kilograms(reference)},
                       {"co2_kg", co2(reference)},
                       {"hc_kg", kg(Sum::reference_hc_mg)},
                       {"co_kg", kg(Sum::reference_co_mg)},
                       {"nox_kg", kg(Sum::reference_nox_mg)}};
  json["saving_kg"] = kilograms(reference - fuel);
  json["time_only"] = {{"all_kg", kg(Sum::time_only_all_mg)},
                       {"one_kg", kg(Sum::time_only_one_mg)},
                       {"saving_kg", kilograms(get(s, Sum::time_only_all_mg) - get(s, Sum::time_only_one_mg))}};
}

Json groups(const planning::EstimateTotals& totals, planning::GroupBy by, const planning::Uncertainty* uncertainty) {
  Json list = Json::array();
  for (const auto& [name, sums] : planning::grouped(totals, by)) {
    Json entry = {{"name", name}};
    put_sums(entry, sums);
    if (uncertainty != nullptr) entry["uncertainty"] = intervals(uncertainty->groups.at(by).at(name));
    list.push_back(std::move(entry));
  }
  return list;
}

Json bias_json(const planning::EstimateTotals& totals) {
  Json list = Json::array();
  for (const auto& [field, bias] : totals.bias)
    list.push_back({{"field", field},
                    {"movements", bias.count()},
                    {"mean_s", rounded(bias.mean_s(), 1)},
                    {"p5_s", rounded(bias.quantile_s(0.05), 0)},
                    {"median_s", rounded(bias.quantile_s(0.5), 0)},
                    {"p95_s", rounded(bias.quantile_s(0.95), 0)}});
  return list;
}

}  // namespace

std::string estimate_json(const planning::EstimateTotals& totals, const EstimateContext& context,
                          const planning::Uncertainty* uncertainty) {
  Json json;
  json["movements_file"] = context.movements_file;
  json["rows"] = totals.rows;
  json["rejected"] = totals.rejected;
  json["first_reject"] = context.first_reject.empty() ? Json(nullptr) : Json(context.first_reject);
  json["conditions"] = {{"oat_c", rounded(context.oat_c, 2)},
                        {"qnh_hpa", rounded(context.qnh_hpa, 2)},
                        {"surface", context.surface},
                        {"mass_class_kg", rounded(context.mass_class_kg, 1)}};
  json["total"] = Json::object();
  put_sums(json["total"], planning::whole(totals));
  if (uncertainty != nullptr) json["total"]["uncertainty"] = intervals(uncertainty->whole);
  json["by_field"] = groups(totals, planning::GroupBy::field, uncertainty);
  json["by_aircraft"] = groups(totals, planning::GroupBy::aircraft, uncertainty);
  json["by_hour"] = groups(totals, planning::GroupBy::hour, uncertainty);
  json["by_month"] = groups(totals, planning::GroupBy::month, uncertainty);
  json["bias"] = bias_json(totals);
  json["uncertainty"] = uncertainty != nullptr ? uncertainty_json(*uncertainty) : Json(nullptr);
  json["findings"] = findings_json(in_order(context.findings));
  json["cautions"] = cautions();
  json["attribution"] = context.attribution;
  return printed(json);
}

}  // namespace solotaxi::report
