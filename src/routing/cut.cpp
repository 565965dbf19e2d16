// Dividing a segment of a finished network, so that a route may start or end in its middle.

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

float turn_at_cut(const Segment& before, const Segment& behind) {
  const Radians in = heading(before.line[before.line.size() - 2], before.line.back());
  return static_cast<float>(deflection(in, heading(behind.line[0], behind.line[1])).value());
}

/// The movements again, those at the segment's old far end carried over to the part behind the cut.
void renew_movements(Network& net, SegmentId cut, SegmentId behind, float angle) {
  for (Movement& m : net.movements) {
    const ArcId from = m.from, to = m.to;
    if (from == arc_along(cut)) m.from = arc_along(behind);
    if (to == arc_against(cut)) m.to = arc_against(behind);
  }
  if (net.may_drive(arc_along(cut))) net.movements.push_back({arc_along(cut), arc_along(behind), angle, false});
  if (net.may_drive(arc_against(cut))) net.movements.push_back({arc_against(behind), arc_against(cut), -angle, false});
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

}  // namespace

CutNetwork network_with_node_at(const Network& network, SegmentId segment, double at_m) {
  const Segment whole = network.segment(segment);
  if (!(at_m > 0.0 && at_m < whole.length_m))
    throw std::invalid_argument("network_with_node_at: the chainage is not between the segment's ends");
  CutNetwork out{network, NodeId{static_cast<std::uint32_t>(network.nodes.size())}};
  Network& net = out.network;
  Segment before = whole, behind = whole;
  divide_line(whole, at_m, net.frame, before, behind);
  divide_profile(whole, at_m, before, behind);
  before.to = behind.from = out.node;
  const SegmentId last{static_cast<std::uint32_t>(net.segments.size())};
  const float angle = turn_at_cut(before, behind);
  net.nodes.push_back({before.geodetic.back(), before.line.back(), before.profile.back().height_m, ""});
  net.component.push_back(net.component[index(whole.from)]);
  net.segments[index(segment)] = before;
  net.segments.push_back(behind);
  renew_movements(net, segment, last, angle);
  renew_out_arcs(net);
  if (whole.runway >= 0) {
    auto& pieces = net.runways[static_cast<std::size_t>(whole.runway)].segments;
    const auto here = std::find(pieces.begin(), pieces.end(), segment);
    // Front to back: is the piece drawn that way, or against it?
    const NodeId entered = here == pieces.begin() ? net.runways[static_cast<std::size_t>(whole.runway)].front : NodeId{};
    bool along = whole.from == entered;
    if (here != pieces.begin()) {
      const Segment& previous = network.segment(*(here - 1));
      along = previous.from == whole.from || previous.to == whole.from;
    }
    pieces.insert(along ? here + 1 : here, last);
  }
  return out;
}

}  // namespace solotaxi::routing
