// The sections of a briefing that need no step of the way.
#include "sections.hpp"

#include <fmt/format.h>

#include "common.hpp"

namespace solotaxi::report {

std::string direction_words(routing::Direction direction) {
  switch (direction) {
    case routing::Direction::departure:
      return "departure";
    case routing::Direction::arrival:
      return "arrival";
    case routing::Direction::taxi:
      return "plain taxi";
  }
  return "";
}

std::string listed_engines(std::string set) {
  const std::size_t last = set.rfind(',');
  if (last == std::string::npos) return set;
  set.replace(last, 1, " and ");
  for (std::size_t at = 0; (at = set.find(',', at)) != std::string::npos; at += 2) set.replace(at, 1, ", ");
  return set;
}

std::string named_engines(const std::string& set) {
  if (set == "all") return "every engine";
  if (set == "left" || set == "right") return "the " + set + " engine";
  return (set.find(',') == std::string::npos ? "engine " : "engines ") + listed_engines(set);
}

std::string engines_words(const std::string& engines) {
  const bool one_number =
      engines != "all" && engines != "left" && engines != "right" && engines.find(',') == std::string::npos;
  return named_engines(engines) + (one_number ? " alone" : "");
}

const char* verdict_words(motion::Verdict verdict) {
  switch (verdict) {
    case motion::Verdict::standing:
      return "can be started from rest";
    case motion::Verdict::rolling:
      return "keep rolling";
    case motion::Verdict::carried:
      return "carried by speed alone";
    case motion::Verdict::all:
      return "needs every engine";
    case motion::Verdict::blocked:
      return "cannot be taxied";
  }
  return "";
}

void add_title(Page& page, const std::string& title, const routing::Route& route, const RouteContext& context) {
  page.title(context.network != nullptr ? title + "  " + aerodrome_title(*context.network) : title);
  page.line("", "Planning aid, not for navigation.");
  page.blank();
  page.item("From", route.from);
  page.item("To", route.to);
}

void add_aircraft(Page& page, const RouteContext& context, const Measures& in) {
  if (context.aircraft != nullptr && context.conditions != nullptr)
    page.item("Aircraft", fmt::format("{}, {}", context.aircraft->name, in.mass(context.conditions->mass_kg)));
}

void add_conditions(Page& page, const RouteContext& context) {
  if (context.conditions == nullptr) return;
  const motion::Conditions& c = *context.conditions;
  page.item("Conditions",
            fmt::format("{}, {} at the field, {} surface, at most {} N1, {}",
                        with_unit(c.air.temperature_k - 273.15, 0, "°C"), with_unit(c.air.pressure_pa / 100.0, 0, "hPa"),
                        c.surface == motion::Surface::dry   ? "dry"
                        : c.surface == motion::Surface::wet ? "wet"
                                                            : "contaminated",
                        with_unit(c.n1_limit_pct, 0, "%"),
                        c.require == motion::Require::standing ? "every place able to be started from at rest"
                                                               : "every place able to be kept rolling"));
}

void add_findings(Page& page, const Findings& findings, const Measures& in) {
  page.heading("WORTH KNOWING");
  for (const Finding& finding : findings)
    if (finding.severity != Severity::note)
      page.line("  - ", fmt::format("{}{}: {}", to_string(finding.severity),
                                    finding.where.id.empty() ? "" : ", " + finding.where.id, in.retold(finding.text)));
  const std::size_t notes = count(findings, Severity::note);
  if (notes == findings.size()) page.line("  ", "Nothing in the map calls this way in doubt.");
  if (notes > 0)
    page.line("  ", fmt::format("{} note{} on repairs and assumptions {} in the JSON report.", notes, notes == 1 ? "" : "s",
                                notes == 1 ? "is" : "are"));
}

std::vector<std::string> condition_questions(const RouteContext& context) {
  const bool apu_off = context.conditions != nullptr && !context.conditions->apu_on;
  return {"Do the operator's procedures allow it here and today? They come first.",
          "Is any of the way contaminated or slippery (snow, ice, standing water, painted or fresh surfaces)?",
          "Is visibility low, or are low-visibility procedures in force?",
          apu_off ? "Is the bleed of the running engines enough to start the others, and the place behind clear of people, "
                    "vehicles and aircraft while it is raised?"
                  : "Is the auxiliary power unit serviceable, and allowed to run for so long?",
          "Is de-icing to be done on the way, with engines stopped, started or checked there?",
          "Is the aircraft heavy and the way uphill, or a stop on the slope to be expected?",
          "Is the apron congested, with people, equipment or aircraft behind where the aircraft breaks away?"};
}

void add_cautions(Page& page, const RouteContext& context) {
  page.heading("CAUTIONS");
  for (const std::string& caution : cautions()) page.line("  - ", caution);
  if (context.network == nullptr) return;
  const std::string thanks = attribution(*context.network, context.map_file);
  if (thanks.empty()) return;
  page.blank();
  page.line("", thanks);
}

}  // namespace solotaxi::report
