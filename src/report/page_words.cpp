#include "page_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "common.hpp"
#include "page_escape.hpp"
#include "sections.hpp"

namespace solotaxi::report {
namespace {

using Kind = Page::Kind;
using Entry = Page::Entry;

/// Of places on paper: what is told though room is short. Steps and what concerns engines and runways before mere turns.
int weight(const Entry& entry) {
  if (entry.mark == "away" || entry.mark == "turn") return 0;
  if (entry.mark == "standing" || entry.mark == "push-back" || entry.mark == "exit") return 1;
  return 2;
}

bool numbered(const Entry& entry) { return entry.first.find_first_of("0123456789") != std::string::npos; }

/// A place as a button: the script goes there.
std::string place_html(const Entry& entry, bool printed) {
  std::string number;
  if (numbered(entry))
    for (const char c : entry.first)
      if (c != ' ') number += c;
  return fmt::format("<li class=\"{}{}{}\"><button type=\"button\" data-at=\"{}\">{}{}</button></li>",
                     number.empty() ? "event " : "step ", escaped(entry.mark), printed ? "" : " screen",
                     short_number(*entry.at_m, 1), number.empty() ? "" : "<b>" + number + "</b> ", escaped(entry.text));
}

bool is_head(const Entry& row) { return !row.cells.empty() && row.cells.front().text.empty(); }

/// A row of a table; its cells carry their columns' names, for screens too narrow for columns.
std::string row_html(const Entry& row, const Entry* head) {
  std::string html = "<tr>";
  for (std::size_t i = 0; i < row.cells.size(); ++i) {
    const std::string text = escaped(row.cells[i].text);
    if (is_head(row))
      html += "<th scope=\"col\">" + text + "</th>";
    else if (i == 0)
      html += "<th scope=\"row\">" + text + "</th>";
    else
      html += fmt::format("<td data-column=\"{}\">{}</td>",
                          head != nullptr && i < head->cells.size() ? escaped(head->cells[i].text) : "", text);
  }
  return html + "</tr>";
}

const char* opening(Kind kind, bool place) {
  return place ? "<ol class=\"places\">" : kind == Kind::item ? "<dl>" : kind == Kind::row ? "<table>" : "<ul>";
}
const char* closing(Kind kind, bool place) {
  return place ? "</ol>" : kind == Kind::item ? "</dl>" : kind == Kind::row ? "</table>" : "</ul>";
}

/// Indices of places that stay on paper when only so many may.
std::vector<bool> kept(const std::vector<Entry>& entries, std::size_t on_paper) {
  std::vector<std::size_t> order(entries.size());
  std::iota(order.begin(), order.end(), 0U);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return weight(entries[a]) > weight(entries[b]); });
  std::vector<bool> keep(entries.size(), false);
  for (std::size_t i = 0; i < std::min(on_paper, order.size()); ++i) keep[order[i]] = true;
  return keep;
}

/// A leg that is to be kept rolling for nothing but a turn toward the running engine, which is told itself.
bool told_by_turn(const routing::Route& route, const routing::Leg& leg) {
  motion::Reasons turn_alone;
  turn_alone.add(motion::Reason::turn);
  if (leg.place.verdict != motion::Verdict::rolling || !(leg.place.reasons == turn_alone)) return false;
  constexpr double kNear_m = 1.0;
  return std::any_of(route.turns.begin(), route.turns.end(), [&](const routing::Turn& t) {
    return t.toward_running && *t.toward_running && t.place.verdict == motion::Verdict::rolling &&
           t.at_m >= leg.from_m - kNear_m && t.at_m <= leg.from_m + leg.length_m + kNear_m;
  });
}

}  // namespace

std::string sentence(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z')
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  return text;
}

std::vector<Section> sections_of(const Page& page) {
  std::vector<Section> sections(1);
  for (const Entry& entry : page.entries()) {
    if (entry.kind == Kind::heading)
      sections.push_back({entry.text, {}});
    else
      sections.back().entries.push_back(entry);
  }
  return sections;
}

std::string entries_html(const std::vector<Entry>& entries, std::size_t on_paper) {
  const std::vector<bool> printed = kept(entries, on_paper);
  std::string html;
  const Entry *open = nullptr, *head = nullptr;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const Entry& entry = entries[i];
    if (entry.kind == Kind::blank || entry.kind == Kind::title || entry.kind == Kind::heading) continue;
    const bool place = entry.at_m.has_value();
    if (open == nullptr || open->kind != entry.kind || open->at_m.has_value() != place) {
      if (open != nullptr) html += closing(open->kind, open->at_m.has_value());
      html += opening(entry.kind, place);
    }
    open = &entry;
    if (entry.kind == Kind::row && is_head(entry)) head = &entry;
    if (place)
      html += place_html(entry, printed[i]);
    else if (entry.kind == Kind::item)
      html += fmt::format("<div><dt>{}</dt><dd>{}</dd></div>", escaped(entry.first), escaped(entry.text));
    else if (entry.kind == Kind::row)
      html += row_html(entry, head);
    else
      html += fmt::format("<li>{}</li>", escaped(entry.text));
  }
  if (open != nullptr) html += closing(open->kind, open->at_m.has_value());
  return html;
}

