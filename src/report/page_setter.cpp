// The page put together: its frame filled with the words of the briefing, the map and the profile.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "common.hpp"
#include "page_escape.hpp"
#include "page_frame.hpp"
#include "page_subject.hpp"
#include "page_words.hpp"
#include "sections.hpp"

namespace solotaxi::report {
namespace {

using Entry = Page::Entry;

class PageSetter {
 public:
  PageSetter(const PageSubject& subject, const Page& briefing, std::string heading)
      : s_(subject), in_(subject.units), heading_(std::move(heading)), sections_(sections_of(briefing)) {
    sort_words();
  }

  std::string html() {
    const DriveColumns drive = drive_columns(s_);
    const GroundColumns ground = ground_columns(s_);
    const std::string way_html = way(), rest_html = rest();  // before the foot, which says what finds no room on paper
    FramedPage page;
    page.title = heading_ + " " + field() + ": " + place_words(s_.route->from) + " to " + place_words(s_.route->to);
    page.kind = heading_;
    page.field = field();
    page.sheet = sheet_style_;
    page.ends =
        fmt::format("<b>{}</b> <span aria-hidden=\"true\">&#8594;</span><span class=\"aside\"> to </span> <b>{}</b>",
                    escaped(place_words(s_.route->from)), escaped(place_words(s_.route->to)));
    page.top = top();
    page.main = filled(page_assets.main, [&](std::string_view part) -> std::string {
      if (part == "lead") return entries_html(lead_);
      if (part == "watch") return watch_html();
      if (part == "map") return map_in_frame(map_svg(s_), "way");
      if (part == "legend") return legend();
      if (part == "profile") return profile_html(s_, drive, ground);
      if (part == "profile-note") return profile_note();
      if (part == "way") return way_html;
      if (part == "rest") return rest_html;
      throw std::logic_error("the page has a place nobody fills: " + std::string(part));
    });
    page.foot = foot();
    page.data = page_data(s_, drive, ground);
    return framed(page, page_assets);
  }

 private:
  [[nodiscard]] std::string field() const {
    return s_.context.network == nullptr ? "unnamed aerodrome" : aerodrome_title(*s_.context.network);
  }

  /// What a plan says before its first heading is the advice and, behind a blank line, what was asked; a route says its
  /// totals under a heading of their own.
  void sort_words() {
    std::vector<std::vector<Entry>> parts(1);
    for (const Entry& entry : sections_.front().entries) {
      if (entry.kind == Page::Kind::blank) parts.emplace_back();
      if (entry.kind == Page::Kind::item && entry.first != "From" && entry.first != "To") parts.back().push_back(entry);
    }
    std::erase_if(parts, [](const auto& part) { return part.empty(); });
    if (parts.size() > 1) {
      lead_ = parts[0];
      asked_ = parts[1];
    } else if (!parts.empty()) {
      asked_ = parts[0];
    }
    if (lead_.empty())
      for (const char* heading : {"ENGINES", "TOTALS"})
        if (const Section* section = find(heading))
          lead_.insert(lead_.end(), section->entries.begin(), section->entries.end());
    watch_ = watch_list(s_);
  }

  [[nodiscard]] const Section* find(std::string_view heading) const {
    for (const Section& section : sections_)
      if (section.heading == heading) return &section;
    return nullptr;
  }

  std::string top() const {
    std::vector<std::string> sentences = s_.extras->warnings;
    sentences.insert(sentences.end(), s_.watch_first.begin(), s_.watch_first.end());
    std::string html = warnings_html(sentences);
    if (s_.extras->clearance.empty() && s_.extras->choices.empty()) return html;
    html += "<section class=\"cleared\" aria-label=\"Clearance\">";
    if (!s_.extras->clearance.empty()) html += "<p><b>Cleared:</b> " + escaped(s_.extras->clearance) + "</p>";
    if (!s_.extras->understood.empty() && s_.extras->understood != s_.extras->clearance)
      html += "<p><b>Understood:</b> " + escaped(s_.extras->understood) + "</p>";
    if (!s_.extras->choices.empty()) {
      html += "<ul>";
      for (const std::string& choice : s_.extras->choices) html += "<li>" + escaped(choice) + "</li>";
      html += "</ul>";
    }
    return html + "</section>";
  }

  std::string watch_html() const {
    constexpr std::size_t kOnPaper = 9;
    if (watch_.empty()) return "<p>No runway is entered, and no place asks for more than the running engines give.</p>";
    std::string html = entries_html(watch_, kOnPaper);
    if (watch_.size() > kOnPaper)
      html += fmt::format("<p class=\"paper\">and {} more, on the page on a screen</p>", watch_.size() - kOnPaper);
    return html;
  }

