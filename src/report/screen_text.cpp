#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "common.hpp"
#include "screen_parts.hpp"
#include "sections.hpp"

namespace solotaxi::report {
namespace {

using planning::Screen;
using planning::ScreenShare;
using planning::ScreenStretch;

constexpr std::size_t kShown = 12;  // stretches in the table

std::string of(std::size_t part, std::size_t whole) {
  return whole == 0 ? "none"
                    : fmt::format("{} ({:.0f} %)", part, 100.0 * static_cast<double>(part) / static_cast<double>(whole));
}

void add_row(Page& page, const std::string& what, const AircraftScreen& s,
             const std::function<std::string(const Screen&)>& told) {
  std::vector<Page::Cell> cells{{"  " + what, 42}, {told(s.now), -18}};
  if (s.changed) cells.push_back({told(*s.changed), -18});
  page.row(cells);
}

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

}  // namespace

void ScreenSum::add(const planning::ScreenPair& pair) {
  if (!pair.reference) return;
  ++ways;
  movements += pair.movements;
  if (!pair.one) return;
  ++ones;
  saving_kg += *pair.saving_kg();
}

std::optional<double> ScreenSum::mean_saving_kg() const {
  return ones > 0 ? std::optional(saving_kg / static_cast<double>(ones)) : std::nullopt;
}

std::vector<std::array<ScreenSum, 2>> stand_sums(const Screen& screen, std::size_t stands) {
  std::vector<std::array<ScreenSum, 2>> out(stands);
  for (const planning::ScreenPair& p : screen.pairs)
    out[static_cast<std::size_t>(p.move.stand)][side_of(p.move.direction)].add(p);
  return out;
}

std::string lost_words(const ScreenStretch& stretch, const Measures& in) {
  return stretch.lost_kg ? in.mass(*stretch.lost_kg) : "not searched";
}

std::string aircraft_title(const AircraftScreen& s, const Measures& in) {
  return fmt::format("{}, {}", printable(s.aircraft->name), in.mass(s.conditions->mass_kg));
}

void add_asked(Page& page, const std::vector<AircraftScreen>& screens, const ScreenContext& context, const Measures& in) {
  const planning::ScreenRequest& request = *context.request;
  std::string what = "every stand against every runway end, out and in";
  if (request.plan.queue_s > 0) what += ", queue of " + duration(request.plan.queue_s) + " before line-up";
  page.item("Asked for", what);
  page.item("Traffic", request.traffic.empty()
                           ? fmt::format("{} movements a year, assumed, shared alike by all pairs with a way",
                                         number(request.movements_a_year, 0))
                           : fmt::format("{} movements a year, as told by pair", number(screens.front().now.movements, 0)));
  RouteContext route{context.network, nullptr, screens.front().conditions, context.map_file};
  add_conditions(page, route);
  std::string rules, changes;
  for (const planning::Rule& rule : request.plan.rules) rules += (rules.empty() ? "" : ", ") + rule.text;
  if (!rules.empty()) page.item("Rules", rules);
  for (const planning::Change& c : request.changes) changes += (changes.empty() ? "" : "; ") + in.retold(change_words(c));
  if (!changes.empty()) page.item("What if", changes);
}

void add_summary(Page& page, const AircraftScreen& s, const Measures& in) {
  if (s.changed) page.row({{"", 42}, {"as it is", -18}, {"changed", -18}});
  const auto saving = [&](const std::optional<double>& kg) { return kg ? in.fuel(*kg) : std::string("–"); };
  for (const bool out : {true, false}) {
    const auto share = [out](const Screen& screen) -> const ScreenShare& {
      return out ? screen.departures : screen.arrivals;
    };
    page.line("  ", out ? "Departures" : "Arrivals");
    add_row(page, "  stands with a way", s, [&](const Screen& x) { return std::to_string(share(x).stands); });
    add_row(page, "  of them, some plan on one engine", s,
            [&](const Screen& x) { return of(share(x).stands_with_one, share(x).stands); });
    add_row(page, "  pairs of stand and runway end", s, [&](const Screen& x) { return std::to_string(share(x).pairs); });
    add_row(page, "  of them, a plan on one engine", s,
            [&](const Screen& x) { return of(share(x).pairs_with_one, share(x).pairs); });
    add_row(page, "  mean saving of those", s, [&](const Screen& x) { return saving(share(x).mean_saving_kg); });
    add_row(page, "  median saving of those", s, [&](const Screen& x) { return saving(share(x).median_saving_kg); });
  }
  page.line("  ", "A year, by movements");
  add_row(page, "  fuel on every engine", s, [&](const Screen& x) { return in.mass(x.fuel_kg); });
  add_row(page, "  saved where a plan on one engine saves", s, [&](const Screen& x) { return in.mass(x.saving_kg); });
}

void add_reading(Page& page, const std::vector<AircraftScreen>& screens, const ScreenContext& context, const Measures& in) {
  page.line("  - ",
            "Fuel is the search's; a plan of one pair is driven by simulation besides and differs by some per cent.");
  page.line("  - ",
            "Forced: the cheapest way on every engine leads over it, and one engine may not drive it although start and "
            "warm-up, or cool-down, would leave it time. Lost: what all plans would save were that stretch passable on "
            "one engine, found by searching anew; stretches do not add up.");
  const Findings findings = screen_findings(screens, context);
  page.line("  - ", fmt::format("{} finding{} on the map {} in the JSON report and the layers.", findings.size(),
                                findings.size() == 1 ? "" : "s", findings.size() == 1 ? "is" : "are"));
  for (const Finding& f : findings)
    if (f.code == "traffic-without-way") page.line("  - ", in.retold(f.text));
}

std::string change_words(const planning::Change& change) {
  std::string out;
  const auto add = [&](const std::string& what) { out += (out.empty() ? "" : ", ") + what; };
  if (change.max_grade_pct) add(fmt::format("at most {} % of grade", *change.max_grade_pct));
  if (change.min_radius_m) add(fmt::format("bends of at least {} m", *change.min_radius_m));
  if (change.closed) add(*change.closed ? "closed" : "open");
  return change.name + " " + out;
}

Findings screen_findings(const std::vector<AircraftScreen>& screens, const ScreenContext& context) {
  Findings all = context.findings;
  all.insert(all.end(), context.network->findings.begin(), context.network->findings.end());
  for (const AircraftScreen& s : screens) {
    all.insert(all.end(), s.now.findings.begin(), s.now.findings.end());
    if (s.changed) all.insert(all.end(), s.changed->findings.begin(), s.changed->findings.end());
  }
  return in_order(std::move(all));
}

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
  }
  page.heading("HOW TO READ THIS");
  add_reading(page, screens, context, in);
  add_cautions(page, {context.network, nullptr, nullptr, context.map_file});
  return page.text();
}

}  // namespace solotaxi::report
