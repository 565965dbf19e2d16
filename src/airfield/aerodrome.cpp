#include "aerodrome.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "planar.hpp"
#include "solotaxi/airfield/tag_value.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::airfield {
namespace {

constexpr double kAreaMargin_m = 2000.0;    // assumed: fences are drawn generously, taxiways end at them
constexpr double kPointMargin_m = 6000.0;   // assumed: half the extent of the largest aerodromes
constexpr double kSamePlace_m = 5000.0;     // assumed: two drawings with one name further apart are two aerodromes
constexpr double kAskedWithin_m = 10000.0;  // assumed: a position further from any aerodrome names none

std::string lower(std::string text) {
  for (char& c : text)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return text;
}

std::string trimmed(const std::string& text) {
  const auto first = text.find_first_not_of(" \t");
  return first == std::string::npos ? "" : text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

std::string ident_of(const Feature& f) {
  for (const char* key : {"icao", "iata", "ref"})
    if (!f.tag(key).empty()) return f.tag(key);
  return {};
}

bool is_area(const Feature& f) { return f.line.size() > 3 && (f.is(RawFeature::Shape::area) || f.is_ring()); }

/// Distance of a position to an aerodrome: 0 inside its area.
double distance_to(const Aerodrome& aerodrome, LatLon at) {
  const LocalFrame frame(at);
  double best = INFINITY;
  for (const Feature* f : aerodrome.features) {
    const PlanarLine line = to_plane(frame, f->line);
    best = std::min(best, is_area(*f) ? distance_to_area_m(line, {0, 0}) : distance_to_line_m(line, {0, 0}));
  }
  return best;
}

bool has_area(const Aerodrome& aerodrome) {
  return std::any_of(aerodrome.features.begin(), aerodrome.features.end(), [](const Feature* f) { return is_area(*f); });
}

bool same_aerodrome(const Aerodrome& other, const Feature& feature) {
  const double apart = distance_to(other, feature.line.front().at);
  for (const Feature* f : other.features) {
    if (f->id() == feature.id()) return true;  // rings of one relation
    for (const char* code : {"icao", "iata"})
      if (!f->tag(code).empty() && !feature.tag(code).empty()) return f->tag(code) == feature.tag(code);
    if (!f->tag("name").empty() && f->tag("name") == feature.tag("name") && apart < kSamePlace_m) return true;
  }
  const bool nameless = ident_of(feature).empty() && feature.tag("name").empty();
  return apart <= 0 && (nameless || (other.ident.empty() && other.name.empty()));
}

std::string label(const Aerodrome& aerodrome) {
  const Feature& f = *aerodrome.features.front();
  if (!aerodrome.ident.empty() && !aerodrome.name.empty()) return aerodrome.ident + " (" + aerodrome.name + ")";
  if (!aerodrome.ident.empty() || !aerodrome.name.empty()) return aerodrome.ident + aerodrome.name;
  return fmt::format("{:.4f},{:.4f} ({})", f.line.front().at.lat_deg(), f.line.front().at.lon_deg(), f.id());
}

std::string list_of(const std::vector<Aerodrome>& aerodromes) {
  std::string text = "aerodromes in the map: ";
  for (std::size_t i = 0; i < aerodromes.size(); ++i) text += (i ? ", " : "") + label(aerodromes[i]);
  return text;
}

std::optional<LatLon> parse_position(const std::string& text) {
  const auto comma = text.find(',');
  if (comma == std::string::npos) return std::nullopt;
  const auto lat = parse_number(std::string_view(text).substr(0, comma));
  const auto lon = parse_number(std::string_view(text).substr(comma + 1));
  if (!lat || !lon) return std::nullopt;
  if (std::abs(*lat) > 90 || std::abs(*lon) > 180)
    throw usage_error("aerodrome position \"" + text + "\" is out of range", "give latitude, longitude in degrees");
  return LatLon::degrees(*lat, *lon);
}

/// Whether a code (exactly) or any name of the aerodrome is the text asked for.
bool answers_to(const Aerodrome& aerodrome, const std::string& asked) {
  for (const Feature* f : aerodrome.features)
    for (const auto& [key, value] : f->raw->tags) {
      const bool code = key == "icao" || key == "iata" || key == "ref" || key == "faa" || key == "local_ref";
      const bool name = key == "name" || key.starts_with("name:") || key.ends_with("_name");
      if ((code || name) && lower(value) == asked) return true;
    }
  return false;
}

bool name_contains(const Aerodrome& aerodrome, const std::string& asked) {
  for (const Feature* f : aerodrome.features)
    for (const auto& [key, value] : f->raw->tags)
      if ((key == "name" || key.starts_with("name:") || key.ends_with("_name")) &&
          lower(value).find(asked) != std::string::npos)
        return true;
  return false;
}

}  // namespace

std::vector<Aerodrome> find_aerodromes(const std::vector<Feature>& features, Findings& findings) {
  std::vector<Aerodrome> found;
  std::vector<const Feature*> not_counted;
  for (const Feature& feature : features) {
    if (feature.tag("aeroway") != "aerodrome") continue;
    const std::string kind = feature.tag("aerodrome") + " " + feature.tag("aerodrome:type");
    if (kind.find("heli") != std::string::npos || is_set(feature.tag("disused")) || is_set(feature.tag("abandoned"))) {
      not_counted.push_back(&feature);
      continue;
    }
    const auto same =
        std::find_if(found.begin(), found.end(), [&](const Aerodrome& a) { return same_aerodrome(a, feature); });
    Aerodrome& aerodrome = same != found.end() ? *same : found.emplace_back();
    aerodrome.features.push_back(&feature);
    if (aerodrome.ident.empty() || (aerodrome.features[0]->tag("icao").empty() && !feature.tag("icao").empty()))
      aerodrome.ident = ident_of(feature);
    if (aerodrome.name.empty()) aerodrome.name = feature.tag("name");
    if (same != found.end() && aerodrome.features[0]->id() != feature.id())
      findings.push_back(finding_at("aerodrome-repeated", Severity::note, feature,
                                    "the same aerodrome as " + aerodrome.features[0]->id() + ", drawn twice"));
  }
  add_counted(findings, "aerodrome-not-counted", Severity::note, not_counted,
              "heliports and disused aerodromes, not counted");
  return found;
}

std::optional<std::size_t> choose_aerodrome(const std::vector<Aerodrome>& aerodromes,
                                            const std::optional<std::string>& asked_text, Findings& findings) {
  if (aerodromes.empty()) {
    findings.push_back(finding_about("no-aerodrome", Severity::caution, "",
                                     asked_text ? "the map has no aerodrome feature, so that \"" + *asked_text +
                                                      "\" cannot be checked; everything in it is taken"
                                                : "the map has no aerodrome feature; everything in it is taken"));
    return std::nullopt;
  }
  if (!asked_text) {
    if (aerodromes.size() == 1) return 0;
    throw data_error(fmt::format("the map holds {} aerodromes; say by --aerodrome which one is meant", aerodromes.size()),
                     {}, list_of(aerodromes));
  }
  const std::string asked = lower(trimmed(*asked_text));
  if (asked.empty()) throw usage_error("the aerodrome asked for is empty", list_of(aerodromes));
  if (const auto at = parse_position(asked)) {
    const auto nearest =
        std::min_element(aerodromes.begin(), aerodromes.end(),
                         [&](const Aerodrome& a, const Aerodrome& b) { return distance_to(a, *at) < distance_to(b, *at); });
    if (distance_to(*nearest, *at) > kAskedWithin_m)
      throw data_error(fmt::format("no aerodrome within {:.0f} km of {}", kAskedWithin_m / 1000, *asked_text), {},
                       list_of(aerodromes));
    return static_cast<std::size_t>(nearest - aerodromes.begin());
  }
  for (const auto test : {answers_to, name_contains}) {
    std::vector<Aerodrome> matches;
    std::size_t last = 0;
    for (std::size_t i = 0; i < aerodromes.size(); ++i)
      if (test(aerodromes[i], asked)) {
        matches.push_back(aerodromes[i]);
        last = i;
      }
    if (matches.size() == 1) return last;
    if (matches.size() > 1)
      throw data_error(fmt::format("\"{}\" fits {} aerodromes", *asked_text, matches.size()), {}, list_of(matches));
  }
  throw data_error("no aerodrome \"" + *asked_text + "\" in the map", {}, list_of(aerodromes));
}

std::vector<const Feature*> features_of(const std::vector<Feature>& features, const std::vector<Aerodrome>& aerodromes,
                                        std::size_t chosen, Findings& findings) {
  struct Shape {
    std::size_t aerodrome;
    PlanarLine line;
    bool area;
    double size_m2;
  };
  const LocalFrame frame(aerodromes[chosen].features.front()->line.front().at);
  std::vector<Shape> shapes;
  for (std::size_t i = 0; i < aerodromes.size(); ++i)
    for (const Feature* f : aerodromes[i].features) {
      const PlanarLine line = to_plane(frame, f->line);
      shapes.push_back({i, line, is_area(*f), is_area(*f) ? area_m2(line) : 0.0});
    }
  // The smallest area counts where they lie one in another.
  std::stable_sort(shapes.begin(), shapes.end(), [](const Shape& a, const Shape& b) { return a.size_m2 < b.size_m2; });
  const auto owner_of = [&](const Feature& feature) -> std::optional<std::size_t> {
    PlanarLine line;  // most features lie inside with their first vertex, so the others are not looked at
    for (const Vertex& vertex : feature.line) {
      line.push_back(frame.to_local(vertex.at));
      for (const Shape& shape : shapes)
        if (shape.area && contains(shape.line, line.back())) return shape.aerodrome;
    }
    std::optional<std::size_t> owner;
    double best = INFINITY;
    for (const Shape& shape : shapes) {
      const double apart =
          std::min(distance_to_line_m(shape.line, line.front()), distance_to_line_m(shape.line, line.back()));
      // An aerodrome with an area reaches as far as its area does, whatever points are drawn beside it.
      const double margin = has_area(aerodromes[shape.aerodrome]) ? kAreaMargin_m : kPointMargin_m;
      if (apart > margin || apart >= best) continue;
      best = apart;
      owner = shape.aerodrome;
    }
    return owner;
  };
  std::vector<const Feature*> own, others, beyond;
  for (const Feature& feature : features) {
    const auto owner = owner_of(feature);
    (!owner ? beyond : *owner == chosen ? own : others).push_back(&feature);
  }
  add_counted(findings, "other-aerodrome", Severity::note, others, "features of other aerodromes in the map, left out");
  add_counted(findings, "beyond-aerodrome", Severity::caution, beyond,
              "features too far from the aerodrome to be part of it, left out");
  return own;
}

}  // namespace solotaxi::airfield
