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

Json groups(const planning::EstimateTotals& totals, planning::GroupBy by) {
  Json list = Json::array();
  for (const auto& [name, sums] : planning::grouped(totals, by)) {
    Json entry = {{"name", name}};
    put_sums(entry, sums);
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

std::string estimate_json(const planning::EstimateTotals& totals, const EstimateContext& context) {
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
  json["by_field"] = groups(totals, planning::GroupBy::field);
  json["by_aircraft"] = groups(totals, planning::GroupBy::aircraft);
  json["by_hour"] = groups(totals, planning::GroupBy::hour);
  json["by_month"] = groups(totals, planning::GroupBy::month);
  json["bias"] = bias_json(totals);
  json["findings"] = findings_json(in_order(context.findings));
  json["cautions"] = cautions();
  json["attribution"] = context.attribution;
  return printed(json);
}

}  // namespace solotaxi::report
