#include <fmt/format.h>

#include <algorithm>

#include "common.hpp"
#include "screen_parts.hpp"
#include "sections.hpp"

namespace solotaxi::report {
namespace {

using planning::Screen;
using planning::ScreenStretch;

constexpr std::size_t kShown = 12;  // stretches in the table

void add_table(Page& page, const std::string& heading, const Screen& screen, const Measures& in) {
  page.heading(heading);
  if (screen.stretches.empty()) return page.line("  ", "None forces every engine any more.");
  page.line("  ", "A year: movements forced to run every engine, and fuel lost because of it.");
  page.row({{"  where", 17}, {"length", -7}, {"forced", -9}, {"lost", -14}, {"  why", 33}});
  for (std::size_t i = 0; i < std::min(kShown, screen.stretches.size()); ++i) {
    const ScreenStretch& stretch = screen.stretches[i];
    page.row({{"  " + printable(stretch.name), 17},
              {in.length(stretch.length_m), -7},
              {number(stretch.forced_movements, 0), -9},
              {lost_words(stretch, in), -14},
              {"  " + fmt::format("{}", fmt::join(motion::words(stretch.reasons), ", ")), 33}});
  }
  if (screen.stretches.size() > kShown)
    page.line("  ", fmt::format("{} more are in the JSON report.", screen.stretches.size() - kShown));
}

void add_stretches(Page& page, const AircraftScreen& s, const Measures& in) {
  if (s.now.stretches.empty() && (!s.changed || s.changed->stretches.empty())) {
    page.blank();
    page.line("  ", kNoneForces);
    return;
  }
  add_table(page, "SEGMENTS WORTH MENDING", s.now, in);
  if (s.changed) add_table(page, "SEGMENTS WORTH MENDING, CHANGED", *s.changed, in);
}

void add_routes(Page& page, const std::string& heading, const Screen& screen, const network::Network& net,
                const Measures& in) {
  page.heading(heading);
  page.line("  ", routes_words(screen, in));
  page.row({{"  group", 20}, {"for", 10}, {"  shared by way of", 24}, {"stands", -7}, {"one eng.", -9}, {"extra", -10}});
  for (const planning::StandardRoute& r : screen.routes) {
    const auto extra_kg = mean_extra_kg(r);
    page.row({{"  " + fitted(printable(screen.groups[r.group].name), 17), 20},
              {route_end_words(r, net), 10},
              {"  " + (r.names.empty() ? "–" : printable(fmt::format("{}", fmt::join(r.names, ", ")))), 24},
              {std::to_string(r.stands.size()), -7},
              {std::to_string(r.with_one()), -9},
              {extra_kg ? in.fuel(*extra_kg) : "–", -10}});
  }
}

}  // namespace

std::string screen_text(const std::vector<AircraftScreen>& screens, const ScreenContext& context, Units units) {
  const Measures in(units);
  Page page;
  page.title("FIELD SCREEN  " + aerodrome_title(*context.network));
  page.line("", "Planning aid, not for navigation.");
  page.blank();
  add_asked(page, screens, context, in);
  for (const AircraftScreen& s : screens) {
    page.heading(aircraft_title(s, in));
    add_summary(page, s, in);
    add_stretches(page, s, in);
    if (!s.now.routes.empty()) add_routes(page, "STANDARD ROUTES", s.now, network_screened(context, false), in);
    if (s.changed && !s.changed->routes.empty())
      add_routes(page, "STANDARD ROUTES, CHANGED", *s.changed, network_screened(context, true), in);
  }
  page.heading("HOW TO READ THIS");
  add_reading(page, screens, context, in);
  add_cautions(page, {context.network, nullptr, nullptr, context.map_file});
  return page.text();
}

}  // namespace solotaxi::report