std::vector<Entry> watch_list(const PageSubject& subject) {
  const Measures in(subject.units);
  const routing::Route& route = *subject.route;
  Page list;
  const auto add = [&](double at_m, const std::string& text, const std::string& mark) {
    list.place("", fmt::format("{}: {}", in.length(at_m), text), at_m, mark);
  };
  const auto every_engine_runs = [&](double at_m) {
    return std::any_of(subject.phases.begin(), subject.phases.end(), [&](const PagePhase& p) {
      return p.style == "all" && at_m >= p.from_m && (at_m < p.to_m || p.to_m >= route.length_m);
    });
  };
  for (const PagePlace& place : subject.places)
    if (place.mark == "engine" || !place.watch.empty())
      add(place.at_m, place.watch.empty() ? place.text : place.watch, place.mark);
  for (const routing::RunwayUse& use : route.runway_uses) {
    if (use.kind == routing::RunwayUse::Kind::exit) continue;
    const std::string hold = std::isnan(use.hold_at_m) ? "no holding position is known"
                                                       : fmt::format("hold short{}{} at {}", use.hold.empty() ? "" : " at ",
                                                                     use.hold, in.length(use.hold_at_m));
    const std::string runway = "runway " + use.runway;
    add(use.at_m,
        (use.kind == routing::RunwayUse::Kind::crossing  ? "cross " + runway
         : use.kind == routing::RunwayUse::Kind::line_up ? "enter " + runway
                                                         : "along " + runway + " for " + in.length(use.length_m)) +
            "; " + hold,
        routing::to_string(use.kind));
  }
  for (const routing::Turn& turn : route.turns)
    if (turn.toward_running && *turn.toward_running && !every_engine_runs(turn.at_m))
      add(turn.at_m,
          fmt::format("{} turn toward the running engine{}{}", turn.angle_rad < 0 ? "left" : "right",
                      std::isfinite(turn.thrust_factor) ? ", " + number(turn.thrust_factor, 2) + " × thrust" : "",
                      turn.place.verdict == motion::Verdict::rolling ? ", do not stop in it" : ""),
          "toward");
  for (const routing::Leg& leg : route.legs) {
    if (leg.push_back || leg.place.verdict == motion::Verdict::standing) continue;
    // Where every engine runs anyway only what not even they can do is to be watched.
    if (every_engine_runs(leg.from_m) && leg.place.verdict != motion::Verdict::blocked) continue;
    if (told_by_turn(route, leg)) continue;
    add(leg.from_m,
        fmt::format("{} for {}{} ({})", verdict_words(leg.place.verdict), in.length(leg.length_m),
                    leg.name.empty() ? "" : " on " + leg.name, fmt::join(motion::words(leg.place.reasons), ", ")),
        motion::to_string(leg.place.verdict));
  }
  std::vector<Entry> entries = list.entries();
  std::stable_sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) { return *a.at_m < *b.at_m; });
  return entries;
}

double Paper::lines(const std::vector<Entry>& entries) {
  constexpr double kLetters = 44.0;  // of a printed line, in a wide typeface
  double lines = 0.0;
  for (const Entry& entry : entries)
    if (entry.kind == Kind::row)
      lines += 1.2;
    else if (entry.kind != Kind::blank)
      lines += std::ceil(static_cast<double>(display_width(entry.first) + display_width(entry.text) + 2) / kLetters) + 0.2;
  return lines;
}

void Paper::take_wide(const std::string& text) {
  constexpr double kLetters = 135.0, kColumns = 3.0;
  left_ -= kColumns * std::ceil(static_cast<double>(display_width(text)) / kLetters);
}

std::size_t Paper::fitting(const std::vector<Entry>& entries) const {
  std::vector<Entry> order = entries;
  std::stable_sort(order.begin(), order.end(), [](const Entry& a, const Entry& b) { return weight(a) > weight(b); });
  double room = left_ - kHeading;
  std::size_t count = 0;
  for (const Entry& entry : order) {
    room -= lines({entry});
    if (room < 0.0) break;
    ++count;
  }
  return count;
}

}  // namespace solotaxi::report
