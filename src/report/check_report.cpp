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

/// Shares of the length whose grade is known to a standard deviation under each limit, 0–1.
constexpr std::array kGradeLimits{0.002, 0.005, 0.010};
std::array<double, kGradeLimits.size()> grade_shares(const network::Network& network) {
  std::array<double, kGradeLimits.size()> share{};
  double all = 0.0;
  for (const network::Segment& segment : network.segments)
    for (std::size_t k = 0; k + 1 < segment.profile.size(); ++k) {
      const double length = segment.profile[k + 1].at_m - segment.profile[k].at_m;
      all += length;
      if (!std::isfinite(segment.profile[k].height_m) || !std::isfinite(segment.profile[k + 1].height_m)) continue;
      for (std::size_t i = 0; i < share.size(); ++i)
        if (segment.grade_sd[k] < kGradeLimits[i]) share[i] += length;
    }
  for (double& s : share) s = all > 0.0 ? s / all : 0.0;
  return share;
}

const char* datum_word(terrain::VerticalDatum::Kind kind) {
  using Kind = terrain::VerticalDatum::Kind;
  return kind == Kind::geoid ? "geoid" : kind == Kind::ellipsoid ? "ellipsoid" : "unstated";
}

std::string source_words(const terrain::SourceFit& s) {
  std::string text =
      fmt::format("{} ({}): {} heights", s.name, terrain::to_string(s.kind), number(static_cast<double>(s.readings), 0));
  if (s.left_out > 0) text += fmt::format(", {} of them left out", number(static_cast<double>(s.left_out), 0));
  if (s.readings > s.left_out)
    text += fmt::format("; {} off the estimated ground, {} declared", with_unit(s.residual_rms_m, 2, "m"),
                        with_unit(s.declared_sigma_m, 2, "m"));
  if (s.moved_by_m != 0.0) text += fmt::format("; moved by {}", with_unit(s.moved_by_m, 1, "m"));
  return text;
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
  if (!network.height_sources.empty()) {
    const auto shares = grade_shares(network);
    page.item("Grades",
              fmt::format("standard deviation under 0.2 % over {} of the way, under 0.5 % over {}, under 1.0 % over {}",
                          with_unit(shares[0] * 100.0, 0, "%"), with_unit(shares[1] * 100.0, 0, "%"),
                          with_unit(shares[2] * 100.0, 0, "%")));
    for (const terrain::SourceFit& s : network.height_sources) page.item("Source", source_words(s));
  }

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
  const auto shares = grade_shares(network);
  json["grade_sd_share"] = {{"under_0_2_pct", rounded(shares[0], 4)},
                            {"under_0_5_pct", rounded(shares[1], 4)},
                            {"under_1_0_pct", rounded(shares[2], 4)}};
  json["height_sources"] = Json::array();
  for (const terrain::SourceFit& s : network.height_sources)
    json["height_sources"].push_back({{"name", s.name},
                                      {"kind", terrain::to_string(s.kind)},
                                      {"vertical_datum", datum_word(s.datum.kind)},
                                      {"heights", s.readings},
                                      {"left_out", s.left_out},
                                      {"declared_sigma_m", rounded(s.declared_sigma_m, 3)},
                                      {"residual_rms_m", rounded(s.residual_rms_m, 3)},
                                      {"moved_by_m", rounded(s.moved_by_m, 3)}});
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
