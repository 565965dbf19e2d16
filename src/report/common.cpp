#include "common.hpp"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <set>
#include <tuple>

#include "measures.hpp"

namespace solotaxi::report {

const std::vector<std::string>& cautions() {
  static const std::vector<std::string> texts{
      "Planning aid, not for navigation. The operator's procedures, the flight manual, air traffic control and local rules "
      "decide.",
      "Maps may be wrong, incomplete or out of date: check designators, closures, holding positions and runway crossings "
      "against current aeronautical information.",
      "Breaking away on fewer engines takes more thrust from those that run: mind jet blast on people, equipment and "
      "stands "
      "behind, most of all uphill and in turns toward the running engine.",
      "Taxiing with an engine off is commonly not used on contaminated or slippery surfaces, in low visibility, on steep "
      "ground or in tight turns toward the running engine, with failures that bear on it, or where engines still need "
      "warm-up or cool-down."};
  return texts;
}

std::string aerodrome_title(const network::Network& network) {
  if (network.name.empty()) return network.ident.empty() ? "unnamed aerodrome" : network.ident;
  return network.ident.empty() ? network.name : network.name + " (" + network.ident + ")";
}

std::string attribution(const network::Network& network, const std::string& map_file) {
  const auto ends = [&](const char* ending) { return map_file.ends_with(ending); };
  const bool osm = ends(".osm") || ends(".pbf") || ends(".osm.gz") || ends(".osm.bz2") ||
                   std::any_of(network.segments.begin(), network.segments.end(),
                               [](const network::Segment& s) { return s.source_id.starts_with("way/"); });
  return osm ? "Map data © OpenStreetMap contributors, ODbL 1.0 (openstreetmap.org/copyright)" : "";
}

Findings in_order(Findings findings) {
  std::stable_sort(findings.begin(), findings.end(), [](const Finding& a, const Finding& b) {
    return std::tie(b.severity, a.code) < std::tie(a.severity, b.code);
  });
  std::set<std::tuple<std::string, std::string, std::string>> seen;
  std::erase_if(findings, [&](const Finding& f) { return !seen.emplace(f.code, f.where.id, f.text).second; });
  return findings;
}

Findings route_findings(const routing::Route& route, const RouteContext& context) {
  Findings all = route.findings;
  if (context.network == nullptr) return in_order(std::move(all));
  const network::Network& network = *context.network;
  std::set<std::string> driven;
  for (const network::ArcId arc : route.arcs) {
    if (index(arc) >= network.arc_count()) continue;
    driven.insert(network.segment(arc).source_id);
    driven.insert(network.node(network.tail(arc)).source_id);
    driven.insert(network.node(network.head(arc)).source_id);
  }
  driven.erase("");
  for (const Finding& finding : network.findings)
    if (driven.contains(finding.where.id) || (finding.where.id.empty() && finding.severity == Severity::serious))
      all.push_back(finding);
  return in_order(std::move(all));
}

std::size_t count(const Findings& findings, Severity severity) {
  return static_cast<std::size_t>(
      std::count_if(findings.begin(), findings.end(), [&](const Finding& f) { return f.severity == severity; }));
}

namespace {
double round_to(double value, int decimals) {
  const double scale = std::pow(10.0, decimals);
  const double result = std::round(value * scale) / scale;
  return result == 0.0 ? 0.0 : result;  // no minus nought
}
}  // namespace

nlohmann::ordered_json rounded(double value, int decimals) {
  if (!std::isfinite(value)) return nullptr;
  return round_to(value, decimals);
}

io::Value text_value(std::string value) { return io::Value(std::in_place_type<std::string>, std::move(value)); }

io::Value flag_value(bool value) { return io::Value(std::in_place_type<bool>, value); }

io::Value whole_value(std::size_t value) {
  return io::Value(std::in_place_type<std::int64_t>, static_cast<std::int64_t>(value));
}

io::Value rounded_value(double value, int decimals) {
  if (!std::isfinite(value)) return std::monostate{};
  return round_to(value, decimals);
}

void type_columns(io::FeatureLayer& layer, const std::vector<std::string>& numbers, const std::vector<std::string>& flags) {
  const auto holds = [](const std::vector<std::string>& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
  };
  layer.typical.assign(layer.columns.size(), {});
  for (std::size_t c = 0; c < layer.columns.size(); ++c) {
    if (holds(numbers, layer.columns[c])) layer.typical[c].emplace<double>(0.0);
    if (holds(flags, layer.columns[c])) layer.typical[c].emplace<bool>(false);
  }
}

nlohmann::ordered_json unit_json(const ToldUnit& unit) {
  return {{"factor", unit.factor}, {"name", unit.name}, {"decimals", unit.decimals}};
}

nlohmann::ordered_json findings_json(const Findings& findings) {
  nlohmann::ordered_json list = nlohmann::ordered_json::array();
  for (const Finding& f : findings) {
    nlohmann::ordered_json where;
    where["id"] = f.where.id;
    where["lat"] = f.where.has_position ? rounded(f.where.lat_deg, 7) : nlohmann::ordered_json(nullptr);
    where["lon"] = f.where.has_position ? rounded(f.where.lon_deg, 7) : nlohmann::ordered_json(nullptr);
    list.push_back({{"code", f.code}, {"severity", to_string(f.severity)}, {"where", where}, {"text", f.text}});
  }
  return list;
}

std::string printed(const nlohmann::ordered_json& json) {
  return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + '\n';
}

std::string way_title(airfield::LineKind kind, const std::string& name) {
  using airfield::LineKind;
  switch (kind) {
    case LineKind::taxiway:
      return name.empty() ? "Unnamed taxiway" : "Taxiway " + name;
    case LineKind::taxilane:
      return name.empty() ? "Unnamed taxilane" : "Taxilane " + name;
    case LineKind::stand_line:
      return name.empty() ? "Stand line" : "Stand line " + name;
    case LineKind::runway:
      return name.empty() ? "Unnamed runway" : "Runway " + name;
    case LineKind::connector:
      return "Connector (not drawn in the map)";
  }
  return name;
}

}  // namespace solotaxi::report
