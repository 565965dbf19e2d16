#include "estimate_state.hpp"

#include <fmt/format.h>

#include <charconv>
#include <fstream>
#include <nlohmann/json.hpp>

#include "solotaxi/base/error.hpp"

namespace solotaxi::cli {
namespace {

using Json = nlohmann::ordered_json;
using planning::EstimateTotals;

constexpr const char* kWhat = "solotaxi estimate state 1";

// Only what errors change.
Json response_json(const planning::Response& response) {
  Json curves = Json::array();
  for (std::size_t u = 0; u < planning::kUncertain; ++u)
    if (response.curves[u].slope != planning::PlanParts{} || response.curves[u].bend != planning::PlanParts{})
      curves.push_back({u, response.curves[u].slope, response.curves[u].bend});
  return {{"curves", std::move(curves)}, {"product", response.product}};
}

planning::Response response_of(const Json& json) {
  planning::Response response;
  for (const Json& curve : json.at("curves"))
    response.curves.at(curve.at(0).get<std::size_t>()) = {curve.at(1).get<planning::PlanParts>(),
                                                          curve.at(2).get<planning::PlanParts>()};
  response.product = json.at("product").get<planning::PlanParts>();
  return response;
}

Json figures_json(const planning::PlanFigures& f) {
  return {f.time_s, f.fuel_kg, f.engine_fuel_kg, f.standing_kg_s, f.standing_apu_kg_s};
}

planning::PlanFigures figures_of(const Json& f) { return {f.at(0), f.at(1), f.at(2), f.at(3), f.at(4)}; }

Json plans_json(const EstimateTotals& totals) {
  Json plans = Json::array();
  for (const auto& [key, plan] : totals.plans) {
    Json times = Json::array();
    for (const auto& [time, w] : plan.by_time) times.push_back({time.first, time.second, w.queued, w.unqueued, w.stood_ms});
    plans.push_back({{"key", {key.field, key.stand, key.runway, key.aircraft, key.departure, key.mass_g, key.minute}},
                     {"one", plan.figures.one},
                     {"advised", figures_json(plan.figures.advised)},
                     {"reference", figures_json(plan.figures.reference)},
                     {"advised_moves", response_json(plan.advised)},
                     {"reference_moves", response_json(plan.reference)},
                     {"stalls_at", plan.stalls_at},
                     {"index_g_kg", plan.index_g_kg},
                     {"times", std::move(times)}});
  }
  return plans;
}

void read_plans(const Json& plans, EstimateTotals& totals) {
  for (const Json& json : plans) {
    const Json& k = json.at("key");
    planning::PlanCount& plan = totals.plans[{k.at(0), k.at(1), k.at(2), k.at(3), k.at(4), k.at(5), k.at(6)}];
    plan.figures = {figures_of(json.at("advised")), figures_of(json.at("reference")), json.at("one")};
    plan.advised = response_of(json.at("advised_moves"));
    plan.reference = response_of(json.at("reference_moves"));
    plan.stalls_at = json.at("stalls_at").get<planning::Errors>();
    plan.index_g_kg = json.at("index_g_kg").get<std::array<double, 3>>();
    for (const Json& w : json.at("times")) plan.by_time[{w.at(0), w.at(1)}] = {w.at(2), w.at(3), w.at(4)};
  }
}

Json draws_json(const std::optional<DrawsAsked>& draws) {
  if (!draws) return nullptr;
  Json spreads = Json::array();
  for (const planning::Spread& s : draws->spreads) spreads.push_back({s.all, s.field, s.aircraft, s.source});
  return {{"draws", draws->draws}, {"seed", draws->seed}, {"spreads", std::move(spreads)}};
}

std::optional<DrawsAsked> draws_of(const Json& json) {
  if (json.is_null()) return std::nullopt;
  DrawsAsked out{json.at("draws"), json.at("seed"), {}};
  for (std::size_t u = 0; u < planning::kUncertain; ++u) {
    const Json& s = json.at("spreads").at(u);
    out.spreads[u] = {s.at(0), s.at(1), s.at(2), s.at(3)};
  }
  return out;
}

Json totals_json(const EstimateTotals& totals) {
  Json cells = Json::array(), bias = Json::object();
  for (const auto& [key, sums] : totals.cells) cells.push_back({key.field, key.aircraft, key.hour, key.month, sums});
  for (const auto& [field, of_field] : totals.bias) {
    Json counts = Json::array();
    for (const auto& [second, times] : of_field.by_second()) counts.push_back({second, times});
    bias[field] = std::move(counts);
  }
  return {{"rows", totals.rows},
          {"rejected", totals.rejected},
          {"cells", std::move(cells)},
          {"bias", std::move(bias)},
          {"plans", plans_json(totals)}};
}

EstimateTotals totals_of(const Json& json) {
  EstimateTotals totals;
  totals.rows = json.at("rows");
  totals.rejected = json.at("rejected");
  for (const Json& cell : json.at("cells"))
    totals.cells[{cell.at(0), cell.at(1), cell.at(2), cell.at(3)}] = cell.at(4).get<planning::Sums>();
  for (const auto& [field, counts] : json.at("bias").items())
    for (const Json& count : counts) totals.bias[field].add(count.at(0).get<int>(), count.at(1).get<std::int64_t>());
  read_plans(json.at("plans"), totals);
  return totals;
}

Json context_json(const report::EstimateContext& c) {
  Json findings = Json::array();
  for (const Finding& f : c.findings)
    findings.push_back(
        {f.code, static_cast<int>(f.severity), f.where.id, f.where.lat_deg, f.where.lon_deg, f.where.has_position, f.text});
  return {{"movements_file", c.movements_file},
          {"mass_class_kg", c.mass_class_kg},
          {"oat_c", c.oat_c},
          {"qnh_hpa", c.qnh_hpa},
          {"surface", c.surface},
          {"first_reject", c.first_reject},
          {"attribution", c.attribution},
          {"findings", std::move(findings)}};
}

report::EstimateContext context_of(const Json& json) {
  report::EstimateContext c;
  c.movements_file = json.at("movements_file");
  c.mass_class_kg = json.at("mass_class_kg");
  c.oat_c = json.at("oat_c");
  c.qnh_hpa = json.at("qnh_hpa");
  c.surface = json.at("surface");
  c.first_reject = json.at("first_reject");
  c.attribution = json.at("attribution").get<std::vector<std::string>>();
  for (const Json& f : json.at("findings"))
    c.findings.push_back(
        {f.at(0), static_cast<Severity>(f.at(1).get<int>()), {f.at(2), f.at(3), f.at(4), f.at(5)}, f.at(6)});
  return c;
}

Json written_json(const std::optional<WrittenFile>& written) {
  return written ? Json{{"file", written->file}, {"bytes", written->bytes}} : Json(nullptr);
}

std::optional<WrittenFile> written_of(const Json& json) {
  if (json.is_null()) return std::nullopt;
  return WrittenFile{json.at("file"), json.at("bytes")};
}

}  // namespace

Shard parse_shard(const std::string& text) {
  constexpr std::uint64_t kMost = 1000000;
  Shard out;
  if (text.empty()) return out;
  const char* const last = text.data() + text.size();
  const auto [sign, fault] = std::from_chars(text.data(), last, out.shard);
  bool good = fault == std::errc{} && sign != last && *sign == '/';
  if (good) {
    const auto [end, second_fault] = std::from_chars(sign + 1, last, out.shards);
    good = second_fault == std::errc{} && end == last;
  }
  if (!good || out.shard < 1 || out.shard > out.shards || out.shards > kMost)
    throw Error(ErrorClass::usage, fmt::format("\"{}\" is no shard", text), {{}, {}, "--shard"},
                fmt::format("write I/N, I from 1 to N, N up to {}", kMost));
  return out;
}

std::string state_json(const EstimateState& s) {
  Json hangs_on = Json::array();
  for (const auto& [what, digest] : s.hangs_on) hangs_on.push_back({what, digest});
  const Json json = {{"is", kWhat},
                     {"whole", s.whole},
                     {"shard", {s.shard.shard, s.shard.shards}},
                     {"hangs_on", std::move(hangs_on)},
                     {"place", {{"byte", s.place.byte}, {"rows", s.place.rows}, {"line", s.place.line}}},
                     {"per_flight", written_json(s.per_flight)},
                     {"rejects", written_json(s.rejects)},
                     {"reject_share_pct", s.reject_share_pct},
                     {"draws", draws_json(s.draws)},
                     {"context", context_json(s.context)},
                     {"totals", totals_json(s.totals)}};
  // Names may be bytes of any kind.
  return json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

EstimateState read_state(const std::string& file) {
  std::ifstream in(file, std::ios::binary);
  if (!in) throw data_error("cannot be read", Where{file, {}, {}}, "check the path");
  EstimateState s;
  try {
    const Json json = Json::parse(in);
    if (json.at("is") != kWhat) throw std::runtime_error("another");
    s.whole = json.at("whole");
    s.shard = {json.at("shard").at(0), json.at("shard").at(1)};
    for (const Json& digest : json.at("hangs_on")) s.hangs_on.emplace_back(digest.at(0), digest.at(1));
    const Json& place = json.at("place");
    s.place = {place.at("byte"), place.at("rows"), place.at("line")};
    s.per_flight = written_of(json.at("per_flight"));
    s.rejects = written_of(json.at("rejects"));
    s.reject_share_pct = json.at("reject_share_pct");
    s.draws = draws_of(json.at("draws"));
    s.context = context_of(json.at("context"));
    s.totals = totals_of(json.at("totals"));
  } catch (const std::exception&) {
    throw data_error("is no whole state of an estimate of this version", Where{file, {}, {}},
                     "it is what estimate wrote with --sums or as its checkpoint");
  }
  return s;
}

EstimateTold told(const EstimateState& s, const std::string& format) {
  std::optional<planning::Uncertainty> uncertainty;
  if (s.draws) uncertainty = planning::uncertainty_of(s.totals, s.draws->spreads, s.draws->draws, s.draws->seed);
  const planning::Uncertainty* const of = uncertainty ? &*uncertainty : nullptr;
  return {
      format == "json" ? report::estimate_json(s.totals, s.context, of) : report::estimate_text(s.totals, s.context, of),
      report::estimate_totals_csv(s.totals, of)};
}

std::string first_difference(const Digests& a, const Digests& b) {
  for (std::size_t k = 0; k < std::max(a.size(), b.size()); ++k) {
    if (k >= a.size()) return b[k].first;
    if (k >= b.size() || a[k] != b[k]) return a[k].first;
  }
  return {};
}

void check_rejects(const EstimateState& s, const std::string& file, const std::string& hint) {
  constexpr double kPercent = 100.0;
  const auto rows = static_cast<double>(s.totals.rows), rejected = static_cast<double>(s.totals.rejected);
  if (rejected * kPercent <= s.reject_share_pct * rows) return;
  throw data_error(fmt::format("{} of {} rows cannot be used, over {} %; {}", s.totals.rejected, s.totals.rows,
                               s.reject_share_pct, s.context.first_reject),
                   Where{file, {}, {}}, hint);
}

}  // namespace solotaxi::cli
