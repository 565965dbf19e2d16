// What was read and built: text and JSON; keys as in data/schema/check.schema.json.
#include "solotaxi/report/check_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <nlohmann/json.hpp>

#include "common.hpp"
#include "text_layout.hpp"

namespace solotaxi::report {
namespace {

using airfield::LineKind;
using Json = nlohmann::ordered_json;

constexpr std::array kKinds{LineKind::taxiway, LineKind::taxilane, LineKind::stand_line, LineKind::runway,
                            LineKind::connector};

double length_of(const network::Network& network, LineKind kind) {
  double sum = 0.0;
  for (const network::Segment& segment : network.segments) sum += segment.kind == kind ? segment.length_m : 0.0;
  return sum;
}

std::size_t assumed_holds(const network::Network& network) {
  return static_cast<std::size_t>(std::count_if(network.holding_points.begin(), network.holding_points.end(),
                                                [](const network::HoldingPoint& h) { return h.assumed; }));
}

std::size_t approximate_stands(const network::Network& network) {
  return static_cast<std::size_t>(
      std::count_if(network.stands.begin(), network.stands.end(), [](const network::Stand& s) { return s.approximate; }));
}

/// Share of the taxiable length whose height is known, 0–1.
double height_share(const network::Network& network) {
  double known = 0.0, all = 0.0;
  for (const network::Segment& segment : network.segments)
    for (std::size_t k = 0; k + 1 < segment.profile.size(); ++k) {
      const double length = segment.profile[k + 1].at_m - segment.profile[k].at_m;
      all += length;
      if (std::isfinite(segment.profile[k].height_m) && std::isfinite(segment.profile[k + 1].height_m)) known += length;
    }
  return all > 0.0 ? known / all : 0.0;
}

std::string entries_words(const network::Runway& runway) {
  std::vector<std::string> names;
  for (const network::RunwayEntry& entry : runway.entries)
    for (const std::string& name : entry.names)
      if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
  std::string text = fmt::format("joined at {} place{}", runway.entries.size(), runway.entries.size() == 1 ? "" : "s");
  if (!names.empty()) text += fmt::format(" by {}", fmt::join(names, ", "));
  return text;
}

}  // namespace

std::string check_text(const network::Network& network) {
  Page page;
  page.title("FIELD CHECK  " + aerodrome_title(network));
  page.line("", "Planning aid, not for navigation.");

  page.heading("READ AND BUILT");
  page.item("Lines", fmt::format("{} centrelines of the map", number(static_cast<double>(network.centrelines), 0)));
  page.item("Network", fmt::format("{} segments, {} nodes, {} movements, in {} connected part{}",
                                   number(static_cast<double>(network.segments.size()), 0),
                                   number(static_cast<double>(network.nodes.size()), 0),
                                   number(static_cast<double>(network.movements.size()), 0), network.components,
                                   network.components == 1 ? "" : "s"));
  const std::size_t gates = approximate_stands(network), holds = network.holding_points.size(),
                    assumed = assumed_holds(network);
  page.item("Stands", fmt::format("{}{}", network.stands.size(),
                                  gates > 0 ? fmt::format(", {} of them only guessed from gates", gates) : ""));
  page.item("Holding",
            fmt::format("{} holding positions{}", holds, assumed > 0 ? fmt::format(", {} of them assumed", assumed) : ""));
  page.item("Heights", fmt::format("known over {} % of the way", number(height_share(network) * 100.0, 0)));

  page.heading("LENGTHS");
  double total = 0.0;
  for (const LineKind kind : kKinds) {
    const double length = length_of(network, kind);
    total += length;
    if (length > 0.0)
      page.item(kind == LineKind::taxiway      ? "Taxiways"
                : kind == LineKind::taxilane   ? "Taxilanes"
                : kind == LineKind::stand_line ? "Stand lines"
                : kind == LineKind::runway     ? "Runways"
                                               : "Connectors",
                number(length, 0) + " m");
  }
  page.item("Total", number(total, 0) + " m");

  page.heading("RUNWAYS");
  for (const network::Runway& runway : network.runways)
    page.line("  - ", fmt::format("{}: {} m, {}{}", runway.name, number(runway.length_m, 0), entries_words(runway),
                                  runway.closed ? ", CLOSED" : ""));

  const Findings findings = in_order(network.findings);
  page.heading(fmt::format("FINDINGS: {} serious, {} caution, {} note", count(findings, Severity::serious),
                           count(findings, Severity::caution), count(findings, Severity::note)));
  if (findings.empty()) page.line("  ", "None.");
  for (const Finding& f : findings) {
    const std::string place = f.where.has_position ? fmt::format(" [{:.6f},{:.6f}]", f.where.lat_deg, f.where.lon_deg) : "";
    page.line("  - ", fmt::format("{} {}{}{}: {}", to_string(f.severity), f.code,
                                  f.where.id.empty() ? "" : " " + f.where.id, place, f.text));
  }

  page.heading("CAUTIONS");
  for (const std::string& caution : cautions()) page.line("  - ", caution);
  const std::string thanks = attribution(network, "");
  if (!thanks.empty()) {
    page.blank();
    page.line("", thanks);
  }
  return page.text();
}

std::string check_json(const network::Network& network) {
  Json json;
  json["aerodrome"] = {{"name", network.name}, {"ident", network.ident}};
  json["counts"] = {{"centrelines", network.centrelines},
                    {"segments", network.segments.size()},
                    {"nodes", network.nodes.size()},
                    {"movements", network.movements.size()},
                    {"runways", network.runways.size()},
                    {"stands", network.stands.size()},
                    {"stands_approximate", approximate_stands(network)},
                    {"holding_positions", network.holding_points.size()},
                    {"holding_positions_assumed", assumed_holds(network)},
                    {"components", network.components}};
  Json lengths;
  double total = 0.0;
  for (const LineKind kind : kKinds) {
    const double length = length_of(network, kind);
    total += length;
    lengths[airfield::to_string(kind)] = rounded(length, 1);
  }
  lengths["total"] = rounded(total, 1);
  json["length_m"] = lengths;
  json["height_known_share"] = rounded(height_share(network), 4);
  json["runways"] = Json::array();
  for (const network::Runway& runway : network.runways) {
    Json entries = Json::array();
    for (const network::RunwayEntry& entry : runway.entries)
      entries.push_back({{"at_m", rounded(entry.at_m, 1)}, {"names", entry.names}});
    json["runways"].push_back({{"id", runway.id},
                               {"name", runway.name},
                               {"length_m", rounded(runway.length_m, 1)},
                               {"closed", runway.closed},
                               {"entries", entries}});
  }
  json["findings"] = findings_json(in_order(network.findings));
  json["cautions"] = cautions();
  const std::string thanks = attribution(network, "");
  json["attribution"] = thanks.empty() ? Json(nullptr) : Json(thanks);
  return printed(json);
}

}  // namespace solotaxi::report
