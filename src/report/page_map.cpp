// The map: the field drawn quietly, the way over it by verdict and by engines, and what lies on it. SVG in metres of the
// field's plane, north up; lines keep their width on the screen, marks their size ("mk": the script scales them anew).
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "common.hpp"
#include "page_escape.hpp"
#include "page_subject.hpp"
#include "sections.hpp"
#include "solotaxi/geo/line.hpp"

namespace solotaxi::report {
namespace {

constexpr double kLine_m = 0.3;   // the way is simplified to this; under a pixel at any zoom that shows it whole
constexpr double kQuiet_m = 1.0;  // the field around it to this
constexpr std::size_t kQuietBytes = 120'000;

struct Box {
  double left = HUGE_VAL, top = HUGE_VAL, right = -HUGE_VAL, bottom = -HUGE_VAL;
  void add(LocalXY p) {
    left = std::min(left, p.x_m), right = std::max(right, p.x_m);
    top = std::min(top, -p.y_m), bottom = std::max(bottom, -p.y_m);
  }
  [[nodiscard]] bool meets(const Box& o) const {
    return left <= o.right && o.left <= right && top <= o.bottom && o.top <= bottom;
  }
  [[nodiscard]] bool holds(LocalXY p) const { return p.x_m >= left && p.x_m <= right && -p.y_m >= top && -p.y_m <= bottom; }
  [[nodiscard]] Box wider(double by) const { return {left - by, top - by, right + by, bottom + by}; }
  [[nodiscard]] double larger() const { return std::max(right - left, bottom - top); }
};

std::string coordinate(LocalXY p) { return short_number(p.x_m, 1) + " " + short_number(-p.y_m, 1); }

/// "M…L…" of a line; "" where it has no two points.
std::string path_of(const std::vector<LocalXY>& line, double tolerance_m) {
  if (line.size() < 2) return "";
  std::string path;
  for (const std::size_t i : simplify(line, tolerance_m)) path += (path.empty() ? "M" : "L") + coordinate(line[i]);
  return path;
}

const char* quiet_style(network::LineKind kind) {
  switch (kind) {
    case network::LineKind::runway:
      return "rw";
    case network::LineKind::taxiway:
      return "tw";
    case network::LineKind::taxilane:
      return "tl";
    case network::LineKind::stand_line:
    case network::LineKind::connector:
      return "sl";
  }
  return "tw";
}

/// A flag's words: a long name is cut, it stands in full in the words of the way.
std::string shortened(const std::string& text) {
  constexpr std::size_t kMost = 30;
  const std::string plain = printable(text);
  return display_width(plain) > kMost ? fitted(plain, kMost) : plain;
}

class Map {
 public:
  explicit Map(const PageSubject& subject) : s_(subject), in_(subject.units) {
    for (const routing::RoutePoint& p : s_.way.points) box_.add(xy(p.at));
    if (s_.extras->beside)
      for (const auto& line : s_.extras->beside->geometry)
        for (const routing::RoutePoint& p : line) box_.add(xy(p.at));
    constexpr double kLeast_m = 60.0, kShare = 0.06;
    box_ = box_.wider(std::max(kLeast_m, kShare * box_.larger()));
    // As it is drawn before the script has seen the screen: 1,000 px wide, 520 px high.
    scale_ = std::max((box_.right - box_.left) / 1000.0, (box_.bottom - box_.top) / 520.0);
  }

  std::string svg() {
    std::string body = field() + beside() + phases() + verdicts() + labels() + marks();
    return fmt::format(
        "<svg id=\"chart\" class=\"chart\" viewBox=\"{}\" preserveAspectRatio=\"xMidYMid meet\" tabindex=\"0\" "
        "role=\"group\" aria-label=\"Map of the way, north up. Arrow keys move it, plus and minus zoom, F shows the whole "
        "way, comma and full stop go along the way.\" aria-describedby=\"readout\">{}<g id=\"here\" class=\"mk here\" "
        "transform=\"{}\"><circle r=\"13\"/><circle r=\"4\" class=\"pin\"/></g></svg>",
        view(), body, placed(xy(s_.way.points.front().at)));
  }

