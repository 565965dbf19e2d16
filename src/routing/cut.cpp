// Dividing segments of a finished network, so that a route may start or end, and engines be started, in their middle.

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "solotaxi/routing/place.hpp"

namespace solotaxi::routing {
namespace {

using network::ArcId;
using network::Movement;
using network::Network;
using network::NodeId;
using network::Segment;
using network::SegmentId;

double height_at(const std::vector<network::Knot>& profile, double at_m) {
  for (std::size_t i = 1; i < profile.size(); ++i)
    if (at_m <= profile[i].at_m) {
      const auto &a = profile[i - 1], &b = profile[i];
      const double part = b.at_m > a.at_m ? (at_m - a.at_m) / (b.at_m - a.at_m) : 0.0;
      return a.height_m + part * (b.height_m - a.height_m);
    }
  return profile.back().height_m;
}

void divide_line(const Segment& whole, double at_m, const LocalFrame& frame, Segment& before, Segment& behind) {
  std::size_t i = 1;
  while (i + 1 < whole.chainage_m.size() && whole.chainage_m[i] <= at_m) ++i;  // at_m lies before vertex i
  const auto k = static_cast<std::ptrdiff_t>(i);
  const double part = (at_m - whole.chainage_m[i - 1]) / (whole.chainage_m[i] - whole.chainage_m[i - 1]);
  const bool at_vertex = part <= 0.0;
  const LocalXY xy = whole.line[i - 1] + (whole.line[i] - whole.line[i - 1]) * part;
  before.geodetic.assign(whole.geodetic.begin(), whole.geodetic.begin() + k);
  before.line.assign(whole.line.begin(), whole.line.begin() + k);
  before.chainage_m.assign(whole.chainage_m.begin(), whole.chainage_m.begin() + k);
  if (!at_vertex) {
    before.geodetic.push_back(frame.to_geodetic(xy));
    before.line.push_back(xy);
    before.chainage_m.push_back(at_m);
  }
  behind.geodetic.assign(whole.geodetic.begin() + k, whole.geodetic.end());
  behind.line.assign(whole.line.begin() + k, whole.line.end());
  behind.chainage_m.assign(whole.chainage_m.begin() + k, whole.chainage_m.end());
  behind.geodetic.insert(behind.geodetic.begin(), before.geodetic.back());
  behind.line.insert(behind.line.begin(), before.line.back());
  behind.chainage_m.insert(behind.chainage_m.begin(), at_m);
  for (double& c : behind.chainage_m) c -= at_m;
  before.length_m = at_m;
  behind.length_m = whole.length_m - at_m;
}

void divide_profile(const Segment& whole, double at_m, Segment& before, Segment& behind) {
  const double height = height_at(whole.profile, at_m);
  before.profile.clear();
  behind.profile.clear();
  before.grade_sd.clear();
  behind.grade_sd.clear();
  for (std::size_t i = 0; i < whole.profile.size(); ++i) {
    const network::Knot& knot = whole.profile[i];
    if (knot.at_m < at_m) before.profile.push_back(knot);
    if (knot.at_m > at_m) behind.profile.push_back({knot.at_m - at_m, knot.height_m});
    if (i + 1 == whole.profile.size() || i >= whole.grade_sd.size()) continue;
    if (knot.at_m < at_m) before.grade_sd.push_back(whole.grade_sd[i]);
    if (whole.profile[i + 1].at_m > at_m) behind.grade_sd.push_back(whole.grade_sd[i]);
  }
  before.profile.push_back({at_m, height});
  behind.profile.insert(behind.profile.begin(), {0.0, height});
}

/// A segment divided: its parts in the order of its drawing, the first keeping its number.
struct Divided {
  SegmentId segment;
  std::vector<SegmentId> parts;
};

/// Divides a segment of `net` at ascending chainages. Movements, arcs out of nodes and runways are left to `renew`.
Divided divide(Network& net, SegmentId segment, const std::vector<double>& cuts_m) {
  Divided out{segment, {segment}};
  double done_m = 0.0;
  for (const double cut_m : cuts_m) {
    const Segment whole = net.segment(out.parts.back());
    Segment before = whole, behind = whole;
    divide_line(whole, cut_m - done_m, net.frame, before, behind);
    divide_profile(whole, cut_m - done_m, before, behind);
    before.to = behind.from = NodeId{static_cast<std::uint32_t>(net.nodes.size())};
    net.nodes.push_back({before.geodetic.back(), before.line.back(), before.profile.back().height_m, ""});
    net.component.push_back(net.component[index(whole.from)]);
    net.segments[index(out.parts.back())] = std::move(before);
    out.parts.push_back(SegmentId{static_cast<std::uint32_t>(net.segments.size())});
    net.segments.push_back(std::move(behind));
    done_m = cut_m;
  }
  return out;
}

float turn_at_cut(const Segment& before, const Segment& behind) {
  const Radians in = heading(before.line[before.line.size() - 2], before.line.back());
  return static_cast<float>(deflection(in, heading(behind.line[0], behind.line[1])).value());
}

/// The movements again: those at a segment's old far end carried over to its last part, and those at the cuts.
void renew_movements(Network& net, const std::vector<Divided>& divided) {
  std::vector<SegmentId> last(net.segments.size());
  for (std::uint32_t s = 0; s < net.segments.size(); ++s) last[s] = SegmentId{s};
  for (const Divided& d : divided) last[index(d.segment)] = d.parts.back();
  for (Movement& m : net.movements) {
    if (is_along(m.from)) m.from = arc_along(last[index(segment_of(m.from))]);
    if (!is_along(m.to)) m.to = arc_against(last[index(segment_of(m.to))]);
  }
  for (const Divided& d : divided)
    for (std::size_t i = 1; i < d.parts.size(); ++i) {
      const SegmentId a = d.parts[i - 1], b = d.parts[i];
      const float angle = turn_at_cut(net.segment(a), net.segment(b));
      if (net.may_drive(arc_along(a))) net.movements.push_back({arc_along(a), arc_along(b), angle, false});
      if (net.may_drive(arc_against(a))) net.movements.push_back({arc_against(b), arc_against(a), -angle, false});
    }
  std::sort(net.movements.begin(), net.movements.end(),
            [](const Movement& a, const Movement& b) { return a.from != b.from ? a.from < b.from : a.to < b.to; });
  net.first_movement.assign(net.arc_count() + 1, 0);
  for (const Movement& m : net.movements) ++net.first_movement[index(m.from) + 1];
  for (std::size_t a = 0; a < net.arc_count(); ++a) net.first_movement[a + 1] += net.first_movement[a];
}

void renew_out_arcs(Network& net) {
  net.first_out.assign(net.nodes.size() + 1, 0);
  for (std::uint32_t a = 0; a < net.arc_count(); ++a)
    if (net.may_drive(ArcId{a})) ++net.first_out[index(net.tail(ArcId{a})) + 1];
  for (std::size_t n = 0; n < net.nodes.size(); ++n) net.first_out[n + 1] += net.first_out[n];
  net.out_arcs.assign(net.first_out.back(), ArcId{});
  auto next = net.first_out;
  for (std::uint32_t a = 0; a < net.arc_count(); ++a)
    if (net.may_drive(ArcId{a})) net.out_arcs[next[index(net.tail(ArcId{a}))]++] = ArcId{a};
}

/// The pieces of every runway again, front to back.
void renew_runways(Network& net, const std::vector<Divided>& divided) {
  std::vector<const Divided*> by_segment(net.segments.size(), nullptr);
  for (const Divided& d : divided) by_segment[index(d.segment)] = &d;
  for (network::Runway& runway : net.runways) {
    std::vector<SegmentId> pieces;
    NodeId at = runway.front;
    for (const SegmentId s : runway.segments) {
      const Divided* d = by_segment[index(s)];
      const std::vector<SegmentId> parts = d ? d->parts : std::vector<SegmentId>{s};
      const bool along = net.segment(parts.front()).from == at;
      at = along ? net.segment(parts.back()).to : net.segment(parts.front()).from;
      if (along)
        pieces.insert(pieces.end(), parts.begin(), parts.end());
      else
        pieces.insert(pieces.end(), parts.rbegin(), parts.rend());
    }
    runway.segments = std::move(pieces);
  }
}

void renew(Network& net, const std::vector<Divided>& divided) {
  renew_movements(net, divided);
  renew_out_arcs(net);
  renew_runways(net, divided);
}

}  // namespace

CutNetwork network_with_node_at(const Network& network, SegmentId segment, double at_m) {
  if (!(at_m > 0.0 && at_m < network.segment(segment).length_m))
    throw std::invalid_argument("network_with_node_at: the chainage is not between the segment's ends");
  CutNetwork out{network, NodeId{static_cast<std::uint32_t>(network.nodes.size())}};
  renew(out.network, {divide(out.network, segment, {at_m})});
  return out;
}

PartedNetwork network_in_parts(const Network& network, double most_m) {
  if (!(most_m > 0.0)) throw std::invalid_argument("network_in_parts: parts have a length over 0");
  PartedNetwork out{network, {}};
  std::vector<Divided> divided;
  for (std::uint32_t s = 0; s < network.segments.size(); ++s) {
    out.original.push_back(SegmentId{s});
  }
  for (std::uint32_t s = 0; s < network.segments.size(); ++s) {
    const double length = network.segments[s].length_m;
    const auto parts = static_cast<std::size_t>(std::ceil(length / most_m - 1e-9));
    if (parts < 2) continue;
    std::vector<double> cuts_m;
    for (std::size_t i = 1; i < parts; ++i) cuts_m.push_back(length * static_cast<double>(i) / static_cast<double>(parts));
    divided.push_back(divide(out.network, SegmentId{s}, cuts_m));
    out.original.resize(out.network.segments.size(), SegmentId{s});
  }
  renew(out.network, divided);
  return out;
}

}  // namespace solotaxi::routing
