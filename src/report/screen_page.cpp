// A screened field as one page.
#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>
#include <utility>

#include "common.hpp"
#include "page_escape.hpp"
#include "page_frame.hpp"
#include "page_words.hpp"
#include "screen_page_parts.hpp"
#include "screen_parts.hpp"
#include "sections.hpp"

namespace solotaxi::report {
namespace {

using Entry = Page::Entry;
using Cells = std::vector<std::string>;

/// A table's row; the first cell heads it and, where it has an attribute, is a button with it.
std::string row(const Cells& cells, const Cells& columns, const std::string& attribute) {
  std::string html = "<tr><th scope=\"row\">";
  html += attribute.empty() ? escaped(cells.front())
                            : fmt::format("<button type=\"button\" {}>{}</button>", attribute, escaped(cells.front()));
  html += "</th>";
  for (std::size_t i = 1; i < cells.size(); ++i)
    html += fmt::format("<td data-column=\"{}\">{}</td>", escaped(columns[i]), escaped(cells[i]));
  return html + "</tr>";
}

std::string head(const std::string& caption, const Cells& columns) {
  std::string html = "<table class=\"ranked\"><caption class=\"aside\">" + escaped(caption) + "</caption><thead><tr>";
  for (const std::string& column : columns) html += "<th scope=\"col\">" + escaped(column) + "</th>";
  return html + "</tr></thead><tbody>";
}

class ScreenPage {
 public:
  ScreenPage(const std::vector<AircraftScreen>& screens, const ScreenContext& context, Units units)
      : screens_(screens), context_(context), in_(units), maps_(screen_maps(screens, context, in_)) {}

  std::string html() const {
    FramedPage page;
    page.kind = "Field screen";
    page.field = aerodrome_title(*context_.network);
    page.title = page.kind + " " + page.field;
    page.sheet = " field";
    page.ends = "<b>" +
                escaped(screens_.size() == 1 ? aircraft_title(screens_.front(), in_)
                                             : std::to_string(screens_.size()) + " aircraft") +
                "</b>, every stand against every runway end";
    page.top = warnings_html(serious());
    page.main = filled(screen_assets.main, [&](std::string_view part) -> std::string {
      if (part == "lead") return lead();
      if (part == "cases") return cases();
      if (part == "line-measures") return measures(false);
      if (part == "stand-measures") return measures(true);
      if (part == "map") return map_in_frame(screen_map_svg(maps_), "field");
      if (part == "legend") return legends();
      if (part == "ranked") return ranked();
      if (part == "routes") return section_html("Standard routes", routes(), true);
      if (part == "rest") return rest();
      throw std::logic_error("the screen's page has a place nobody fills: " + std::string(part));
    });
    const std::string thanks = attribution(*context_.network, context_.map_file);
    page.foot = (thanks.empty() ? "" : "<p>" + escaped(thanks) + "</p>") +
                "<p class=\"paper\">Not on paper, only on the page on a screen: the list of stands.</p>";
    page.data = screen_data(maps_, in_);
    return framed(page, screen_assets);
  }

 private:
  std::vector<std::string> serious() const {
    std::vector<std::string> out;
    for (const Finding& f : screen_findings(screens_, context_))
      if (f.severity == Severity::serious) out.push_back(in_.retold(f.text));
    return out;
  }

  /// Figures of each aircraft, as it is and changed side by side.
  std::string lead() const {
    std::string html;
    for (std::size_t i = 0; i < screens_.size(); ++i) {
      Page page;
      add_summary(page, screens_[i], in_);
      html += fmt::format("<section class=\"figures\" data-aircraft=\"{}\"><h2>{}</h2>{}</section>", i,
                          escaped(aircraft_title(screens_[i], in_)), entries_html(page.entries()));
    }
    return html;
  }

  std::string cases() const {
    std::string html;
    for (std::size_t i = 0; i < maps_.cases.size(); ++i)
      html += fmt::format("<option value=\"{}\">{}</option>", i, escaped(maps_.cases[i].title));
    return html;
  }

  std::string measures(bool stands) const {
    std::string html;
    for (const ScreenMeasure& m : maps_.measures)
      if (m.stands == stands)
        html += fmt::format("<label><input type=\"radio\" name=\"{}\" value=\"{}\"{}>{}</label>",
                            stands ? "stands" : "lines", m.key, html.empty() ? " checked" : "", escaped(m.title));
    return html;
  }

  std::string legends() const {
    std::string html;
    bool shown[] = {true, true};  // the first measure of lines, and of stands
    for (const ScreenMeasure& m : maps_.measures) html += screen_legend(m, std::exchange(shown[m.stands ? 1 : 0], false));
    return html;
  }

