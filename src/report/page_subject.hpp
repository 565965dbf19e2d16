// What a page tells of, the same for a plan and a route; and the parts it is put together from.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "measures.hpp"
#include "route_line.hpp"
#include "solotaxi/report/page.hpp"
#include "text_layout.hpp"

namespace solotaxi::report {

/// A stretch on the same engines.
struct PagePhase {
  std::string style;  ///< "one", "start", "all"
  std::string word;   ///< "ONE ENGINE", "START", "EVERY ENGINE"
  std::string engines;
  double from_m = 0.0, to_m = 0.0;
  double time_s = 0.0;
};

/// Something on the way that the map and the profile mark.
struct PagePlace {
  std::string mark;  ///< as Page::Entry::mark: "engine", "hold", "stop", "crossing", "along", "line-up", "toward", "away" …
  std::string text;  ///< a few words
  double at_m = 0.0;
  bool left = false;    ///< of a turn
  std::string watch{};  ///< said among what to watch, where it is not told otherwise
};

struct PageSubject {
  const routing::Route* route = nullptr;
  const motion::Simulation* sim = nullptr;
  double driven_from_m = 0.0;
  RouteContext context;
  Units units = Units::si;
  const PageExtras* extras = nullptr;
  std::vector<PagePhase> phases;         ///< in order of the way; those that stand have no length
  std::vector<PagePlace> places;         ///< ascending
  std::vector<std::string> watch_first;  ///< said at the head of what to watch
  Chained way;
  LocalFrame frame;
};

/// A driven way thinned to what the eye sees: columns of one length, in the page's units; NaN where there is no number.
struct DriveColumns {
  std::vector<double> at_m, time_s, speed_kt, needed, available, fuel, brake_c;
};
[[nodiscard]] DriveColumns drive_columns(const PageSubject& subject);

/// Heights at chainages, and grades between; NaN where unknown.
struct GroundColumns {
  std::vector<double> at_m, height;       ///< page's units
  std::vector<routing::GradeRun> grades;  ///< neighbours that differ by nothing the eye sees are one
};
[[nodiscard]] GroundColumns ground_columns(const PageSubject& subject);

/// Runway uses, turns, stops told and both ends of a route as places; `more` are put among them.
[[nodiscard]] std::vector<PagePlace> route_places(const routing::Route& route, std::vector<PagePlace> more);

/// A place as a person says it: "stand 12", "runway 08L at A2", "stand 3 (551504298)" for "stand:12", "runway:08L@A2",
/// "stand:3#551504298".
[[nodiscard]] std::string place_words(const std::string& place);

[[nodiscard]] std::string map_svg(const PageSubject& subject);
[[nodiscard]] std::string profile_html(const PageSubject& subject, const DriveColumns& drive, const GroundColumns& ground);
/// What the script needs, escaped for a script element.
[[nodiscard]] std::string page_data(const PageSubject& subject, const DriveColumns& drive, const GroundColumns& ground);
/// The page from its parts; `briefing` is the same that the text report is made of.
[[nodiscard]] std::string set_page(const PageSubject& subject, const Page& briefing, const std::string& heading);

}  // namespace solotaxi::report
