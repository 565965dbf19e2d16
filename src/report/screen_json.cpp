// The screen for programs (data/schema/screen.schema.json) and as a table.
#include <fmt/format.h>

#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>

#include "common.hpp"
#include "route_json.hpp"
#include "screen_parts.hpp"
#include "solotaxi/io/csv.hpp"

namespace solotaxi::report {
namespace {

using Json = nlohmann::ordered_json;
using planning::Screen;
using planning::ScreenFigures;
using planning::ScreenPair;

Json known(const std::optional<double>& value, int decimals) { return value ? rounded(*value, decimals) : Json(nullptr); }

Json share_json(const planning::ScreenShare& s) {
  return {{"stands", s.stands},
          {"stands_with_one", s.stands_with_one},
          {"pairs", s.pairs},
          {"pairs_with_one", s.pairs_with_one},
          {"mean_saving_kg", known(s.mean_saving_kg, 3)},
          {"median_saving_kg", known(s.median_saving_kg, 3)}};
}

Json figures_json(const std::optional<ScreenFigures>& f) {
  if (!f) return nullptr;
  return {{"length_m", rounded(f->length_m, 1)}, {"fuel_kg", rounded(f->fuel_kg, 3)}, {"time_s", rounded(f->time_s, 1)}};
}

std::string runway_end(const network::Network& net, const planning::ScreenMove& move) {
  return net.runways[static_cast<std::size_t>(move.runway)].designators[static_cast<std::size_t>(move.end)];
}

const network::Stand& stand_of(const network::Network& net, const planning::ScreenMove& move) {
  return net.stands[static_cast<std::size_t>(move.stand)];
}

Json pair_json(const ScreenPair& p, const network::Network& net) {
  const network::Stand& stand = stand_of(net, p.move);
  return {{"stand", stand.ref},
          {"stand_id", stand.id},
          {"runway", runway_end(net, p.move)},
          {"direction", routing::to_string(p.move.direction)},
          {"movements", rounded(p.movements, 3)},
          {"reference", figures_json(p.reference)},
          {"one", figures_json(p.one)},
          {"running_set", p.one ? Json(p.running_set) : Json(nullptr)},
          {"saving_kg", known(p.saving_kg(), 3)}};
}

Json segment_json(std::size_t s, const Screen& screen, const network::Network& net) {
  const planning::ScreenSegment& used = screen.segments[s];
  const network::Segment& segment = net.segments[s];
  return {{"segment", s},
          {"name", segment.name},
          {"source_id", segment.source_id},
          {"kind", airfield::to_string(segment.kind)},
          {"length_m", rounded(segment.length_m, 1)},
          {"movements", rounded(used.movements, 3)},
          {"forced_share", used.movements > 0.0 ? rounded(used.forced_movements / used.movements, 4) : Json(nullptr)},
          {"pairs", used.pairs},
          {"forced_pairs", used.forced_pairs},
          {"reasons", motion::words(used.reasons)},
          {"stretch", used.stretch ? Json(*used.stretch) : Json(nullptr)}};
}

Json stretch_json(const planning::ScreenStretch& s) {
  Json segments = Json::array();
  for (const auto segment : s.segments) segments.push_back(index(segment));
  return {{"name", s.name},
          {"segments", segments},
          {"length_m", rounded(s.length_m, 1)},
          {"forced_movements", rounded(s.forced_movements, 3)},
          {"forced_pairs", s.forced_pairs},
          {"reasons", motion::words(s.reasons)},
          {"lost_kg", known(s.lost_kg, 1)},
          {"pairs_gained", s.lost_kg ? Json(s.pairs_gained) : Json(nullptr)}};
}

Json route_json(const planning::StandardRoute& r, const network::Network& net) {
  Json stands = Json::array(), segments = Json::array();
  for (const planning::StandOnRoute& s : r.stands) {
    const network::Stand& stand = net.stands[static_cast<std::size_t>(s.stand)];
    stands.push_back({{"stand", stand.ref},
                      {"stand_id", stand.id},
                      {"movements", rounded(s.movements, 3)},
                      {"length_m", s.fuel_kg ? rounded(s.length_m, 1) : Json(nullptr)},
                      {"fuel_kg", known(s.fuel_kg, 3)},
                      {"running_set", s.running_set.empty() ? Json(nullptr) : Json(s.running_set)},
                      {"extra_kg", s.fuel_kg ? rounded(s.extra_kg, 3) : Json(nullptr)}});
  }
  for (const auto s : r.segments) segments.push_back(index(s));
  return {{"group", r.group},
          {"runway", runway_end(net, {0, r.runway, r.end, r.direction})},
          {"direction", routing::to_string(r.direction)},
          {"names", r.names},
          {"segments", segments},
          {"length_m", rounded(r.length_m, 1)},
          {"new_m", rounded(r.new_m, 1)},
          {"with_one", r.with_one()},
          {"extra_kg_a_year", rounded(r.extra_kg(), 1)},
          {"stands", stands}};
}

Json routes_json(const Screen& screen, const network::Network& net) {
  Json groups = Json::array(), routes = Json::array();
  for (const planning::StandGroup& g : screen.groups) {
    Json stands = Json::array();
    for (const int s : g.stands) stands.push_back(net.stands[static_cast<std::size_t>(s)].ref);
    groups.push_back({{"name", g.name}, {"apron", g.apron}, {"stands", stands}});
  }
  for (const planning::StandardRoute& r : screen.routes) routes.push_back(route_json(r, net));
  return {{"groups", groups},
          {"routes", routes},
          {"lines_m", rounded(screen.route_lines_m, 1)},
          {"own_lines_m", rounded(screen.own_lines_m, 1)}};
}

Json screen_object(const Screen& screen, const network::Network& net) {
  Json json = {{"departures", share_json(screen.departures)},
               {"arrivals", share_json(screen.arrivals)},
               {"movements", rounded(screen.movements, 3)},
               {"fuel_kg", rounded(screen.fuel_kg, 1)},
               {"saving_kg", rounded(screen.saving_kg, 1)}};
  json["stretches"] = json["segments"] = json["pairs"] = Json::array();
  for (const auto& s : screen.stretches) json["stretches"].push_back(stretch_json(s));
  for (std::size_t s = 0; s < screen.segments.size(); ++s)
    if (screen.segments[s].pairs > 0) json["segments"].push_back(segment_json(s, screen, net));
  for (const ScreenPair& p : screen.pairs) json["pairs"].push_back(pair_json(p, net));
  json["standard_routes"] = screen.groups.empty() ? Json(nullptr) : routes_json(screen, net);
  return json;
}

Json request_json(const ScreenContext& context) {
  const planning::ScreenRequest& request = *context.request;
  Json rules = Json::array(), changes = Json::array(), lines = Json::array();
  for (const NewLine& line : new_lines(context))
    lines.push_back({{"source_id", line.id},
                     {"name", line.name},
                     {"kind", airfield::to_string(line.kind)},
                     {"length_m", rounded(line.length_m, 1)}});
  for (const auto& rule : request.plan.rules) rules.push_back(rule.text);
  for (const planning::Change& c : request.changes)
    changes.push_back({{"name", c.name},
                       {"max_grade_pct", known(c.max_grade_pct, 4)},
                       {"min_radius_m", known(c.min_radius_m, 2)},
                       {"closed", c.closed ? Json(*c.closed) : Json(nullptr)}});
  return {{"queue_s", rounded(request.plan.queue_s, 1)},
          {"traffic", request.traffic.empty() ? "assumed" : "told"},
          {"movements_a_year", request.traffic.empty() ? rounded(request.movements_a_year, 3) : Json(nullptr)},
          {"mend", request.mend},
          {"standard_routes", request.standard_routes},
          {"trunk_kg_m", request.standard_routes ? rounded(request.trunk_kg_m, 3) : Json(nullptr)},
          {"rules", rules},
          {"changes", changes},
          {"new_lines", lines}};
}

std::string csv_text(const std::string& text) {
  std::string out;
  io::append_csv(out, text);
  return out;
}

void add_figures(std::string& line, const ScreenPair* p) {
  const auto add = [&](const std::optional<double>& value, int decimals) {
    line += ',';
    if (value) line += fmt::format("{:.{}f}", *value, decimals);
  };
  for (const auto* f : {p != nullptr ? &p->reference : nullptr, p != nullptr ? &p->one : nullptr}) {
    const bool there = f != nullptr && f->has_value();
    add(there ? std::optional((*f)->length_m) : std::nullopt, 1);
    add(there ? std::optional((*f)->fuel_kg) : std::nullopt, 3);
    add(there ? std::optional((*f)->time_s) : std::nullopt, 1);
  }
  line += ',' + csv_text(p != nullptr ? p->running_set : "");
  add(p != nullptr ? p->saving_kg() : std::nullopt, 3);
}

}  // namespace

std::string screen_json(const std::vector<AircraftScreen>& screens, const ScreenContext& context) {
  const network::Network& net = *context.network;
  Json json;
  json["aerodrome"] = {{"name", net.name}, {"ident", net.ident}};
  json["asked"] = request_json(context);
  json["aircraft"] = Json::array();
  for (const AircraftScreen& s : screens)
    json["aircraft"].push_back(
        {{"name", s.aircraft->name},
         {"mass_kg", rounded(s.conditions->mass_kg, 1)},
         {"conditions", conditions_json(*s.conditions)},
         {"now", screen_object(s.now, net)},
         {"changed", s.changed ? screen_object(*s.changed, network_screened(context, true)) : Json(nullptr)}});
  json["findings"] = findings_json(screen_findings(screens, context));
  json["cautions"] = cautions();
  const std::string thanks = attribution(net, context.map_file);
  json["attribution"] = thanks.empty() ? Json(nullptr) : Json(thanks);
  return printed(json);
}

std::string screen_csv(const std::vector<AircraftScreen>& screens, const ScreenContext& context) {
  const network::Network& net = *context.network;
  const std::string figures =
      ",{0}reference_length_m,{0}reference_fuel_kg,{0}reference_time_s,{0}one_length_m,{0}one_fuel_kg,{0}one_time_s,"
      "{0}running_set,{0}saving_kg";
  std::string out = "aircraft,stand,stand_id,runway,direction,movements" + fmt::format(fmt::runtime(figures), "");
  const bool changed = !screens.empty() && screens.front().changed.has_value();
  if (changed) out += fmt::format(fmt::runtime(figures), "changed_");
  out += '\n';
  for (const AircraftScreen& s : screens)
    for (std::size_t i = 0; i < s.now.pairs.size(); ++i) {
      const ScreenPair& p = s.now.pairs[i];
      const network::Stand& stand = stand_of(net, p.move);
      out += fmt::format("{},{},{},{},{},{:.3f}", csv_text(s.aircraft->name), csv_text(stand.ref), csv_text(stand.id),
                         csv_text(runway_end(net, p.move)), routing::to_string(p.move.direction), p.movements);
      add_figures(out, &p);
      if (changed) add_figures(out, s.changed ? &s.changed->pairs[i] : nullptr);
      out += '\n';
    }
  return out;
}

}  // namespace solotaxi::report
