#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "common.hpp"
#include "sections.hpp"
#include "solotaxi/report/screen_report.hpp"

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

class Briefing {
 public:
  Briefing(const std::vector<AircraftScreen>& screens, const ScreenContext& context, Units units)
      : screens_(screens), context_(context), in_(units) {}

  std::string text() {
    page_.title("FIELD SCREEN  " + aerodrome_title(*context_.network));
    page_.line("", "Planning aid, not for navigation.");
    page_.blank();
    asked();
    for (const AircraftScreen& s : screens_) {
      summary(s);
      stretches(s);
    }
    page_.heading("HOW TO READ THIS");
    page_.line("  - ",
               "Fuel is the search's; a plan of one pair is driven by simulation besides and differs by some per cent.");
    page_.line("  - ",
               "Forced: the cheapest way on every engine leads over it, and one engine may not drive it although start and "
               "warm-up, or cool-down, would leave it time. Lost: what all plans would save were that stretch passable on "
               "one engine, found by searching anew; stretches do not add up.");
    const Findings findings = screen_findings(screens_, context_);
    page_.line("  - ", fmt::format("{} finding{} on the map {} in the JSON report and the layers.", findings.size(),
                                   findings.size() == 1 ? "" : "s", findings.size() == 1 ? "is" : "are"));
    for (const Finding& f : findings)
      if (f.code == "traffic-without-way") page_.line("  - ", in_.retold(f.text));
    RouteContext route{context_.network, nullptr, nullptr, context_.map_file};
    add_cautions(page_, route);
    return page_.text();
  }

 private:
  void asked() {
    const planning::ScreenRequest& request = *context_.request;
    std::string what = "every stand against every runway end, out and in";
    if (request.plan.queue_s > 0) what += ", queue of " + duration(request.plan.queue_s) + " before line-up";
    page_.item("Asked for", what);
    page_.item("Traffic",
               request.traffic.empty()
                   ? fmt::format("{} movements a year, assumed, shared alike by all pairs with a way",
                                 number(request.movements_a_year, 0))
                   : fmt::format("{} movements a year, as told by pair", number(screens_.front().now.movements, 0)));
    RouteContext route{context_.network, nullptr, screens_.front().conditions, context_.map_file};
    add_conditions(page_, route);
    std::string rules, changes;
    for (const planning::Rule& rule : request.plan.rules) rules += (rules.empty() ? "" : ", ") + rule.text;
    if (!rules.empty()) page_.item("Rules", rules);
    for (const planning::Change& c : request.changes)
      changes += (changes.empty() ? "" : "; ") + in_.retold(change_words(c));
    if (!changes.empty()) page_.item("What if", changes);
  }

  void row(const std::string& what, const Screen& now, const std::optional<Screen>& changed,
           const std::function<std::string(const Screen&)>& told) {
    std::vector<Page::Cell> cells{{"  " + what, 42}, {told(now), -18}};
    if (changed) cells.push_back({told(*changed), -18});
    page_.row(cells);
  }

  void summary(const AircraftScreen& s) {
    page_.heading(fmt::format("{}, {}", printable(s.aircraft->name), in_.mass(s.conditions->mass_kg)));
    if (s.changed) page_.row({{"", 42}, {"as it is", -18}, {"changed", -18}});
    const auto saving = [&](const std::optional<double>& kg) { return kg ? in_.fuel(*kg) : std::string("–"); };
    for (const bool out : {true, false}) {
      const auto share = [out](const Screen& screen) -> const ScreenShare& {
        return out ? screen.departures : screen.arrivals;
      };
      page_.line("  ", out ? "Departures" : "Arrivals");
      row("  stands with a way", s.now, s.changed, [&](const Screen& x) { return std::to_string(share(x).stands); });
      row("  of them, some plan on one engine", s.now, s.changed,
          [&](const Screen& x) { return of(share(x).stands_with_one, share(x).stands); });
      row("  pairs of stand and runway end", s.now, s.changed,
          [&](const Screen& x) { return std::to_string(share(x).pairs); });
      row("  of them, a plan on one engine", s.now, s.changed,
          [&](const Screen& x) { return of(share(x).pairs_with_one, share(x).pairs); });
      row("  mean saving of those", s.now, s.changed, [&](const Screen& x) { return saving(share(x).mean_saving_kg); });
      row("  median saving of those", s.now, s.changed, [&](const Screen& x) { return saving(share(x).median_saving_kg); });
    }
    page_.line("  ", "A year, by movements");
    row("  fuel on every engine", s.now, s.changed, [&](const Screen& x) { return in_.mass(x.fuel_kg); });
    row("  saved where a plan on one engine saves", s.now, s.changed,
        [&](const Screen& x) { return in_.mass(x.saving_kg); });
  }

  void stretches(const AircraftScreen& s) {
    if (s.now.stretches.empty() && (!s.changed || s.changed->stretches.empty())) {
      page_.blank();
      page_.line("  ", "No segment forces every engine where one would be of use.");
      return;
    }
    table("SEGMENTS WORTH MENDING", s.now);
    if (s.changed) table("SEGMENTS WORTH MENDING, CHANGED", *s.changed);
  }

  void table(const std::string& heading, const Screen& screen) {
    page_.heading(heading);
    if (screen.stretches.empty()) return page_.line("  ", "None forces every engine any more.");
    page_.line("  ", "A year: movements forced to run every engine, and fuel lost because of it.");
    page_.row({{"  where", 17}, {"length", -7}, {"forced", -9}, {"lost", -14}, {"  why", 33}});
    for (std::size_t i = 0; i < std::min(kShown, screen.stretches.size()); ++i) {
      const ScreenStretch& stretch = screen.stretches[i];
      const std::string why = fmt::format("{}", fmt::join(motion::words(stretch.reasons), ", "));
      page_.row({{"  " + printable(stretch.name), 17},
                 {in_.length(stretch.length_m), -7},
                 {number(stretch.forced_movements, 0), -9},
                 {stretch.lost_kg ? in_.mass(*stretch.lost_kg) : "not searched", -14},
                 {"  " + why, 33}});
    }
    if (screen.stretches.size() > kShown)
      page_.line("  ", fmt::format("{} more are in the JSON report.", screen.stretches.size() - kShown));
  }

  const std::vector<AircraftScreen>& screens_;
  const ScreenContext& context_;
  Measures in_;
  Page page_;
};

}  // namespace

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
  return Briefing(screens, context, units).text();
}

}  // namespace solotaxi::report
