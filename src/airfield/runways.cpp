#include "runways.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "planar.hpp"
#include "runway_chain.hpp"
#include "solotaxi/airfield/tag_value.hpp"
#include "tag_reader.hpp"

namespace solotaxi::airfield {
namespace {

constexpr double kRefMismatch_deg = 25.0;  // assumed: magnetic variation, convergence, rounding to tens
constexpr double kSamePoint_m = 0.5;       // assumed: centreline points surveyed for both directions
constexpr double kThresholdNear_m = 30.0;  // assumed: a threshold mark this near belongs to it

bool is_water(const Feature& feature) {
  if (feature.tag("surface") == "water") return true;
  const auto ref = parse_runway_ref(feature.tag("ref"));
  return ref && (designator_suffix(ref->designators[0]) == "W" || designator_suffix(ref->designators[1]) == "W");
}

std::optional<RunwayRef> read_ref(const Feature& feature, Findings& findings) {
  auto ref = parse_runway_ref(feature.tag("ref"));
  if (ref && ref->partial)
    findings.push_back(finding_at("runway-ref-odd", Severity::caution, feature,
                                  "ref=\"" + feature.tag("ref") + "\" is only partly a pair of runway designators"));
  if (!ref) ref = parse_runway_ref(feature.tag("name"));
  if (!ref && !feature.tag("ref").empty())
    findings.push_back(finding_at("runway-ref-odd", Severity::caution, feature,
                                  "ref=\"" + feature.tag("ref") + "\" is no runway designator and left out"));
  return ref;
}

RunwayPiece read_piece(const Feature& feature, const InterpretOptions& options, Findings& findings) {
  const TagReader tags(feature, findings);
  RunwayPiece piece;
  piece.feature = &feature;
  piece.ref = read_ref(feature, findings);
  piece.displaced = feature.tag("runway") == "displaced_threshold";
  piece.closed = (piece.ref && piece.ref->closed) || feature.tag("runway") == "closed";
  if (piece.closed)
    findings.push_back(finding_at("closed-in-map", Severity::caution, feature, "the map says this runway is closed"));
  else
    piece.closed = tags.closed(options);
  piece.layer = tags.layer();
  piece.width = tags.width("width");
  for (std::size_t i = 1; i < feature.line.size(); ++i)
    piece.length += geodesic_length(feature.line[i - 1].at, feature.line[i].at);
  return piece;
}

/// Designators on the ends they name, with what is odd about them reported.
void set_designators(Runway& runway, const std::optional<RunwayRef>& ref, const Feature& feature, Findings& findings) {
  if (!ref || ref->designators[0].empty()) {
    findings.push_back(
        finding_at("runway-without-designators", Severity::note, feature, "the map gives this runway no designators"));
    return;
  }
  const OrientedRef oriented = orient(*ref, azimuth(runway.line.front().at, runway.line.back().at));
  runway.designators = oriented.designators;
  const std::string name = runway.name();
  if (oriented.completed)
    findings.push_back(finding_at("runway-ref-completed", Severity::note, feature,
                                  "only one designator given; the runway is taken as " + name));
  if (oriented.reversed)
    findings.push_back(
        finding_at("runway-ref-reversed", Severity::note, feature,
                   name + ": the designators are written against the direction of the line; each is put on its own end"));
  if (!oriented.completed && !is_reciprocal(*ref))
    findings.push_back(finding_at("runway-ref-not-reciprocal", Severity::caution, feature,
                                  name + ": the two designators are not 18 apart"));
  if (oriented.mismatch.in_degrees() > kRefMismatch_deg)
    findings.push_back(finding_at(
        "runway-ref-azimuth", Severity::caution, feature,
        fmt::format("{}: the line runs {:.0f}° off what the designators say", name, oriented.mismatch.in_degrees())));
}

/// Designators in a list such as "09R;27L".
bool names_end(const std::string& list, const std::string& designator) {
  for (std::size_t from = 0; from < list.size();) {
    const std::size_t to = std::min(list.find(';', from), list.size());
    if (!designator.empty() && same_designator(list.substr(from, to - from), designator)) return true;
    from = to + 1;
  }
  return false;
}

/// Ends from which nothing takes off or on which nothing lands.
void shut_ends(Runway& runway, const Feature& feature, Findings& findings) {
  for (std::size_t end = 0; end < 2; ++end) {
    const std::string& designator = runway.designators[end];
    runway.no_take_off[end] = runway.no_take_off[end] || names_end(feature.tag("no_take_off"), designator);
    runway.no_landing[end] = runway.no_landing[end] || names_end(feature.tag("no_landing"), designator);
    if (!runway.no_take_off[end] && !runway.no_landing[end]) continue;
    findings.push_back(
        finding_at("runway-end-shut", Severity::caution, feature,
                   fmt::format("runway {} is shut for {}", designator,
                               !runway.no_landing[end]    ? "take-offs"
                               : !runway.no_take_off[end] ? "landings"
                                                          : "take-offs and landings; it may be crossed and taxied along")));
  }
}

Runway runway_of_chain(const RunwayChain& chain, Findings& findings) {
  Runway runway;
  runway.line = chain.line;
  const auto longest = std::max_element(chain.pieces.begin(), chain.pieces.end(),
                                        [](const RunwayPiece& a, const RunwayPiece& b) { return a.length < b.length; });
  runway.id = longest->feature->id();
  runway.layer = longest->layer;
  runway.closed = longest->closed;
  std::optional<RunwayRef> ref = longest->ref;
  bool widths_differ = false;
  for (const RunwayPiece& piece : chain.pieces) {
    if (!ref || ref->designators[0].empty()) ref = piece.ref;
    if (piece.width && runway.width && *piece.width != *runway.width) widths_differ = true;
    if (piece.width && (!runway.width || *piece.width < *runway.width)) runway.width = piece.width;
  }
  if (widths_differ)
    findings.push_back(finding_at("runway-widths-differ", Severity::note, *longest->feature,
                                  "the pieces of this runway differ in width; the least is used"));
  // Landing thresholds: pavement before them belongs to the runway.
  const auto leading = [](auto first, auto last) {
    Metres sum;
    for (; first != last && first->displaced; ++first) sum += first->length;
    return std::pair{sum, first == last};
  };
  const auto [front, all_displaced] = leading(chain.pieces.begin(), chain.pieces.end());
  if (all_displaced) {
    findings.push_back(
        finding_at("runway-all-displaced", Severity::caution, *longest->feature,
                   "every piece of this runway is drawn as lying before a displaced threshold; none is used as one"));
  } else {
    runway.displaced = {front, leading(chain.pieces.rbegin(), chain.pieces.rend()).first};
    Metres all;
    for (const RunwayPiece& piece : chain.pieces) all += piece.displaced ? piece.length : Metres{};
    if ((all - runway.displaced[0] - runway.displaced[1]).value() > 0.01)
      findings.push_back(finding_at("runway-displaced-inside", Severity::caution, *longest->feature,
                                    "a displaced-threshold piece lies in the middle of this runway"));
  }
  if (chain.pieces.size() > 1)
    findings.push_back(finding_at("runway-in-pieces", Severity::note, *longest->feature,
                                  fmt::format("one runway put together from {} pieces", chain.pieces.size())));
  set_designators(runway, ref, *longest->feature, findings);
  for (const RunwayPiece& piece : chain.pieces) shut_ends(runway, *piece.feature, findings);
  return runway;
}

void use_thresholds(Runway& runway, const std::vector<const Feature*>& thresholds, const LocalFrame& frame,
                    Findings& findings) {
  const PlanarLine line = to_plane(frame, runway.line);
  const double length = along_m(line, line.back());
  for (const Feature* threshold : thresholds) {
    const LocalXY at = frame.to_local(threshold->line.front().at);
    if (distance_to_line_m(line, at) > kThresholdNear_m) continue;
    const double along = along_m(line, at);
    const std::size_t end = along < length / 2 ? 0 : 1;
    const double inset = end == 0 ? along : length - along;
    // A mark elsewhere may belong to a crossing runway.
    const auto ref = designator_number(threshold->tag("ref"));
    if (ref && !runway.designators[end].empty() && !same_designator(threshold->tag("ref"), runway.designators[end]))
      continue;
    if (!ref && inset > 0.4 * length) continue;
    const double drawn = runway.displaced[end].value();
    if (drawn <= 0 && inset > 5.0) {
      runway.displaced[end] = Metres{inset};
      findings.push_back(
          finding_at("threshold-mark", Severity::note, *threshold,
                     fmt::format("landing threshold {:.0f} m in from the end of runway {}", inset, runway.name())));
    } else if (drawn > 0 && std::abs(drawn - inset) > 10.0) {
      findings.push_back(finding_at("threshold-disagrees", Severity::caution, *threshold,
                                    fmt::format("threshold mark {:.0f} m in, displaced piece {:.0f} m long, runway {}",
                                                inset, drawn, runway.name())));
    }
  }
}

/// Runways given by their edge only.
void add_from_edges(std::vector<Runway>& runways, const std::vector<const Feature*>& edges, const LocalFrame& frame,
                    const InterpretOptions& options, Findings& findings) {
  std::vector<std::string> duplicates;  // relations may have several outer rings
  std::vector<const Feature*> repeated, open;
  for (const Feature* edge : edges) {
    const PlanarLine ring = to_plane(frame, edge->line);
    const bool doubled = std::any_of(runways.begin(), runways.end(), [&](const Runway& runway) {
      return share_inside(to_plane(frame, runway.line), ring) > 0.5;
    });
    (doubled ? repeated : open).push_back(edge);
    if (doubled) duplicates.push_back(edge->id());
  }
  add_counted(findings, "runway-area-repeats", Severity::note, repeated,
              "pavement of runways that have a centreline, not used");
  for (const Feature* edge : open) {
    if (std::find(duplicates.begin(), duplicates.end(), edge->id()) != duplicates.end()) continue;
    const auto axis = strip_axis(to_plane(frame, edge->line));
    if (!axis) {
      findings.push_back(
          finding_at("runway-area-unusable", Severity::serious, *edge,
                     "a runway drawn as an area without a centreline, and not a plain strip; it is left out"));
      continue;
    }
    const RunwayPiece piece = read_piece(*edge, options, findings);
    Runway runway;
    runway.id = edge->id();
    runway.line = {{frame.to_geodetic(axis->from), {}, 0}, {frame.to_geodetic(axis->to), {}, 0}};
    runway.width = piece.width ? piece.width : Metres{axis->width_m};
    runway.layer = piece.layer;
    runway.closed = piece.closed;
    runway.assumed_centreline = true;
    for (const Vertex& vertex : edge->line) runway.ring.push_back(vertex.at);
    set_designators(runway, piece.ref, *edge, findings);
    shut_ends(runway, *edge, findings);
    findings.push_back(
        finding_at("runway-ring", Severity::caution, *edge,
                   fmt::format("runway {} is drawn as the edge of its pavement; a centreline of {:.0f} m between the "
                               "middles of its two short ends is assumed",
                               runway.name(), axis->length_m)));
    runways.push_back(std::move(runway));
  }
}

/// A runway given by surveyed points of its centreline: a line through them, end to end. Width, closure and the like are
/// those of a pavement edge around it, where there is one.
std::optional<Runway> runway_of_points(const std::vector<const Feature*>& points, const std::vector<const Feature*>& edges,
                                       const LocalFrame& frame, const InterpretOptions& options, Findings& findings) {
  PlanarLine places;
  for (const Feature* p : points) places.push_back(frame.to_local(p->line.front().at));
  std::pair<std::size_t, std::size_t> outer{0, 0};
  double longest = 0.0;
  for (std::size_t i = 0; i < places.size(); ++i)
    for (std::size_t j = i + 1; j < places.size(); ++j)
      if (const double d = distance_m(places[i], places[j]); d > longest) {
        longest = d;
        outer = {i, j};
      }
  if (!(longest > 1.0)) return std::nullopt;
  const LocalXY from = places[outer.first], along = (places[outer.second] - from) * (1.0 / longest);
  std::vector<std::pair<double, std::size_t>> order;
  for (std::size_t i = 0; i < places.size(); ++i)
    order.emplace_back((places[i] - from).x_m * along.x_m + (places[i] - from).y_m * along.y_m, i);
  std::sort(order.begin(), order.end());
  Runway runway;
  runway.id = points[outer.first]->id();
  for (const auto& [at, i] : order)
    if (runway.line.empty() || geodesic_length(runway.line.back().at, points[i]->line.front().at).value() > kSamePoint_m)
      runway.line.push_back(points[i]->line.front());
  const Feature* about = points[outer.first];
  std::optional<RunwayRef> ref = parse_runway_ref(about->tag("ref"));
  for (const Feature* edge : edges) {
    const PlanarLine ring = to_plane(frame, edge->line);
    if (share_inside(to_plane(frame, runway.line), ring) < 0.5) continue;
    const RunwayPiece piece = read_piece(*edge, options, findings);
    runway.id = edge->id();
    runway.width = piece.width;
    runway.layer = piece.layer;
    runway.closed = piece.closed;
    if (!ref) ref = piece.ref;
    about = edge;
    break;
  }
  set_designators(runway, ref, *about, findings);
  shut_ends(runway, *about, findings);
  findings.push_back(
      finding_at("runway-of-points", Severity::note, *about,
                 fmt::format("runway {} is laid through {} points of its centreline", runway.name(), runway.line.size())));
  return runway;
}

}  // namespace

std::vector<Runway> assemble_runways(const std::vector<const Feature*>& features,
                                     const std::vector<const Feature*>& thresholds, const InterpretOptions& options,
                                     Findings& findings) {
  std::vector<RunwayPiece> pieces;
  std::vector<const Feature*> edges, water, untaxiable;
  std::map<std::string, std::vector<const Feature*>> points;  // by ref
  for (const Feature* feature : features) {
    const std::string& part = feature->tag("runway");
    if (is_water(*feature))
      water.push_back(feature);
    else if (part == "blast_pad" || part == "stopway" || part == "overrun")
      untaxiable.push_back(feature);
    else if (feature->is(RawFeature::Shape::area) || feature->is_ring())
      edges.push_back(feature);
    else if (feature->is(RawFeature::Shape::line) && feature->line.size() > 1)
      pieces.push_back(read_piece(*feature, options, findings));
    else if (feature->is(RawFeature::Shape::point) && part == "centreline_point")
      points[feature->tag("ref")].push_back(feature);
    else
      findings.push_back(
          finding_at("runway-without-line", Severity::serious, *feature, "a runway given as a point only is left out"));
  }
  add_counted(findings, "water-runway", Severity::note, water, "runways on water, left out");
  add_counted(findings, "not-taxiable", Severity::note, untaxiable, "blast pads and stopways, not taxiable");
  if (pieces.empty() && edges.empty() && points.empty()) return {};
  const Feature* first = !pieces.empty()  ? pieces.front().feature
                         : !edges.empty() ? edges.front()
                                          : points.begin()->second.front();
  const LocalFrame frame(first->line.front().at);
  std::vector<Runway> runways;
  for (const RunwayChain& chain : chain_pieces(std::move(pieces), findings))
    runways.push_back(runway_of_chain(chain, findings));
  const std::size_t drawn = runways.size();
  for (const auto& [ref, of_runway] : points) {
    const auto same_line = [&](const Runway& runway) {
      return distance_to_line_m(to_plane(frame, runway.line), frame.to_local(of_runway.front()->line.front().at)) <
             kThresholdNear_m;
    };
    if (std::any_of(runways.begin(), runways.begin() + static_cast<std::ptrdiff_t>(drawn), same_line)) {
      add_counted(findings, "runway-points-repeat", Severity::note, of_runway,
                  "centreline points of a runway that has a line, not used");
      continue;
    }
    if (auto runway = runway_of_points(of_runway, edges, frame, options, findings))
      runways.push_back(std::move(*runway));
    else
      findings.push_back(finding_at("runway-without-line", Severity::serious, *of_runway.front(),
                                    "a runway given by one point of its centreline is left out"));
  }
  add_from_edges(runways, edges, frame, options, findings);
  for (Runway& runway : runways) use_thresholds(runway, thresholds, frame, findings);
  for (std::size_t i = 0; i < runways.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      if (!runways[i].designators[0].empty() && runways[i].name() == runways[j].name())
        findings.push_back(finding_about("runway-name-repeated", Severity::caution, runways[i].id,
                                         "runway " + runways[i].name() + " occurs twice, also as " + runways[j].id));
  return runways;
}

}  // namespace solotaxi::airfield
