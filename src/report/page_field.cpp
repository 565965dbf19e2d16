#include "page_field.hpp"

#include <fmt/format.h>

#include <map>

#include "page_escape.hpp"
#include "solotaxi/geo/line.hpp"

namespace solotaxi::report {
namespace {

constexpr double kQuiet_m = 1.0;  // to this lines are simplified

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

}  // namespace

void MapBox::add(LocalXY p) {
  left = std::min(left, p.x_m), right = std::max(right, p.x_m);
  top = std::min(top, -p.y_m), bottom = std::max(bottom, -p.y_m);
}

bool MapBox::meets(const MapBox& other) const {
  return left <= other.right && other.left <= right && top <= other.bottom && other.top <= bottom;
}

bool MapBox::holds(LocalXY p) const { return p.x_m >= left && p.x_m <= right && -p.y_m >= top && -p.y_m <= bottom; }

MapBox MapBox::framed() const {
  constexpr double kLeast_m = 60.0, kShare = 0.06;
  return wider(std::max(kLeast_m, kShare * larger()));
}

std::string MapBox::view() const {
  return fmt::format("{} {} {} {}", short_number(left, 1), short_number(top, 1), short_number(right - left, 1),
                     short_number(bottom - top, 1));
}

std::string map_coordinate(LocalXY p) { return short_number(p.x_m, 1) + " " + short_number(-p.y_m, 1); }

std::string map_path(const std::vector<LocalXY>& line, double tolerance_m) {
  if (line.size() < 2) return "";
  std::string path;
  for (const std::size_t i : simplify(line, tolerance_m)) path += (path.empty() ? "M" : "L") + map_coordinate(line[i]);
  return path;
}

std::string map_placed(LocalXY p, double scale) {
  return fmt::format("translate({}) scale({})", map_coordinate(p), short_number(scale, 3));
}

std::string map_field(const network::Network& network, const MapBox& around) {
  std::map<std::string, std::string> quiet;
  std::string wide, bridges;
  for (const network::Segment& segment : network.segments) {
    MapBox own;
    for (const LocalXY& p : segment.line) own.add(p);
    if (!own.meets(around)) continue;
    const std::string path = map_path(segment.line, kQuiet_m);
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

std::string map_label(LocalXY at, double scale, const std::string& style, const std::string& text, int above) {
  if (text.empty()) return "";
  return fmt::format("<g class=\"mk lb {}\" transform=\"{}\"><text{}>{}</text></g>", style, map_placed(at, scale),
                     above == 0 ? "" : fmt::format(" y=\"{}\"", -above), escaped(text));
}

std::string map_labels(const network::Network& network, const MapBox& around, double scale,
                       const std::set<std::string>& told, int above_stand) {
  std::string svg;
  for (const network::Runway& runway : network.runways)
    for (const int end : {0, 1}) {
      const LocalXY at = network.node(end == 0 ? runway.front : runway.back).xy;
      if (around.holds(at)) svg += map_label(at, scale, "rwy", runway.designators[static_cast<std::size_t>(end)]);
    }
  std::map<std::string, const network::Segment*> others;
  for (const network::Segment& segment : network.segments)
    if (const network::Segment*& longest = others[segment.name];
        !segment.name.empty() && !told.contains(segment.name) && segment.kind <= network::LineKind::taxilane &&
        around.holds(segment.line.front()) && (longest == nullptr || segment.length_m > longest->length_m))
      longest = &segment;
  for (const auto& [name, segment] : others)
    if (segment != nullptr)
      svg += map_label(point_along(segment->line, chainage(segment->line).back() / 2.0), scale, "other", name);
  for (const network::Stand& stand : network.stands)
    if (const LocalXY at = network.node(stand.node).xy; around.holds(at))
      svg += map_label(at, scale, "stand", stand.ref, above_stand);
  return svg;
}

}  // namespace solotaxi::report
