// The sections of a briefing on a route, for reports that tell of one.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "measures.hpp"
#include "solotaxi/report/route_report.hpp"
#include "text_layout.hpp"

namespace solotaxi::report {

/// "departure", "arrival", "plain taxi".
[[nodiscard]] std::string direction_words(routing::Direction direction);
/// "left", "2", "1 and 3", "1, 2 and 3".
[[nodiscard]] std::string listed_engines(std::string set);
/// "the left engine", "engine 2", "engines 1 and 3", "every engine".
[[nodiscard]] std::string named_engines(const std::string& set);
/// Of those that drive: "the left engine", "engine 2 alone", "engines 1 and 3", "every engine".
[[nodiscard]] std::string engines_words(const std::string& engines);

/// "can be started from rest", "keep rolling", "needs every engine".
[[nodiscard]] const char* verdict_words(motion::Verdict verdict);

/// Everything `route_text` says.
[[nodiscard]] Page route_briefing(const routing::Route& route, const RouteContext& context, Units units);
/// Title, "Planning aid, not for navigation.", from and to.
void add_title(Page& page, const std::string& title, const routing::Route& route, const RouteContext& context);
void add_aircraft(Page& page, const RouteContext& context, const Measures& in);
void add_conditions(Page& page, const RouteContext& context);
/// Something told in THE WAY besides the route's own.
struct WayEvent {
  std::string text;
  const char* mark = "engine";  ///< as Page::Entry::mark
};
/// THE WAY step by step, with further events told at their chainage [m].
void add_way(Page& page, const routing::Route& route, const RouteContext& context, Units units,
             const std::multimap<double, WayEvent>& events);
void add_runways(Page& page, const routing::Route& route, const RouteContext& context, Units units);
/// WORTH KNOWING: what is more than a note, and how many notes there are.
void add_findings(Page& page, const Findings& findings, const Measures& in);
/// What to ask before engines are left off: the conditions in which they commonly are not.
[[nodiscard]] std::vector<std::string> condition_questions(const RouteContext& context);
/// CAUTIONS, and the line the map's licence asks for.
void add_cautions(Page& page, const RouteContext& context);

}  // namespace solotaxi::report