 private:
  [[nodiscard]] LocalXY xy(LatLon at) const { return s_.frame.to_local(at); }
  [[nodiscard]] std::vector<LocalXY> flat(const std::vector<routing::RoutePoint>& points) const {
    std::vector<LocalXY> line;
    for (const routing::RoutePoint& p : points)
      if (const LocalXY at = xy(p.at); line.empty() || !(line.back() == at)) line.push_back(at);
    return line;
  }
  [[nodiscard]] std::string view() const {
    return fmt::format("{} {} {} {}", short_number(box_.left, 1), short_number(box_.top, 1),
                       short_number(box_.right - box_.left, 1), short_number(box_.bottom - box_.top, 1));
  }
  [[nodiscard]] std::string placed(LocalXY p) const {
    return fmt::format("translate({}) scale({})", coordinate(p), short_number(scale_, 3));
  }

  /// Lines near the way, as far around as leaves the page small.
  std::string field() const {
    if (s_.context.network == nullptr) return "";
    std::string svg;
    for (const double share : {0.8, 0.4, 0.15, 0.0}) {
      svg = field_within(box_.wider(share * box_.larger()));
      if (svg.size() <= kQuietBytes) break;
    }
    return svg;
  }

  std::string field_within(const Box& around) const {
    std::map<std::string, std::string> quiet;
    std::string wide, bridges;
    for (const network::Segment& segment : s_.context.network->segments) {
      Box own;
      for (const LocalXY& p : segment.line) own.add(p);
      if (!own.meets(around)) continue;
      const std::string path = path_of(segment.line, kQuiet_m);
      if (path.empty()) continue;
      quiet[quiet_style(segment.kind)] += path;
      if (segment.bridge) bridges += path;
      constexpr double kRunway_m = 45.0;
      if (segment.kind == network::LineKind::runway)
        wide += fmt::format("<path d=\"{}\" stroke-width=\"{}\"/>", path,
                            short_number(segment.width ? segment.width->value() : kRunway_m, 0));
    }
    std::string svg = "<g class=\"strip\">" + wide + "</g>";
    if (!bridges.empty()) svg += "<path class=\"q br\" d=\"" + bridges + "\"/>";
    for (const char* style : {"sl", "tl", "tw", "rw"})
      if (!quiet[style].empty()) svg += fmt::format("<path class=\"q {}\" d=\"{}\"/>", style, quiet[style]);
    return svg;
  }

  std::string beside() const {
    if (!s_.extras->beside) return "";
    std::string path;
    for (const auto& line : s_.extras->beside->geometry) path += path_of(flat(line), kLine_m);
    return "<path class=\"beside\" d=\"" + path + "\"/>";
  }

  /// A wide band under the way where engines are being started and where all of them run.
  std::string phases() const {
    std::string svg;
    for (const PagePhase& phase : s_.phases) {
      if (!(phase.to_m > phase.from_m)) continue;
      const std::string path = path_of(flat(part(s_.way, phase.from_m, phase.to_m)), kLine_m);
      svg += fmt::format("<path class=\"band {}\" d=\"{}\"/>", phase.style, path);
      if (phase.style == "start") svg += fmt::format("<path class=\"band start over\" d=\"{}\"/>", path);
    }
    return svg;
  }

  std::string verdicts() const {
    std::string svg;
    for (const routing::Leg& leg : s_.route->legs) {
      const std::string path = path_of(flat(leg.geometry), kLine_m);
      if (path.empty()) continue;
      const std::string style = leg.push_back ? "push" : motion::to_string(leg.place.verdict);
      svg += fmt::format("<path class=\"way {}\" d=\"{}\"/>", style, path);
      if (style == "all" || style == "blocked") svg += fmt::format("<path class=\"way {} over\" d=\"{}\"/>", style, path);
    }
    return svg;
  }

  void label(std::string& svg, LocalXY at, const std::string& style, const std::string& text) const {
    if (!text.empty())
      svg += fmt::format("<g class=\"mk lb {}\" transform=\"{}\"><text>{}</text></g>", style, placed(at), escaped(text));
  }

