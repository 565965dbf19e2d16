#include "stands.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "planar.hpp"
#include "tag_reader.hpp"

namespace solotaxi::airfield {
namespace {

LatLon middle_of(const Feature& feature) {
  if (feature.line.size() == 1) return feature.line.front().at;
  const LocalFrame frame(feature.line.front().at);
  return frame.to_geodetic(centroid(to_plane(frame, feature.line)));
}

}  // namespace

std::string name_of(const Feature& feature) {
  const std::string& written = feature.tag("ref").empty() ? feature.tag("name") : feature.tag("ref");
  std::string name;
  for (const char c : written) {
    const auto code = static_cast<unsigned char>(c);
    const bool blank = code <= 0x20U || code == 0x7fU;  // control characters part words as blanks do
    if (!blank)
      name += c;
    else if (!name.empty() && name.back() != ' ')
      name += ' ';
  }
  if (!name.empty() && name.back() == ' ') name.pop_back();
  return name;
}

void add_stands(Airfield& field, const std::vector<const Feature*>& parking, const std::vector<const Feature*>& gates,
                const InterpretOptions& options) {
  std::map<std::int64_t, std::size_t> on_line;  // map node → stand of the line it lies on
  for (std::size_t i = 0; i < field.stands.size(); ++i)
    for (const Vertex& vertex : field.centrelines[*field.stands[i].line].line)
      if (vertex.ref != 0) on_line.emplace(vertex.ref, i);
  std::set<std::pair<std::string, std::pair<double, double>>> seen;
  for (const Feature* feature : parking) {
    const Vertex& first = feature->line.front();
    if (feature->is(RawFeature::Shape::point)) {
      if (const auto line = on_line.find(first.ref); first.ref != 0 && line != on_line.end()) {
        Stand& stand = field.stands[line->second];
        if (stand.ref.empty()) stand.ref = name_of(*feature);
        field.findings.push_back(finding_at("stand-on-stand-line", Severity::note, *feature,
                                            "a parking position on a stand line is the stand of that line, " + stand.id));
        continue;
      }
      if (!seen.insert({name_of(*feature), {first.at.lat_deg(), first.at.lon_deg()}}).second) {
        field.findings.push_back(
            finding_at("duplicate", Severity::note, *feature, "the same stand a second time, left out"));
        continue;
      }
    } else {
      field.findings.push_back(finding_at("stand-area", Severity::note, *feature,
                                          "a parking position drawn as an area; its middle is the stand"));
    }
    field.stands.push_back({feature->id(), name_of(*feature), middle_of(*feature),
                            feature->is(RawFeature::Shape::point) ? first.ref : 0, std::nullopt, false,
                            TagReader(*feature, field.findings).closed(options)});
  }
  if (gates.empty()) return;
  if (!field.stands.empty()) {
    add_counted(field.findings, "gates-beside-stands", Severity::note, gates,
                "gates of buildings, left out as the map has stands");
    return;
  }
  for (const Feature* gate : gates)
    field.stands.push_back({gate->id(), name_of(*gate), middle_of(*gate), 0, std::nullopt, true});
  add_counted(field.findings, "gates-as-stands", Severity::caution, gates,
              "the map has no stands; gates stand for them, approximately");
}

void name_aprons(Airfield& field, const std::vector<const Feature*>& aprons) {
  struct Named {
    const Feature* feature;
    PlanarLine ring;
  };
  std::vector<Named> named;
  for (const Feature* apron : aprons)
    if (!name_of(*apron).empty() && (apron->is(RawFeature::Shape::area) || apron->is_ring()))
      named.push_back({apron, to_plane(field.frame, apron->line)});
  for (Stand& stand : field.stands) {
    const LocalXY at = field.frame.to_local(stand.at);
    const Named* smallest = nullptr;  // of aprons that lie in one another
    for (const Named& apron : named)
      if (contains(apron.ring, at) && (smallest == nullptr || area_m2(apron.ring) < area_m2(smallest->ring)))
        smallest = &apron;
    if (smallest != nullptr) stand.apron = name_of(*smallest->feature);
  }
}

void add_holding_positions(Airfield& field, const std::vector<const Feature*>& holding) {
  for (const Feature* feature : holding) {
    std::string type = feature->tag("holding_position:type");
    if (type.empty()) type = feature->tag("holding_position");
    if (type == "ils") type = "ILS";
    if (!type.empty() && type != "runway" && type != "ILS" && type != "intermediate") {
      field.findings.push_back(finding_at("tag-not-understood", Severity::note, *feature,
                                          "type \"" + type + "\" of a holding position is not understood and left out"));
      type.clear();
    }
    Vertex at = feature->line.front();
    if (!feature->is(RawFeature::Shape::point)) {
      at = {middle_of(*feature), std::nullopt, 0};
      field.findings.push_back(finding_at("holding-position-line", Severity::note, *feature,
                                          "a holding position drawn as a line or area; its middle is used"));
    }
    field.holding_positions.push_back({feature->id(), name_of(*feature), std::move(type), at});
  }
}

}  // namespace solotaxi::airfield
