// Turns to a side: from a line over the unnamed pieces of a junction onto what lies on that side.
#include <algorithm>
#include <cmath>

#include "routing/assigned_search.hpp"

namespace solotaxi::routing {
double turned_rad(const network::Segment& segment, bool along) {
  double sum = 0.0;
  for (std::size_t i = 2; i < segment.line.size(); ++i)
    sum += deflection(heading(segment.line[i - 2], segment.line[i - 1]), heading(segment.line[i - 1], segment.line[i]))
               .value();
  return along ? sum : -sum;
}

void AssignedSearch::turn(std::uint32_t from, std::size_t number) {
  Turning turning{from, number, {}};
  const State& s = states_[from];
  follow_turn(turning, 0.0, 0.0, rules_.items[number].near[index(net_.head(s.arc))] != 0, {}, s.mask);
}

void AssignedSearch::follow_turn(Turning& turning, double pieces_m, double angle, bool near, OrderedCost cost, Mask mask) {
  const State s = states_[turning.from];
  const RuleItem& item = rules_.items[turning.number];
  auto& pieces = turning.pieces;
  const ArcId last = pieces.empty() ? s.arc : pieces.back();
  const double sign = item.side == Side::right ? 1.0 : -1.0;
  for (std::size_t m = net_.first_movement[index(last)]; m < net_.first_movement[index(last) + 1]; ++m) {
    const Movement& move = net_.movements[m];
    if (move.turn_round || weights_.movement[m] == kShut || weights_.arc[index(move.to)] == kShut) continue;
    const double turned = angle + static_cast<double>(move.angle_rad);
    const OrderedCost there = cost + OrderedCost{0, 0, weights_.movement[m]} + weights_.of(move.to);
    const auto bits = static_cast<Mask>(mask | passed(last, move.to) | rules_.reach[index(move.to)]);
    const auto& own = rules_.lines->of(network::segment_of(move.to));
    // A line that itself bends here is not turned off from.
    const bool stays = s.line >= 0 && has(own, s.line);
    if (near && sign * turned >= (stays ? kLeastBend_rad : kLeastTurn_rad)) {
      const auto next = static_cast<std::uint16_t>(turning.number + 1);
      Entries ways;
      entries(next, s.line, bits, move.to, ways);
      for (const LineId l : own)
        if (has(item.lines, l) && l != s.line) ways.push_back({next, l});
      State to;
      to.arc = move.to;
      to.mask = bits;
      to.turn = next;
      if (!pieces.empty()) {
        to.between = static_cast<std::uint32_t>(between_.size());
        between_.push_back(pieces);
      }
      for (const Entry& e : ways) step(turning.from, to, e, there, static_cast<std::int64_t>(turning.number - s.next));
    }
    const auto& segment = net_.segment(move.to);
    const bool piece = own.empty() && segment.kind != LineKind::runway && segment.kind != LineKind::stand_line;
    if (!piece || pieces_m + segment.length_m > kJunctionPieces_m) continue;
    if (std::find(pieces.begin(), pieces.end(), move.to) != pieces.end()) continue;
    pieces.push_back(move.to);
    follow_turn(turning, pieces_m + segment.length_m, turned + turned_rad(segment, network::is_along(move.to)),
                near || item.near[index(net_.head(move.to))], there, bits);
    pieces.pop_back();
  }
}

}  // namespace solotaxi::routing