  /// Designators: of the way's own lines in the middle of each leg, then those around it, then stands.
  std::string labels() const {
    std::string svg;
    std::map<std::string, const routing::Leg*> own;
    for (const routing::Leg& leg : s_.route->legs)
      if (const routing::Leg*& longest = own[leg.name];
          !leg.push_back && (longest == nullptr || leg.length_m > longest->length_m))
        longest = &leg;
    for (const auto& [name, leg] : own)
      if (leg != nullptr && leg->kind != network::LineKind::runway)
        label(svg, xy(between(s_.way, leg->from_m + leg->length_m / 2.0).at), "own", name);
    if (s_.context.network == nullptr) return svg;
    const network::Network& net = *s_.context.network;
    const Box around = box_.wider(0.8 * box_.larger());
    for (const network::Runway& runway : net.runways)
      for (const int end : {0, 1}) {
        const LocalXY at = net.node(end == 0 ? runway.front : runway.back).xy;
        if (around.holds(at)) label(svg, at, "rwy", runway.designators[static_cast<std::size_t>(end)]);
      }
    std::map<std::string, const network::Segment*> others;
    for (const network::Segment& segment : net.segments)
      if (const network::Segment*& longest = others[segment.name];
          !segment.name.empty() && !own.contains(segment.name) && segment.kind <= network::LineKind::taxilane &&
          around.holds(segment.line.front()) && (longest == nullptr || segment.length_m > longest->length_m))
        longest = &segment;
    for (const auto& [name, segment] : others)
      if (segment != nullptr) label(svg, point_along(segment->line, chainage(segment->line).back() / 2.0), "other", name);
    for (const network::Stand& stand : net.stands)
      if (const LocalXY at = net.node(stand.node).xy; around.holds(at)) label(svg, at, "stand", stand.ref);
    return svg;
  }

  /// What lies on the way; places that are one are told in one flag.
  std::string marks() const {
    std::string svg, flags;
    constexpr double kOne_m = 1.0;
    std::size_t raised = 0;
    for (std::size_t i = 0; i < s_.places.size();) {
      std::string text, style;
      std::size_t j = i;
      for (; j < s_.places.size() && s_.places[j].at_m - s_.places[i].at_m < kOne_m; ++j) {
        const PagePlace& place = s_.places[j];
        const LocalXY at = xy(between(s_.way, place.at_m).at);
        if (place.mark == "toward" || place.mark == "away" || place.mark == "turn") {
          turn(svg, at, place);
        } else {
          svg += fmt::format(
              "<g class=\"mk spot {}\" transform=\"{}\">{}</g>", escaped(place.mark), placed(at),
              place.mark == "hold" || place.mark == "stop" ? "<path d=\"M-8-3H8M-8 3H8\"/>" : "<circle r=\"6\"/>");
        }
        if (place.text.empty()) continue;
        text += (text.empty() ? "" : " · ") + shortened(place.text);
        if (style.empty() || place.mark == "engine" || (place.mark == "stop" && style != "engine")) style = place.mark;
      }
      if (!text.empty()) flag(flags, xy(between(s_.way, s_.places[i].at_m).at), style, text, raised++ % 3);
      i = j;
    }
    return svg + flags;
  }

  void turn(std::string& svg, LocalXY at, const PagePlace& place) const {
    const bool toward = place.mark == "toward";
    svg +=
        fmt::format("<g class=\"mk bend {}\" transform=\"{}\"><circle r=\"{}\"/>", place.mark, placed(at), toward ? 12 : 4);
    if (toward)
      svg += fmt::format("<path transform=\"scale({} 1)\" d=\"M-5 7V1a5 5 0 0 1 5-5h4M1-7.5l4 3.5-4 3.5\"/>",
                         place.left ? -1 : 1);
    svg += "</g>";
  }

  void flag(std::string& svg, LocalXY at, const std::string& style, const std::string& text, std::size_t raised) const {
    constexpr double kLetter = 10.5;  // px of a letter of the flag's size, wide enough for most fonts
    const double width = kLetter * static_cast<double>(display_width(text)) + 16.0;
    const double up = -34.0 - 30.0 * static_cast<double>(raised);
    svg += fmt::format(
        "<g class=\"mk flag {}\" transform=\"{}\" data-w=\"{}\"><path class=\"stem\" d=\"M0 0L0 {}\"/><g class=\"card\" "
        "transform=\"translate(0 {})\"><rect x=\"{}\" y=\"-14\" width=\"{}\" height=\"28\" "
        "rx=\"3\"/><text>{}</text></g></g>",
        escaped(style), placed(at), short_number(width, 0), short_number(up, 0), short_number(up, 0),
        short_number(-width / 2.0, 0), short_number(width, 0), escaped(text));
  }

  const PageSubject& s_;
  Measures in_;
  Box box_;
  double scale_ = 1.0;
};

}  // namespace

std::string map_svg(const PageSubject& subject) { return Map(subject).svg(); }

}  // namespace solotaxi::report
