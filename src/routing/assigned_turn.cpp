// Turns to a side: from a line over the unnamed pieces of a junction onto what lies on that side.
#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "routing/assigned_search.hpp"

namespace solotaxi::routing {
double turned_rad(const network::Segment& segment, bool along) {
  double sum = 0.0;
  for (std::size_t i = 2; i < segment.line.size(); ++i)
    sum += deflection(heading(segment.line[i - 2], segment.line[i - 1]), heading(segment.line[i - 1], segment.line[i]))
               .value();
  return along ? sum : -sum;
}

/// The unnamed pieces of a junction driven so far, the cheapest first. Of two ways onto one piece with the same turning
/// only one that is cheaper or shorter is followed: pieces may lie in a close net, and their ways are then without number.
class AssignedSearch::Turner {
 public:
  Turner(AssignedSearch& search, std::uint32_t from, std::size_t number)
      : search_(search),
        net_(search.net_),
        from_(from),
        number_(number),
        start_(search.states_[from]),
        item_(search.rules_.items[number]) {}

  void make() {
    follow({start_.arc, kNone, 0.0, 0.0, item_.near[index(net_.head(start_.arc))] != 0, start_.mask, {}}, kNone);
    while (!queue_.empty()) {
      const std::uint32_t i = queue_.top().second;
      queue_.pop();
      if (overtaken(pieces_[i])) continue;
      follow(pieces_[i], i);
    }
  }

 private:
  /// Behind a piece of the junction, or behind the arc the turn begins on.
  struct Piece {
    ArcId arc{};
    std::uint32_t before = kNone;
    double length_m = 0.0, angle_rad = 0.0;
    bool near = false;
    Mask mask = 0;
    OrderedCost cost;
  };

  /// Another way onto this piece, cheaper for it came out of the queue before, is no longer.
  bool overtaken(const Piece& p) {
    const auto half_turns = static_cast<int>(std::lround(p.angle_rad / std::numbers::pi));
    const auto [it, fresh] = shortest_.try_emplace({p.arc, p.near, p.mask, half_turns}, p.length_m);
    if (!fresh && it->second <= p.length_m) return true;
    it->second = p.length_m;
    return false;
  }

  void follow(const Piece p, std::uint32_t i) {
    const auto& weights = search_.weights_;
    for (std::size_t m = net_.first_movement[index(p.arc)]; m < net_.first_movement[index(p.arc) + 1]; ++m) {
      const Movement& move = net_.movements[m];
      if (move.turn_round || weights.movement[m] == kShut || weights.arc[index(move.to)] == kShut) continue;
      Piece next = p;
      next.arc = move.to;
      next.before = i;
      next.angle_rad += static_cast<double>(move.angle_rad);
      next.cost = p.cost + OrderedCost{0, 0, weights.movement[m]} + weights.of(move.to);
      next.mask = static_cast<Mask>(p.mask | search_.passed(p.arc, move.to) | search_.rules_.reach[index(move.to)]);
      if (p.near) turn_onto(next);
      go_on(next);
    }
  }

  /// Ends the turn on an arc, if it has come to one.
  void turn_onto(const Piece& last) {
    const auto& own = search_.rules_.lines->of(network::segment_of(last.arc));
    const double sign = item_.side == Side::right ? 1.0 : -1.0;
    // A line that itself bends here is not turned off from.
    const bool stays = start_.line >= 0 && has(own, start_.line);
    if (sign * last.angle_rad < (stays ? kLeastBend_rad : kLeastTurn_rad)) return;
    const auto next = static_cast<std::uint16_t>(number_ + 1);
    Entries ways;
    search_.entries(next, start_.line, last.mask, last.arc, ways);
    for (const LineId l : own)
      if (has(item_.lines, l) && l != start_.line) ways.push_back({next, l});
    State to;
    to.arc = last.arc;
    to.mask = last.mask;
    to.turn = next;
    if (last.before != kNone) {
      to.between = static_cast<std::uint32_t>(search_.between_.size());
      search_.between_.push_back(driven(last.before));
    }
    for (const Entry& e : ways) search_.step(from_, to, e, last.cost, static_cast<std::int64_t>(number_ - start_.next));
  }

  /// Drives on over an arc that is a piece of the junction.
  void go_on(Piece piece) {
    const auto& segment = net_.segment(piece.arc);
    if (!search_.rules_.lines->of(network::segment_of(piece.arc)).empty()) return;
    if (segment.kind == LineKind::runway || segment.kind == LineKind::stand_line) return;
    piece.length_m += segment.length_m;
    if (piece.length_m > kJunctionPieces_m) return;
    for (std::uint32_t i = piece.before; i != kNone; i = pieces_[i].before)
      if (pieces_[i].arc == piece.arc) return;
    piece.angle_rad += turned_rad(segment, network::is_along(piece.arc));
    piece.near = piece.near || item_.near[index(net_.head(piece.arc))];
    queue_.emplace(piece.cost, static_cast<std::uint32_t>(pieces_.size()));
    pieces_.push_back(piece);
  }

  [[nodiscard]] std::vector<ArcId> driven(std::uint32_t last) const {
    std::vector<ArcId> out;
    for (std::uint32_t i = last; i != kNone; i = pieces_[i].before) out.push_back(pieces_[i].arc);
    std::reverse(out.begin(), out.end());
    return out;
  }

  AssignedSearch& search_;
  const Network& net_;
  std::uint32_t from_;
  std::size_t number_;
  const State start_;
  const RuleItem& item_;
  std::vector<Piece> pieces_;
  using Waiting = std::pair<OrderedCost, std::uint32_t>;
  std::priority_queue<Waiting, std::vector<Waiting>, std::greater<>> queue_;
  std::map<std::tuple<ArcId, bool, Mask, int>, double> shortest_;
};

void AssignedSearch::turn(std::uint32_t from, std::size_t number) { Turner(*this, from, number).make(); }

}  // namespace solotaxi::routing
