// The map of a way: the field drawn quietly, the way over it by verdict and by engines, and what lies on it.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "common.hpp"
#include "page_escape.hpp"
#include "page_field.hpp"
#include "page_subject.hpp"
#include "sections.hpp"
#include "solotaxi/geo/line.hpp"

namespace solotaxi::report {
namespace {

constexpr double kLine_m = 0.3;  // the way is simplified to this; under a pixel at any zoom that shows it whole
constexpr std::size_t kQuietBytes = 120'000;

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
    box_ = box_.framed();
    scale_ = box_.scale();
  }

  std::string svg() {
    std::string body = field() + beside() + phases() + verdicts() + labels() + marks();
    return fmt::format(
        "<svg id=\"chart\" class=\"chart\" viewBox=\"{}\" preserveAspectRatio=\"xMidYMid meet\" tabindex=\"0\" "
        "role=\"group\" aria-label=\"Map of the way, north up. Arrow keys move it, plus and minus zoom, F shows the whole "
        "way, comma and full stop go along the way.\" aria-describedby=\"readout\">{}<g id=\"here\" class=\"mk here\" "
        "transform=\"{}\"><circle r=\"13\"/><circle r=\"4\" class=\"pin\"/></g></svg>",
        box_.view(), body, placed(xy(s_.way.points.front().at)));
  }

 private:
  [[nodiscard]] LocalXY xy(LatLon at) const { return s_.frame.to_local(at); }
  [[nodiscard]] std::vector<LocalXY> flat(const std::vector<routing::RoutePoint>& points) const {
    std::vector<LocalXY> line;
    for (const routing::RoutePoint& p : points)
      if (const LocalXY at = xy(p.at); line.empty() || !(line.back() == at)) line.push_back(at);
    return line;
  }
  [[nodiscard]] std::string placed(LocalXY p) const { return map_placed(p, scale_); }

  /// Lines near the way, as far around as leaves the page small.
  std::string field() const {
    if (s_.context.network == nullptr) return "";
    std::string svg;
    for (const double share : {0.8, 0.4, 0.15, 0.0}) {
      svg = map_field(*s_.context.network, box_.wider(share * box_.larger()));
      if (svg.size() <= kQuietBytes) break;
    }
    return svg;
  }

  std::string beside() const {
    if (!s_.extras->beside) return "";
    std::string path;
    for (const auto& line : s_.extras->beside->geometry) path += map_path(flat(line), kLine_m);
    return "<path class=\"beside\" d=\"" + path + "\"/>";
  }

  /// A wide band under the way where engines are being started and where all of them run.
  std::string phases() const {
    std::string svg;
    for (const PagePhase& phase : s_.phases) {
      if (!(phase.to_m > phase.from_m)) continue;
      const std::string path = map_path(flat(part(s_.way, phase.from_m, phase.to_m)), kLine_m);
      svg += fmt::format("<path class=\"band {}\" d=\"{}\"/>", phase.style, path);
      if (phase.style == "start") svg += fmt::format("<path class=\"band start over\" d=\"{}\"/>", path);
    }
    return svg;
  }

  std::string verdicts() const {
    std::string svg;
    for (const routing::Leg& leg : s_.route->legs) {
      const std::string path = map_path(flat(leg.geometry), kLine_m);
      if (path.empty()) continue;
      const std::string style = leg.push_back ? "push" : motion::to_string(leg.place.verdict);
      svg += fmt::format("<path class=\"way {}\" d=\"{}\"/>", style, path);
      if (style == "all" || style == "blocked") svg += fmt::format("<path class=\"way {} over\" d=\"{}\"/>", style, path);
    }
    return svg;
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
        svg += map_label(xy(between(s_.way, leg->from_m + leg->length_m / 2.0).at), scale_, "own", name);
    if (s_.context.network == nullptr) return svg;
    std::set<std::string> told;
    for (const auto& [name, leg] : own) told.insert(name);
    return svg + map_labels(*s_.context.network, box_.wider(0.8 * box_.larger()), scale_, told);
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
  MapBox box_;
  double scale_ = 1.0;
};

}  // namespace

std::string map_svg(const PageSubject& subject) { return Map(subject).svg(); }

}  // namespace solotaxi::report
