#include "screen_parts.hpp"

#include <fmt/format.h>

#include <functional>
#include <set>
#include <tuple>

#include "common.hpp"
#include "sections.hpp"

namespace solotaxi::report {
namespace {

using planning::Screen;
using planning::ScreenShare;
using planning::ScreenStretch;

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

}  // namespace

std::string route_end_words(const planning::StandardRoute& route, const network::Network& net) {
  return (route.direction == routing::Direction::departure ? "out, " : "in, ") +
         net.runways[static_cast<std::size_t>(route.runway)].designators[static_cast<std::size_t>(route.end)];
}

std::optional<double> mean_extra_kg(const planning::StandardRoute& route) {
  double sum = 0.0;
  std::size_t count = 0;
  for (const planning::StandOnRoute& s : route.stands)
    if (s.fuel_kg) sum += s.extra_kg, ++count;
  return count > 0 ? std::optional(sum / static_cast<double>(count)) : std::nullopt;
}

std::string routes_words(const Screen& screen, const Measures& in) {
  double extra_kg = 0.0;
  std::size_t without = 0;
  for (const planning::StandardRoute& r : screen.routes) {
    extra_kg += r.extra_kg();
    for (const planning::StandOnRoute& s : r.stands) without += s.fuel_kg ? 0U : 1U;
  }
  std::string out = fmt::format(
      "All stands of a group share a route from where they merge, or up to where they part. With the ways to them the "
      "routes "
      "take {} of taxiways and taxilanes, the stands' own best plans {}; they cost {} a year more. Extra: on average over "
      "the "
      "stands, against each one's own best plan.",
      in.length(screen.route_lines_m), in.length(screen.own_lines_m), in.mass(extra_kg));
  if (without > 0)
    out += fmt::format(" {} pair{} of stand and runway end can follow none.", without, without == 1 ? "" : "s");
  return out;
}

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
  for (const NewLine& line : new_lines(context))
    changes += fmt::format("{}new: {}, {}", changes.empty() ? "" : "; ", printable(way_title(line.kind, line.name)),
                           in.length(line.length_m));
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
  if (context.request->standard_routes)
    page.line("  - ",
              fmt::format("Standard routes: each line of a tree leads on in one way; drawn stand after stand, groups with "
                          "most movements first, for least fuel and lines, a metre of line taken to be worth {} a year "
                          "(assumed). A heuristic: better ones may exist. Traffic that meets head-on is not looked at.",
                          in.fuel(context.request->trunk_kg_m)));
  const Findings findings = screen_findings(screens, context);
  page.line("  - ", fmt::format("{} finding{} on the map {} in the JSON report and the layers.", findings.size(),
                                findings.size() == 1 ? "" : "s", findings.size() == 1 ? "is" : "are"));
  for (const Finding& f : findings)
    if (f.code == "traffic-without-way" || f.code.starts_with("notam-")) page.line("  - ", in.retold(f.text));
}

std::vector<NewLine> new_lines(const ScreenContext& context) {
  std::vector<NewLine> out;
  for (const std::string& id : context.new_lines) {
    NewLine& line = out.emplace_back();
    line.id = id;
    for (const network::Segment& s : network_screened(context, true).segments) {
      if (s.source_id != id) continue;
      line.name = s.name;
      line.kind = s.kind;
      line.length_m += s.length_m;
    }
  }
  return out;
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
  if (context.changed_network != nullptr) {
    // Of the network with new lines, what is new.
    std::set<std::tuple<std::string, std::string, std::string>> known;
    for (const Finding& f : context.network->findings) known.emplace(f.code, f.where.id, f.text);
    for (Finding f : context.changed_network->findings) {
      if (known.contains({f.code, f.where.id, f.text})) continue;
      f.text = "with the changes: " + f.text;
      all.push_back(std::move(f));
    }
  }
  for (const AircraftScreen& s : screens) {
    all.insert(all.end(), s.now.findings.begin(), s.now.findings.end());
    if (s.changed) all.insert(all.end(), s.changed->findings.begin(), s.changed->findings.end());
  }
  return in_order(std::move(all));
}

}  // namespace solotaxi::report