  std::string legend() const {
    std::string html = "<ul class=\"legend\" aria-label=\"Signs on map and profile\">";
    const auto line = [&](const char* style, const std::string& text) {
      const bool over = std::string_view(style).ends_with(" all") || std::string_view(style).ends_with(" blocked");
      html += fmt::format(
          "<li><svg viewBox=\"0 0 54 20\" width=\"54\" height=\"20\" aria-hidden=\"true\"><path class=\"{0}\" d=\"M3 "
          "10H51\"/>{1}</svg>{2}</li>",
          style, over ? fmt::format("<path class=\"{} over\" d=\"M3 10H51\"/>", style) : "", text);
    };
    const std::string set = named_engines(s_.route->engines);
    std::vector<bool> seen(5, false);
    for (const routing::Leg& leg : s_.route->legs)
      if (!leg.push_back) seen[static_cast<std::size_t>(leg.place.verdict)] = true;
    const char* const styles[] = {"way standing", "way rolling", "way carried", "way all", "way blocked"};
    const std::string words[] = {escaped(set) + " can start from rest", escaped(set) + ": keep rolling, do not stop",
                                 "carried over by speed alone", "needs every engine", "cannot be taxied"};
    for (std::size_t v = 0; v < seen.size(); ++v)
      if (seen[v]) line(styles[v], words[v]);
    const auto has = [&](const char* style) {
      return std::any_of(s_.phases.begin(), s_.phases.end(),
                         [&](const PagePhase& p) { return p.style == style && p.to_m > p.from_m; });
    };
    if (has("start"))
      html +=
          "<li><svg viewBox=\"0 0 54 20\" width=\"54\" height=\"20\" aria-hidden=\"true\"><path class=\"band start\" "
          "d=\"M3 10H51\"/><path class=\"band start over\" d=\"M3 10H51\"/></svg>engine being started</li>";
    if (has("all")) line("band all", "every engine runs");
    if (std::any_of(s_.places.begin(), s_.places.end(), [](const PagePlace& p) { return p.mark == "toward"; }))
      html +=
          "<li><svg viewBox=\"0 0 54 28\" width=\"54\" height=\"28\" aria-hidden=\"true\"><g class=\"bend toward\" "
          "transform=\"translate(27 14)\"><circle r=\"12\"/><path d=\"M-5 7V1a5 5 0 0 1 5-5h4M1-7.5l4 3.5-4 "
          "3.5\"/></g></svg>turn toward the running engine, with the thrust it asks for</li>";
    if (s_.extras->beside) line("beside", escaped(s_.extras->beside->title));
    return html + "</ul>";
  }

  std::string profile_note() const {
    std::string text = "Shaded about the grade: one standard deviation each way.";
    text += " Thrust: the line is what steady taxi needs, the dashes what the running engines may give.";
    const double driven_s = s_.sim->time_s(), gap = driven_s - s_.route->time_s;
    if (std::abs(gap) > 1.0 || std::abs(s_.sim->fuel_kg() - s_.route->fuel_kg) > 0.5)
      text +=
          fmt::format(" The profile is the way driven step by step ({}, {}); the totals add up steady stretches and turns.",
                      duration(driven_s), in_.fuel(s_.sim->fuel_kg()));
    if (s_.sim->stalled)
      text += fmt::format(" Driven so, it comes to a stand at {}; the profile ends there.",
                          in_.length(s_.driven_from_m + s_.sim->stalled->at_m));
    return escaped(text);
  }

  [[nodiscard]] std::vector<Entry> inputs() const {
    std::vector<Entry> all = asked_;
    for (const Entry& entry : sources()) all.push_back(entry);
    return all;
  }
  [[nodiscard]] std::vector<Entry> caution_lines() const {
    const Section* told = find("CAUTIONS");
    return told == nullptr ? std::vector<Entry>{} : told->entries;
  }

  /// What is left of a sheet for the way.
  [[nodiscard]] Paper room(Paper::Type type) const {
    Paper paper(type);
    for (const std::vector<Entry>& part : {lead_, watch_, questions(), inputs(), caution_lines(), beside_entries()})
      paper.take(part);
    for (const std::vector<std::string>* sentences : {&s_.extras->warnings, &s_.watch_first, &s_.extras->choices})
      for (const std::string& sentence : *sentences) paper.take_wide(sentence);
    if (!s_.extras->clearance.empty()) paper.take_wide(s_.extras->clearance), paper.take_wide(s_.extras->understood);
    return paper;
  }

