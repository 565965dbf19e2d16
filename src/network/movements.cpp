// Movements: every pair of arcs that meet at a node, with the angle of the drawn lines there.
#include <algorithm>
#include <array>

#include "network/draft.hpp"

namespace solotaxi::network::detail {
namespace {

/// 135 degrees and the rounding of a right-angled drawing in the plane.
constexpr double kSharpestTurn = 135.0 * std::numbers::pi / 180.0 + 1e-6;

struct Headings {
  Radians at_tail, at_head;  ///< of the arc as driven
};

/// Headings of both arcs of a segment at its ends, from its line simplified to the drawing noise.
std::array<Headings, 2> headings(const Segment& s, const GeosContext& geos) {
  const auto line = simplified(geos, s.line, kDrawingNoise);
  const std::size_t n = line.size();
  return {{{heading(line[0], line[1]), heading(line[n - 2], line[n - 1])},
           {heading(line[n - 1], line[n - 2]), heading(line[1], line[0])}}};
}

}  // namespace

void add_movements(Network& net, const GeosContext& geos) {
  std::vector<Headings> arcs;
  arcs.reserve(net.arc_count());
  for (const auto& s : net.segments)
    for (const auto& h : headings(s, geos)) arcs.push_back(h);

  std::vector<char> runway_end(net.nodes.size(), 0);
  for (const auto& r : net.runways) runway_end[index(r.front)] = runway_end[index(r.back)] = 1;

  net.movements.clear();
  net.first_movement.assign(1, 0);
  for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
    const ArcId from{a};
    if (net.may_drive(from)) {
      const NodeId at = net.head(from);
      for (const ArcId to : net.arcs_from(at)) {  // ascending
        if (to == from) continue;
        if (to == reversed(from)) {
          if (net.segment(from).kind == LineKind::runway && runway_end[index(at)] != 0)
            net.movements.push_back({from, to, static_cast<float>(std::numbers::pi), true});
          continue;
        }
        const double angle = deflection(arcs[a].at_head, arcs[index(to)].at_tail).value();
        if (std::abs(angle) <= kSharpestTurn) net.movements.push_back({from, to, static_cast<float>(angle), false});
      }
    }
    net.first_movement.push_back(static_cast<std::uint32_t>(net.movements.size()));
  }
}

}  // namespace solotaxi::network::detail