  /// Segments worth mending, a table for each case; the script shows that of the case chosen.
  std::string ranked() const {
    const Cells columns{"Where", "Length", "Forced a year", "Lost a year", "Plans gained", "Why"};
    std::string html;
    for (std::size_t i = 0; i < maps_.cases.size(); ++i) {
      const auto& stretches = maps_.cases[i].screen->stretches;
      html += fmt::format("<div data-case=\"{}\">", i);
      if (maps_.cases.size() > 1) html += "<h3>" + escaped(maps_.cases[i].title) + "</h3>";
      if (stretches.empty()) html += std::string("<p>") + kNoneForces + "</p>";
      if (!stretches.empty()) html += head("Segments worth mending, " + maps_.cases[i].title, columns);
      for (std::size_t s = 0; s < stretches.size(); ++s) {
        const planning::ScreenStretch& stretch = stretches[s];
        html += row(
            {fmt::format("{}. {}", s + 1, stretch.name), in_.length(stretch.length_m), number(stretch.forced_movements, 0),
             lost_words(stretch, in_), stretch.lost_kg ? std::to_string(stretch.pairs_gained) : "–",
             fmt::format("{}", fmt::join(motion::words(stretch.reasons), ", "))},
            columns, fmt::format("data-stretch=\"{}\"", s));
      }
      html += std::string(stretches.empty() ? "" : "</tbody></table>") + "</div>";
    }
    return html;
  }

  /// A group's route for each runway end and direction.
  std::string routes() const {
    if (!context_.request->standard_routes) return "";
    const Cells columns{"Group and runway end", "Shared by way of", "Shared", "Stands",
                        "On one engine",        "Extra on average"};
    std::string html;
    for (std::size_t i = 0; i < maps_.cases.size(); ++i) {
      const ScreenCase& c = maps_.cases[i];
      html += fmt::format("<div data-case=\"{}\">", i);
      if (maps_.cases.size() > 1) html += "<h3>" + escaped(c.title) + "</h3>";
      html += "<p>" + escaped(routes_words(*c.screen, in_)) + "</p>" + head("Standard routes, " + c.title, columns);
      for (std::size_t r = 0; r < c.screen->routes.size(); ++r) {
        const planning::StandardRoute& route = c.screen->routes[r];
        const auto extra_kg = mean_extra_kg(route);
        html += row(
            {c.screen->groups[route.group].name + ", " + route_end_words(route, *c.network),
             route.names.empty() ? "–" : fmt::format("{}", fmt::join(route.names, ", ")), in_.length(route.length_m),
             std::to_string(route.stands.size()), std::to_string(route.with_one()), extra_kg ? in_.fuel(*extra_kg) : "–"},
            columns, fmt::format("data-route=\"{}\"", r));
      }
      html += "</tbody></table></div>";
    }
    return html;
  }

  /// Every stand in words, for whoever does not see the map.
  std::string stands() const {
    const Cells columns{"Stand", "Out on one engine", "Saved on average", "In on one engine", "Saved on average"};
    std::string html;
    for (std::size_t i = 0; i < maps_.cases.size(); ++i) {
      const auto& list = context_.network->stands;
      const auto sums = stand_sums(*maps_.cases[i].screen, list.size());
      html += fmt::format("<div data-case=\"{}\">", i);
      if (maps_.cases.size() > 1) html += "<h3>" + escaped(maps_.cases[i].title) + "</h3>";
      html += head("Stands, " + maps_.cases[i].title, columns);
      for (std::size_t s = 0; s < list.size(); ++s) {
        Cells cells{list[s].ref.empty() ? list[s].id : list[s].ref};
        for (const ScreenSum& side : sums[s]) {
          cells.push_back(side.ways == 0 ? "no way" : fmt::format("{} of {}", side.ones, side.ways));
          const auto mean_kg = side.mean_saving_kg();
          cells.push_back(mean_kg ? in_.fuel(*mean_kg) : "–");
        }
        html += row(cells, columns, fmt::format("data-stand=\"{}\"", s));
      }
      html += "</tbody></table></div>";
    }
    return html;
  }

  std::string rest() const {
    Page asked, reading, cautious;
    add_asked(asked, screens_, context_, in_);
    add_reading(reading, screens_, context_, in_);
    for (const std::string& caution : cautions()) cautious.line("  - ", caution);
    std::string html = section_html("Asked for, and with what", entries_html(asked.entries()), true);
    html += section_html("How to read this", entries_html(reading.entries()), true);
    html += section_html("Cautions", entries_html(cautious.entries()), true);
    return html + section_html("Stands", stands(), false);
  }

  const std::vector<AircraftScreen>& screens_;
  const ScreenContext& context_;
  Measures in_;
  ScreenMaps maps_;
};

}  // namespace

std::string screen_page(const std::vector<AircraftScreen>& screens, const ScreenContext& context, Units units) {
  return ScreenPage(screens, context, units).html();
}

}  // namespace solotaxi::report