  /// The way step by step; on paper as much of it as the rest that is printed leaves room for.
  std::string way() {
    const Section* told = find("THE WAY");
    if (told == nullptr) return "";
    std::vector<Entry> steps = told->entries;
    for (Entry& step : steps)
      if (step.mark == "end")
        step.text = fmt::format("at {}: {}, the end of the way", in_.length(*step.at_m), place_words(s_.route->to));
    // Small type rather than steps left out; where even the rest does not fit in small type, more than one sheet.
    std::size_t most = room(Paper::Type::normal).fitting(steps);
    if (most < steps.size()) {
      const Paper paper = room(Paper::Type::small);
      sheet_style_ = paper.full() ? " sheets" : " small";
      most = paper.full() ? steps.size() : paper.fitting(steps);
    }
    steps_left_out_ = steps.size() - most;
    return section_html("The way", entries_html(steps, most), true);
  }

  /// Further sections: those that are printed, then those that are not.
  std::string rest() {
    std::string html;
    html += section_html("To be asked first", entries_html(questions()), true);
    html += section_html("Asked for, and with what", entries_html(inputs()), true);
    html += section_html("Cautions", entries_html(caution_lines()), true);
    html += section_html(s_.extras->beside ? s_.extras->beside->title : "", entries_html(beside_entries()), true);
    for (const Section& other : sections_) {
      const auto is = [&](const char* heading) { return other.heading == heading; };
      if (other.heading.empty() || is("THE WAY") || is("CAUTIONS") || is("TO BE ASKED FIRST") || is("TOTALS")) continue;
      if (is("ENGINES") && find("TOTALS") != nullptr) continue;  // a route's are told above
      html += section_html(sentence_case(other.heading), entries_html(other.entries), false);
      not_printed_ += (not_printed_.empty() ? "" : ", ") + sentence_case(other.heading);
    }
    return html;
  }

  [[nodiscard]] std::vector<Entry> questions() const {
    if (const Section* told = find("TO BE ASKED FIRST")) return told->entries;
    Page list;
    if (s_.route->engines != "all")
      for (const std::string& question : condition_questions(s_.context)) list.line("  - ", question);
    return list.entries();
  }

  [[nodiscard]] std::vector<Entry> sources() const {
    Page list;
    if (!s_.context.map_file.empty()) {
      const std::size_t slash = s_.context.map_file.find_last_of('/');
      list.item("Map", slash == std::string::npos ? s_.context.map_file : s_.context.map_file.substr(slash + 1));
    }
    if (s_.context.network != nullptr) {
      std::string heights;
      for (const terrain::SourceFit& fit : s_.context.network->height_sources)
        heights += (heights.empty() ? "" : ", ") + fit.name;
      list.item("Heights", heights.empty() ? "none known" : heights);
    }
    return list.entries();
  }

  [[nodiscard]] std::vector<Entry> beside_entries() const {
    if (!s_.extras->beside) return {};
    const PageComparison& other = *s_.extras->beside;
    Page list;
    const auto more = [](double value, const std::string& told) { return std::string(value < 0 ? "-" : "+") + told; };
    list.row({{"", 0}, {"this way", 0}, {other.title, 0}, {"difference", 0}});
    const auto row = [&](const char* what, double own, double others, const std::function<std::string(double)>& tell) {
      list.row({{what, 0}, {tell(own), 0}, {tell(others), 0}, {more(own - others, tell(std::abs(own - others))), 0}});
    };
    row("Length", s_.route->length_m, other.length_m, [&](double v) { return in_.length(v); });
    row("Time", s_.route->time_s, other.time_s, [&](double v) { return duration(v); });
    row("Fuel", s_.route->fuel_kg, other.fuel_kg, [&](double v) { return in_.fuel(v); });
    list.line("", fmt::format("By {}, on {}.", other.by.empty() ? "unnamed ways" : other.by, named_engines(other.engines)));
    return list.entries();
  }

  std::string foot() const {
    std::string html;
    const std::string thanks = s_.context.network == nullptr ? "" : attribution(*s_.context.network, s_.context.map_file);
    if (!thanks.empty()) html += "<p>" + escaped(thanks) + "</p>";
    std::string left_out;
    if (steps_left_out_ > 0) left_out = fmt::format("{} lines of the way (turns first)", steps_left_out_);
    if (!not_printed_.empty()) left_out += (left_out.empty() ? "" : "; ") + not_printed_;
    if (!left_out.empty())
      html += "<p class=\"paper\">Not on this sheet, only on the page on a screen: " + escaped(left_out) + ".</p>";
    return html;
  }

  const PageSubject& s_;
  Measures in_;
  std::string heading_;
  std::vector<Section> sections_;
  std::vector<Entry> lead_, asked_, watch_;
  std::size_t steps_left_out_ = 0;
  std::string not_printed_, sheet_style_;
};

}  // namespace

std::string set_page(const PageSubject& subject, const Page& briefing, const std::string& heading) {
  return PageSetter(subject, briefing, heading).html();
}

}  // namespace solotaxi::report
