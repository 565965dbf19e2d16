#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <queue>
#include <set>
#include <string>
#include <unordered_map>
#include <vector>

#include "routing/spelling.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/routing/place.hpp"

namespace solotaxi::routing {
namespace {

using network::Network;
using network::NodeId;

std::string in_degrees(LatLon at) {
  char text[64];
  std::snprintf(text, sizeof text, "%.5f,%.5f", at.lat_deg(), at.lon_deg());
  return text;
}

/// The place itself stands before these messages, as the feature they are about.
[[noreturn]] void unknown(const Place& place, const std::string& kind, const std::string& what,
                          const std::vector<std::string>& names, const std::string& otherwise) {
  std::vector<std::string> spelt;
  for (const std::string& name : nearest_spellings(names, place.name.empty() ? place.id : place.name))
    spelt.push_back(kind + ":" + name);
  throw data_error("this field has no such " + what, {{}, {}, place.text},
                   spelt.empty() ? otherwise : "nearest spellings: " + listed(spelt));
}

[[noreturn]] void ambiguous(const Place& place, std::vector<std::string> candidates) {
  std::sort(candidates.begin(), candidates.end());
  throw data_error("may be any of " + std::to_string(candidates.size()), {{}, {}, place.text},
                   "choose one: " + listed(candidates, 30));
}

/// An id as it is asked for; assumed ones keep the word, as a number alone would say nothing.
std::string shown_id(const std::string& id) { return id.starts_with("assumed/") ? id : bare_id(id); }

std::string own_name(const network::Stand& stand) { return stand.ref; }
std::string own_name(const network::HoldingPoint& hold) { return hold.ref; }

/// Names of the taxiways at a node, "A;A1".
std::string taxiways_at(const Network& net, NodeId node) {
  std::set<std::string> names;
  for (const network::Segment& s : net.segments)
    if ((s.from == node || s.to == node) && s.kind != network::LineKind::runway && !s.name.empty()) names.insert(s.name);
  std::string out;
  for (const std::string& name : names) out += (out.empty() ? "" : ";") + name;
  return out;
}

/// What stands and holding positions have in common here: the one of that name and id among features with these names.
template <class Feature>
std::optional<int> pick(const Network& net, const Place& place, const std::vector<Feature>& features,
                        const std::vector<std::string>& names, const std::string& kind) {
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < features.size(); ++i) {
    if (!place.id.empty() && !id_matches(features[i].id, place.id)) continue;
    if (!place.name.empty() && !names_match(names[i], place.name)) continue;
    found.push_back(i);
  }
  if (found.empty()) return std::nullopt;
  const NodeId node = features[found.front()].node;
  if (std::any_of(found.begin(), found.end(), [&](std::size_t i) { return features[i].node != node; })) {
    std::vector<std::string> candidates;
    for (const std::size_t i : found) {
      const Feature& f = features[i];
      const auto same = std::count_if(found.begin(), found.end(),
                                      [&](std::size_t j) { return bare_id(features[j].id) == bare_id(f.id); });
      candidates.push_back(kind + ":" + (place.name.empty() ? names[i] : place.name) + "#" +
                           (same > 1 ? f.id : shown_id(f.id)) + " (" + in_degrees(net.node(f.node).at) + ")");
    }
    ambiguous(place, std::move(candidates));
  }
  return static_cast<int>(found.front());
}

template <class Feature>
std::vector<std::string> own_names(const std::vector<Feature>& features) {
  std::vector<std::string> names;
  for (const Feature& f : features) names.push_back(own_name(f));
  return names;
}

/// How the features could be asked for.
template <class Feature>
std::vector<std::string> spellings(const Place& place, const std::vector<Feature>& features,
                                   const std::vector<std::string>& names) {
  std::vector<std::string> out;
  for (std::size_t i = 0; i < features.size(); ++i)
    out.push_back(!names[i].empty() && place.id.empty() ? names[i] : names[i] + "#" + shown_id(features[i].id));
  return out;
}

int pick_stand(const Network& net, const Place& place) {
  const auto names = own_names(net.stands);
  if (const auto found = pick(net, place, net.stands, names, "stand")) return *found;
  unknown(place, "stand", "stand", spellings(place, net.stands, names), "the map shows no stands; use node: or lat,lon");
}

/// By its own name, else, where it has none (as assumed ones have), by that of the taxiway it lies on.
int pick_hold(const Network& net, const Place& place) {
  auto names = own_names(net.holding_points);
  if (const auto found = pick(net, place, net.holding_points, names, "hold")) return *found;
  for (std::size_t i = 0; i < names.size(); ++i) {
    const network::HoldingPoint& hold = net.holding_points[i];
    names[i] = hold.ref.empty() ? taxiways_at(net, hold.node) : "";
  }
  if (const auto found = pick(net, place, net.holding_points, names, "hold")) return *found;
  for (std::size_t i = 0; i < names.size(); ++i)
    if (names[i].empty()) names[i] = net.holding_points[i].ref;
  unknown(place, "hold", "holding position", spellings(place, net.holding_points, names),
          "the map shows no holding positions; use node: or lat,lon");
}

std::string entry_spelling(const network::RunwayEntry& e) {
  return e.names.empty() ? "node:" + std::to_string(index(e.node)) : e.names.front();
}

/// How far behind its holding position a runway entry may lie along the taxiway [m]; assumed.
constexpr double kEntryBehindHold_m = 500.0;

/// Entries of a runway that lie next behind its holding positions of a name, going over taxiways only.
std::vector<std::uint32_t> entries_behind_hold(const Network& net, int runway, const std::string& name) {
  const auto& entries = net.runways[static_cast<std::size_t>(runway)].entries;
  std::vector<std::uint32_t> found;
  for (const network::HoldingPoint& hold : net.holding_points) {
    if (hold.runway != runway || hold.ref.empty() || !names_match(hold.ref, name)) continue;
    using Reached = std::pair<double, std::uint32_t>;
    std::priority_queue<Reached, std::vector<Reached>, std::greater<>> open;
    std::unordered_map<std::uint32_t, double> least{{index(hold.node), 0.0}};
    open.emplace(0.0, index(hold.node));
    while (!open.empty()) {
      const auto [way, node] = open.top();
      open.pop();
      if (way > least.at(node)) continue;
      const auto entry = std::find_if(entries.begin(), entries.end(), [&](const auto& e) { return index(e.node) == node; });
      if (entry != entries.end()) {
        found.push_back(static_cast<std::uint32_t>(entry - entries.begin()));
        break;
      }
      for (const network::ArcId a : net.arcs_from(NodeId{node})) {
        const double there = way + net.segment(a).length_m;
        const std::uint32_t head = index(net.head(a));
        if (net.segment(a).kind == network::LineKind::runway || there > kEntryBehindHold_m) continue;
        const auto [it, fresh] = least.try_emplace(head, there);
        if (!fresh && it->second <= there) continue;
        it->second = there;
        open.emplace(there, head);
      }
    }
  }
  std::sort(found.begin(), found.end());
  found.erase(std::unique(found.begin(), found.end()), found.end());
  return found;
}

std::uint32_t pick_entry(const Network& net, const ResolvedPlace& at, const std::string& written_runway) {
  const Place& place = at.place;
  const network::Runway& runway = net.runways[static_cast<std::size_t>(at.runway)];
  std::vector<std::uint32_t> found;
  for (std::uint32_t i = 0; i < runway.entries.size(); ++i) {
    const auto& e = runway.entries[i];
    if ("node:" + std::to_string(index(e.node)) == folded(place.at) ||
        std::any_of(e.names.begin(), e.names.end(), [&](const std::string& n) { return names_match(n, place.at); }))
      found.push_back(i);
  }
  if (found.empty()) found = entries_behind_hold(net, at.runway, place.at);
  if (found.size() == 1) return found.front();
  std::vector<std::string> entries;
  for (std::uint32_t i = 0; i < runway.entries.size(); ++i) {
    if (!found.empty() && std::find(found.begin(), found.end(), i) == found.end()) continue;
    const auto& e = runway.entries[i];
    const std::string by_node = "node:" + std::to_string(index(e.node));
    const double from_end = at.end == 0 ? e.at_m : runway.length_m - e.at_m;
    entries.push_back(written_runway + "@" + (found.empty() ? entry_spelling(e) : by_node) + " at " +
                      std::to_string(std::lround(from_end)) + " m");
  }
  const Where where{{}, {}, place.text};
  if (!found.empty())
    throw data_error(place.at + " joins the runway at " + std::to_string(found.size()) + " points", where,
                     "choose one: " + listed(entries, 30));
  throw data_error(place.at + " does not join runway " + runway.name, where,
                   entries.empty() ? "no taxiway joins this runway" : "entries along it: " + listed(entries, 30));
}

void resolve_runway(const Network& net, ResolvedPlace& out) {
  const Place& place = out.place;
  struct End {
    int runway, end;
  };
  std::vector<End> found;
  std::vector<std::string> names;
  for (std::size_t r = 0; r < net.runways.size(); ++r)
    for (int e = 0; e < 2; ++e) {
      const std::string& d = net.runways[r].designators[static_cast<std::size_t>(e)];
      if (!d.empty()) names.push_back(d);
      if (d.empty() || designator(d) != designator(place.name)) continue;
      if (!place.id.empty() && !id_matches(net.runways[r].id, place.id)) continue;
      found.push_back({static_cast<int>(r), e});
    }
  if (found.empty())
    unknown(place, "runway", "runway end", names, "no runway of this field has a designator; use node: or lat,lon");
  if (found.size() > 1) {
    std::vector<std::string> candidates;
    for (const End& f : found)
      candidates.push_back("runway:" + place.name + "#" + bare_id(net.runways[static_cast<std::size_t>(f.runway)].id));
    ambiguous(place, std::move(candidates));
  }
  out.runway = found.front().runway;
  out.end = found.front().end;
  const network::Runway& runway = net.runways[static_cast<std::size_t>(out.runway)];
  if (!place.at.empty()) {
    out.entry = pick_entry(net, out, "runway:" + place.name);
    out.node = runway.entries[*out.entry].node;
  } else if (runway.entries.empty()) {
    out.node = out.end == 0 ? runway.front : runway.back;
  } else {
    out.node = out.end == 0 ? runway.entries.front().node : runway.entries.back().node;
  }
}

void resolve_position(const Network& net, ResolvedPlace& out) {
  const LocalXY p = net.frame.to_local(*out.place.position);
  double best = std::numeric_limits<double>::infinity(), at = 0.0;
  std::optional<network::SegmentId> segment;
  for (std::uint32_t s = 0; s < net.segments.size(); ++s) {
    const network::Segment& seg = net.segments[s];
    for (std::size_t i = 1; i < seg.line.size(); ++i) {
      const LocalXY a = seg.line[i - 1], d = seg.line[i] - a;
      const double long2 = d.x_m * d.x_m + d.y_m * d.y_m;
      const double t =
          long2 > 0.0 ? std::clamp(((p.x_m - a.x_m) * d.x_m + (p.y_m - a.y_m) * d.y_m) / long2, 0.0, 1.0) : 0.0;
      const double off = distance_m(p, a + d * t);
      if (off >= best) continue;
      best = off;
      segment = network::SegmentId{s};
      at = seg.chainage_m[i - 1] + t * (seg.chainage_m[i] - seg.chainage_m[i - 1]);
    }
  }
  const Where where{{}, {}, out.place.text};
  if (!segment) throw data_error("the network has no line", where);
  if (best > kPositionReach_m) {
    const network::Segment& seg = net.segment(*segment);
    throw data_error(best < 10e3 ? fmt::format("the network lies {:.0f} m away", best)
                                 : fmt::format("the network lies {:.0f} km away", best / 1e3),
                     where,
                     "at most " + std::to_string(std::lround(kPositionReach_m)) + " m; the nearest line is " +
                         (seg.name.empty() ? seg.source_id : seg.name + " (" + seg.source_id + ")"));
  }
  out.off_m = best;
  const network::Segment& seg = net.segment(*segment);
  out.node = at < 0.5 * seg.length_m ? seg.from : seg.to;
  if (at > kPositionIsNode_m && at < seg.length_m - kPositionIsNode_m) {
    out.segment = segment;
    out.at_m = at;
  }
}

}  // namespace

ResolvedPlace resolve(const Network& network, const Place& place) {
  ResolvedPlace out;
  out.place = place;
  switch (place.kind) {
    case Place::Kind::stand:
      out.stand = pick_stand(network, place);
      out.node = network.stands[static_cast<std::size_t>(out.stand)].node;
      break;
    case Place::Kind::hold:
      out.hold = pick_hold(network, place);
      out.node = network.holding_points[static_cast<std::size_t>(out.hold)].node;
      break;
    case Place::Kind::runway:
      resolve_runway(network, out);
      break;
    case Place::Kind::node:
      if (place.node >= network.nodes.size())
        throw data_error("this network has no such node", {{}, {}, place.text},
                         "its nodes go from 0 to " + std::to_string(network.nodes.size() - 1));
      out.node = NodeId{place.node};
      break;
    case Place::Kind::position:
      resolve_position(network, out);
      break;
  }
  return out;
}

}  // namespace solotaxi::routing
