// A plan or a route as one HTML page that a pilot reads in a minute: what to do, a map, the profile, the way in words.
//
// The page is one file: style, script and data are in it, nothing is fetched (a Content-Security-Policy forbids it), and it
// may be opened from a disk. Map, profile and words are there without the script too; the script moves the map, links map
// and profile, and sets labels. It prints on one A4 sheet; what finds no room there is said on it. Dark and light; speeds
// are in knots in either units. Names are escaped: a map may hold anything.
//
// Size: some 120 KB and 25 bytes a metre of way and 30 a vertex of the field near it; coordinates are kept to 0.1 m, and
// the way driven to what the eye sees (0.3 % of each scale). Cost: O(samples + network); a few milliseconds.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "solotaxi/report/plan_report.hpp"

namespace solotaxi::report {

/// Another way to tell the plan's from: drawn beside it, with what it would take.
struct PageComparison {
  std::string title;    ///< "Best free route"
  std::string by;       ///< designators in order: "M, F, A"
  std::string engines;  ///< running set: "left", "all"
  double length_m = 0.0, time_s = 0.0, fuel_kg = 0.0;
  std::vector<std::vector<routing::RoutePoint>> geometry;
};

/// What a page may say besides; nothing of it need be given.
struct PageExtras {
  std::vector<std::string> warnings;  ///< stand at the very top, a sentence each
  std::string heading;                ///< instead of "Taxi plan" or "Taxi route"
  std::string clearance;              ///< as it was given
  std::string understood;             ///< the same in the plainest words
  std::vector<std::string> choices;   ///< what the clearance leaves open, and what was taken
  std::optional<PageComparison> beside;
};

/// The plan that is advised (as `plan_text` tells it), ready to be written to a file. `context.route.network` gives the
/// field around the way; without it the way is drawn alone.
[[nodiscard]] std::string plan_page(const planning::Plan& plan, const PlanContext& context, Units units,
                                    const PageExtras& extras = {});
[[nodiscard]] std::string route_page(const routing::DrivenRoute& driven, const RouteContext& context, Units units,
                                     const PageExtras& extras = {});

}  // namespace solotaxi::report
