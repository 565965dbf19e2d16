#include "solotaxi/airfield/interpret.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <string_view>
#include <unordered_map>

#include "aerodrome.hpp"
#include "runways.hpp"
#include "solotaxi/airfield/runway_ref.hpp"
#include "solotaxi/airfield/tag_value.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/geo/geodesic.hpp"
#include "stands.hpp"
#include "tag_reader.hpp"

namespace solotaxi::airfield {
namespace {

using Pointers = std::vector<const Feature*>;

/// Features by what they are to the network.
struct Sorted {
  Pointers taxiways, taxiway_areas, runways, parking, holding, gates, thresholds, aprons;
  Pointers stopways, lifecycle, area_tags, unknown;
};

/// Aeroway values that are no part of the network, and need no word.
constexpr std::string_view kOtherAeroways[] = {"aerodrome",
                                               "terminal",
                                               "hangar",
                                               "helipad",
                                               "heliport",
                                               "windsock",
                                               "navigationaid",
                                               "landing_light",
                                               "fuel",
                                               "tower",
                                               "beacon",
                                               "papi",
                                               "vasi",
                                               "arresting_gear",
                                               "jet_bridge",
                                               "marking",
                                               "aircraft_crossing",
                                               "airstrip",
                                               "highway_strip",
                                               "spaceport",
                                               "launchpad",
                                               "light",
                                               "signal",
                                               "grass",
                                               "yes",
                                               "model_runway",
                                               "aeroway",
                                               "ground_equipment",
                                               "routing_node",
                                               "deicing_pad"};

Sorted sort_features(const Pointers& features) {
  Sorted sorted;
  for (const Feature* f : features) {
    const std::string& aeroway = f->tag("aeroway");
    const bool line = f->is(RawFeature::Shape::line), area = f->is(RawFeature::Shape::area);
    if (aeroway.empty())
      (f->tag("area:aeroway").empty() ? sorted.lifecycle : sorted.area_tags).push_back(f);
    else if (aeroway == "construction" || aeroway == "proposed" || aeroway == "disused" || aeroway == "abandoned")
      sorted.lifecycle.push_back(f);
    else if (aeroway == "taxiway" || aeroway == "taxilane") {
      if (line)
        sorted.taxiways.push_back(f);
      else if (area)
        sorted.taxiway_areas.push_back(f);
      else
        sorted.unknown.push_back(f);
    } else if (aeroway == "runway")
      sorted.runways.push_back(f);
    else if (aeroway == "parking_position")
      sorted.parking.push_back(f);
    else if (aeroway == "holding_position")
      sorted.holding.push_back(f);
    else if (aeroway == "gate")
      sorted.gates.push_back(f);
    else if (aeroway == "threshold")
      sorted.thresholds.push_back(f);
    else if (aeroway == "apron")
      sorted.aprons.push_back(f);
    else if (aeroway == "stopway")
      sorted.stopways.push_back(f);
    else if (std::find(std::begin(kOtherAeroways), std::end(kOtherAeroways), aeroway) == std::end(kOtherAeroways))
      sorted.unknown.push_back(f);
  }
  return sorted;
}

/// A key that is the same for a line drawn twice, in either direction.
std::string line_key(const Feature& feature) {
  std::string forward, backward;
  const auto add = [](std::string& key, const Vertex& v) {
    if (v.ref != 0)
      key += std::to_string(v.ref) + ' ';
    else
      key += std::to_string(std::llround(v.at.lat_deg() * 1e8)) + ',' + std::to_string(std::llround(v.at.lon_deg() * 1e8)) +
             ' ';
  };
  for (auto v = feature.line.begin(); v != feature.line.end(); ++v) add(forward, *v);
  for (auto v = feature.line.rbegin(); v != feature.line.rend(); ++v) add(backward, *v);
  return feature.tag("aeroway") + ' ' + std::min(forward, backward);
}

/// Leaves out lines drawn twice and lines without length.
Pointers sound_lines(const Pointers& lines, Findings& findings) {
  Pointers kept;
  std::unordered_map<std::string, const Feature*> seen;
  for (const Feature* feature : lines) {
    if (!feature->is(RawFeature::Shape::line)) {
      kept.push_back(feature);
      continue;
    }
    if (feature->line.size() < 2) {
      findings.push_back(
          finding_at("line-without-length", Severity::caution, *feature, "a line of one position is left out"));
      continue;
    }
    const auto [first, fresh] = seen.emplace(line_key(*feature), feature);
    if (fresh) {
      kept.push_back(feature);
      continue;
    }
    const bool differ = first->second->raw->tags != feature->raw->tags;
    findings.push_back(
        finding_at("duplicate", differ ? Severity::caution : Severity::note, *feature,
                   "the same line as " + first->second->id() + ", left out" + (differ ? "; their tags differ" : "")));
  }
  return kept;
}

LineKind kind_of(const Feature& feature) {
  if (feature.tag("aeroway") == "parking_position") return LineKind::stand_line;
  const std::string& part = feature.tag("taxiway");
  const bool lane =
      feature.tag("aeroway") == "taxilane" || part == "apron" || part == "taxilane" || part == "apron_taxilane";
  return lane ? LineKind::taxilane : LineKind::taxiway;
}

Centreline centreline_of(const Feature& feature, const InterpretOptions& options, Findings& findings) {
  const TagReader tags(feature, findings);
  Centreline line;
  line.id = feature.id();
  line.kind = kind_of(feature);
  line.name = name_of(feature);
  line.line = feature.line;
  line.layer = tags.layer();
  line.bridge = is_set(feature.tag("bridge"));
  line.tunnel = is_set(feature.tag("tunnel"));
  line.one_way = tags.one_way();
  line.closed = tags.closed(options);
  line.width = tags.width("width");
  line.wingspan_limit = tags.width("maxwingspan");
  line.mass_limit = tags.mass("maxweight");
  line.speed_limit = tags.speed("maxspeed");
  line.grade = tags.grade("grade");
  line.surface = feature.tag("surface");
  const auto ref = parse_runway_ref(line.name);
  if (line.kind != LineKind::stand_line && ref && !ref->partial && is_reciprocal(*ref))
    findings.push_back(finding_at("runway-ref-on-taxiway", Severity::caution, feature,
                                  "a taxiway carries the designators of a runway, " + line.name));
  return line;
}

void set_elevation(Airfield& field, const Aerodrome& aerodrome) {
  for (const Feature* feature : aerodrome.features)
    if (!field.elevation) field.elevation = TagReader(*feature, field.findings).height("ele");
}

/// Middle of the bounding box of every line; differences of longitude are taken the short way round the globe.
LatLon middle_of_lines(const Airfield& field) {
  double south = 90, north = -90, west = 0, east = 0, base = 0;
  bool any = false;
  const auto add = [&](LatLon at) {
    if (!any) base = at.lon_deg();
    any = true;
    south = std::min(south, at.lat_deg());
    north = std::max(north, at.lat_deg());
    const double lon = std::remainder(at.lon_deg() - base, 360.0);
    west = std::min(west, lon);
    east = std::max(east, lon);
  };
  for (const Centreline& line : field.centrelines)
    for (const Vertex& v : line.line) add(v.at);
  for (const Runway& runway : field.runways)
    for (const Vertex& v : runway.line) add(v.at);
  return LatLon::degrees((south + north) / 2, std::remainder(base + (west + east) / 2, 360.0));
}

/// How far from its middle a field may reach [m]; assumed, the largest fields measure some 20 km.
constexpr double kFieldReach_m = 50e3;

/// Refuses a field that spans half a country: a coordinate is wrong, or it is several fields.
void check_reach(const Airfield& field) {
  // The vertex in the middle of all of them is on the field though one or two are far off it.
  std::vector<double> lats, lons;
  std::vector<std::pair<LatLon, const std::string*>> vertices;
  for (const Centreline& line : field.centrelines)
    for (const Vertex& v : line.line) vertices.emplace_back(v.at, &line.id);
  for (const Runway& runway : field.runways)
    for (const Vertex& v : runway.line) vertices.emplace_back(v.at, &runway.id);
  const double base = vertices.front().first.lon_deg();
  for (const auto& [at, id] : vertices) {
    lats.push_back(at.lat_deg());
    lons.push_back(std::remainder(at.lon_deg() - base, 360.0));
  }
  const auto median = [](std::vector<double>& values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
  };
  const LatLon centre = LatLon::degrees(median(lats), std::remainder(base + median(lons), 360.0));
  for (const auto& [at, id] : vertices) {
    const double off = geodesic_length(centre, at).value();
    if (off > kFieldReach_m)
      throw data_error(fmt::format("a position lies {:.0f} km from the rest of the field", off / 1000.0),
                       Where{"", std::nullopt, *id}, "a coordinate is wrong, or the map holds several fields: cut out one");
  }
}

void report_left_out(const Sorted& sorted, Findings& findings) {
  add_counted(findings, "taxiway-area", Severity::caution, sorted.taxiway_areas,
              "taxiways drawn as areas have no centreline, left out");
  add_counted(findings, "lifecycle", Severity::note, sorted.lifecycle, "disused, historic or planned features, left out");
  add_counted(findings, "area-aeroway", Severity::note, sorted.area_tags,
              "pavement areas (area:aeroway) are no network, left out");
  add_counted(findings, "not-taxiable", Severity::note, sorted.stopways, "stopways, not taxiable");
  add_counted(findings, "aeroway-not-understood", Severity::note, sorted.unknown,
              "aeroway features of a kind not read, left out");
}

}  // namespace

Airfield interpret(const RawMap& map, const InterpretOptions& options) try {
  Airfield field;
  field.findings = map.findings;
  const std::vector<Feature> features = check_features(map, field.findings);
  const std::vector<Aerodrome> aerodromes = find_aerodromes(features, field.findings);
  Pointers own;
  if (const auto chosen = choose_aerodrome(aerodromes, options.aerodrome, field.findings)) {
    field.name = aerodromes[*chosen].name;
    field.ident = aerodromes[*chosen].ident;
    set_elevation(field, aerodromes[*chosen]);
    own = features_of(features, aerodromes, *chosen, field.findings);
  } else {
    for (const Feature& feature : features) own.push_back(&feature);
  }

  Sorted sorted = sort_features(own);
  report_left_out(sorted, field.findings);
  if (sorted.taxiways.empty() && !sorted.taxiway_areas.empty())
    throw data_error("taxiways only as areas: no taxiway of this aerodrome has a centreline",
                     Where{"", std::nullopt, sorted.taxiway_areas.front()->id()},
                     "draw centrelines (aeroway=taxiway lines) in the map first");
  if (sorted.taxiways.empty())
    throw data_error("no taxiways in the map", {},
                     "the map must hold lines tagged aeroway=taxiway; for another schema give a mapping file");

  const Pointers runway_features = sound_lines(sorted.runways, field.findings);
  Pointers lines = sorted.taxiways, parking_places;
  for (const Feature* feature : sorted.parking)
    (feature->is(RawFeature::Shape::line) && !feature->is_ring() ? lines : parking_places).push_back(feature);
  for (const Feature* feature : sound_lines(lines, field.findings)) {
    field.centrelines.push_back(centreline_of(*feature, options, field.findings));
    const Centreline& line = field.centrelines.back();
    // A guidance line only leads to a stand, which has a feature of its own.
    if (line.kind == LineKind::stand_line && feature->tag("parking_position") != "guidance_line")
      field.stands.push_back({line.id, line.name, line.line.back().at, line.line.back().ref, field.centrelines.size() - 1,
                              false, line.closed});
  }
  if (std::none_of(field.centrelines.begin(), field.centrelines.end(),
                   [](const Centreline& line) { return line.kind != LineKind::stand_line; }))
    throw data_error("no taxiway line in the map has any length");
  add_stands(field, parking_places, sorted.gates, options);
  add_holding_positions(field, sorted.holding);
  field.runways = assemble_runways(runway_features, sorted.thresholds, options, field.findings);
  if (field.runways.empty())
    throw data_error("no runway in the map", {}, "the map must hold a runway (aeroway=runway) of this aerodrome");
  check_reach(field);
  field.frame = LocalFrame(middle_of_lines(field));
  name_aprons(field, sorted.aprons);
  return field;
} catch (const Error& error) {
  throw error.in_file(map.file);
}

}  // namespace solotaxi::airfield
