// The map of a screen, its legends, and what its script needs.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "common.hpp"
#include "page_escape.hpp"
#include "page_field.hpp"
#include "page_frame.hpp"
#include "screen_page_parts.hpp"
#include "screen_parts.hpp"

namespace solotaxi::report {
namespace {

using Json = nlohmann::ordered_json;

constexpr double kStretchLine_m = 0.3;
constexpr int kAboveStand = 19;  // px of a stand's name above its sign

/// The first measure of segments, or of stands, is shown first.
const ScreenMeasure& first_of(const ScreenMaps& maps, bool stands) {
  return *std::find_if(maps.measures.begin(), maps.measures.end(), [&](const auto& m) { return m.stands == stands; });
}

std::string class_of(char letter) { return letter == '-' ? "hid" : fmt::format("c{}", letter); }

/// A stand's sign, its class told by filling and by form.
std::string stand_sign() { return "<circle r=\"6\"/><path d=\"M-4-4L4 4M4-4L-4 4\"/>"; }

/// Number of a text in a list that it is put into where it is new.
std::size_t number_in(Json& list, const std::string& text) {
  const auto found = std::find(list.begin(), list.end(), text);
  if (found != list.end()) return static_cast<std::size_t>(found - list.begin());
  list.push_back(text);
  return list.size() - 1;
}

Json segments_json(const ScreenCase& c, const std::vector<std::uint32_t>& drawn, Json& reasons) {
  Json json = {{"use", Json::array()},  {"forced", Json::array()}, {"pairs", Json::array()},
               {"kept", Json::array()}, {"why", Json::array()},    {"stretch", Json::array()}};
  for (const std::uint32_t s : drawn) {
    const planning::ScreenSegment& used = c.screen->segments[s];
    json["use"].push_back(rounded(used.movements, 0));
    json["forced"].push_back(rounded(used.forced_movements, 0));
    json["pairs"].push_back(used.pairs);
    json["kept"].push_back(used.forced_pairs);
    json["why"].push_back(number_in(reasons, fmt::format("{}", fmt::join(motion::words(used.reasons), ", "))));
    json["stretch"].push_back(used.stretch ? Json(*used.stretch) : Json(-1));
  }
  return json;
}

/// The part of each standard route that is shared, in the order of cases and routes; shown by the script where one is
/// chosen.
std::string routes_svg(const ScreenMaps& maps) {
  std::string svg = "<g id=\"routes\">";
  for (const ScreenCase& c : maps.cases)
    for (const planning::StandardRoute& r : c.screen->routes) {
      std::vector<LocalXY> line;
      for (const LatLon at : r.line) line.push_back(c.network->frame.to_local(at));
      svg += fmt::format("<path class=\"std hid\" d=\"{}\"/>", map_path(line, kStretchLine_m));
    }
  return svg + "</g>";
}

/// What is said of a standard route, and its stands.
Json routes_json(const ScreenCase& c, const Measures& in) {
  Json json = Json::array();
  for (const planning::StandardRoute& r : c.screen->routes) {
    Json stands = Json::array();
    for (const planning::StandOnRoute& s : r.stands) stands.push_back(s.stand);
    const auto extra_kg = mean_extra_kg(r);
    const std::string text = fmt::format(
        "{}, {}: by way of {}, {} shared; {} of {} stands on one engine{}.", c.screen->groups[r.group].name,
        route_end_words(r, *c.network), r.names.empty() ? "unnamed lines" : fmt::format("{}", fmt::join(r.names, ", ")),
        in.length(r.length_m), r.with_one(), r.stands.size(),
        extra_kg ? fmt::format(", {} more on average than on their own best plans", in.fuel(*extra_kg)) : "");
    json.push_back({{"text", printable(text)}, {"stands", stands}});
  }
  return json;
}

/// By stand: what is said of it, its departures first.
Json stands_json(const ScreenCase& c, const Measures& in) {
  Json json = Json::array();
  for (const auto& of : stand_sums(*c.screen, c.network->stands.size())) {
    std::string text;
    for (const std::size_t i : {0U, 1U}) {
      const ScreenSum& side = of[i];
      text += text.empty() ? "out, " : "; in, ";
      text +=
          side.ways == 0 ? std::string("no way") : fmt::format("{} of {} runway ends on one engine", side.ones, side.ways);
      if (const auto mean_kg = side.mean_saving_kg()) text += fmt::format(", {} saved on average", in.fuel(*mean_kg));
    }
    json.push_back(printable(text));
  }
  return json;
}

}  // namespace

std::string screen_map_svg(const ScreenMaps& maps) {
  const network::Network& net = *maps.networks.front();
  MapBox box, all;
  for (const network::Network* network : maps.networks)
    for (const network::Node& node : network->nodes) box.add(node.xy);
  box = box.framed();
  all = box.wider(box.larger());
  const double scale = box.scale();
  const ScreenMeasure &lines = first_of(maps, false), &stands = first_of(maps, true);
  std::string body;
  for (std::size_t n = 0; n < maps.networks.size(); ++n)
    body += fmt::format("<g class=\"base\" data-net=\"{}\"{}>{}</g>", n, n == 0 ? "" : " hidden",
                        map_field(*maps.networks[n], all));
  for (std::size_t n = 0; n < maps.networks.size(); ++n) {
    body += fmt::format("<g class=\"net\" data-net=\"{}\"{}>", n, n == 0 ? "" : " hidden");
    for (const std::uint32_t s : maps.drawn[n])
      body += fmt::format("<path class=\"seg {}\" d=\"{}\"/>", n == 0 ? class_of(lines.of.front()[s]) : "hid",
                          map_path(maps.networks[n]->segments[s].line, kStretchLine_m));
    body += "</g>";
  }
  body += routes_svg(maps);
  for (std::size_t s = 0; s < net.stands.size(); ++s)
    body += fmt::format("<g class=\"mk spot st {}\" transform=\"{}\">{}</g>", class_of(stands.of.front()[s]),
                        map_placed(net.node(net.stands[s].node).xy, scale), stand_sign());
  body += map_labels(net, all, scale, {}, kAboveStand);
  return fmt::format(
      "<svg id=\"chart\" class=\"chart {} {}\" viewBox=\"{}\" preserveAspectRatio=\"xMidYMid meet\" tabindex=\"0\" "
      "role=\"group\" aria-label=\"Map of the field, north up. Arrow keys move it, plus and minus zoom, F shows the whole "
      "field, full stop and comma go through the segments worth mending. The lists beside it say the same in words.\" "
      "aria-describedby=\"readout\">{}<g id=\"here\" class=\"mk here\" transform=\"{}\"><circle r=\"13\"/><circle r=\"4\" "
      "class=\"pin\"/></g></svg>",
      lines.key, stands.key, box.view(), body, map_placed(net.nodes.front().xy, scale));
}

std::string screen_legend(const ScreenMeasure& measure, bool shown) {
  std::string html = fmt::format("<ul class=\"legend\" data-legend=\"{}\" aria-label=\"{}\"{}>", measure.key,
                                 escaped(measure.title), shown ? "" : " hidden");
  for (const auto& [letter, words] : measure.classes) {
    const bool any = std::any_of(measure.of.begin(), measure.of.end(),
                                 [&](const std::string& of) { return of.find(letter) != std::string::npos; });
    if (!any) continue;
    html += "<li><svg viewBox=\"0 0 54 20\" width=\"54\" height=\"20\" aria-hidden=\"true\">";
    html += measure.stands
                ? fmt::format("<g class=\"spot st {} {}\" transform=\"translate(27 10)\">{}</g>", measure.key,
                              class_of(letter), stand_sign())
                : fmt::format("<g class=\"{}\"><path class=\"seg {}\" d=\"M3 10H51\"/></g>", measure.key, class_of(letter));
    html += "</svg>" + escaped(words) + "</li>";
  }
  return html + "</ul>";
}

std::string screen_data(const ScreenMaps& maps, const Measures& in) {
  Json json, reasons = Json::array();
  json["units"] = {{"length", unit_json(in.length_unit())}, {"fuel", unit_json(in.fuel_unit())}};
  json["nets"] = Json::array();
  for (std::size_t n = 0; n < maps.networks.size(); ++n) {
    Json names = Json::array(), lengths = Json::array();
    for (const std::uint32_t s : maps.drawn[n]) {
      const network::Segment& segment = maps.networks[n]->segments[s];
      names.push_back(printable(way_title(segment.kind, segment.name)));
      lengths.push_back(rounded(segment.length_m, 0));
    }
    json["nets"].push_back({{"name", names}, {"length", lengths}});
  }
  json["stands"] = Json::array();
  for (const network::Stand& stand : maps.networks.front()->stands)
    json["stands"].push_back(printable(stand.ref.empty() ? stand.id : stand.ref));
  json["cases"] = Json::array();
  for (std::size_t i = 0; i < maps.cases.size(); ++i) {
    const ScreenCase& c = maps.cases[i];
    Json classes;
    for (const ScreenMeasure& m : maps.measures) {
      std::string letters = m.stands ? m.of[i] : "";
      if (!m.stands)
        for (const std::uint32_t s : maps.drawn[c.map]) letters += m.of[i][s];
      classes[m.key] = letters;
    }
    Json stretches = Json::array();
    for (const planning::ScreenStretch& s : c.screen->stretches)
      stretches.push_back({{"name", printable(s.name)},
                           {"length", rounded(s.length_m, 0)},
                           {"lost", s.lost_kg ? rounded(*s.lost_kg, 1) : Json(nullptr)}});
    json["cases"].push_back({{"net", c.map},
                             {"title", printable(c.title)},
                             {"classes", classes},
                             {"segments", segments_json(c, maps.drawn[c.map], reasons)},
                             {"stretches", stretches},
                             {"routes", routes_json(c, in)},
                             {"stands", stands_json(c, in)}});
  }
  json["reasons"] = reasons;
  return script_json(json);
}

}  // namespace solotaxi::report
