#include "simulation_way.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>
#include <string>
#include <utility>

#include "arc_places.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::motion {

using network::ArcId;
using network::Bend;
using network::Network;
using network::Segment;

namespace {

/// A bend whose zone is cut away still holds so far on each side of its vertex [m].
constexpr double kLeastZone_m = 0.05;

class WayWriter {
 public:
  WayWriter(const Network& net, const network::Shape& shape, const Conditions& conditions, const Drive& drive,
            double turn_round_radius)
      : net_(net),
        shape_(shape),
        conditions_(conditions),
        drive_(drive),
        turn_round_m_(std::numbers::pi * turn_round_radius) {}

  DrivenWay write() {
    add_arcs();
    check_places();
    std::sort(way_.zones.begin(), way_.zones.end(), [](const auto& a, const auto& b) { return a.from_m < b.from_m; });
    cut();
    return std::move(way_);
  }

 private:
  void add_arcs() {
    if (drive_.arcs.empty()) throw usage_error("a drive without arcs");
    std::size_t knots = 0;
    for (const ArcId a : drive_.arcs) {
      if (index(a) >= net_.arc_count()) throw usage_error("no arc " + std::to_string(index(a)) + " in this network");
      knots += net_.segment(a).profile.size();
    }
    way_.stretches.reserve(knots + 1);
    way_.arc_from_m.reserve(drive_.arcs.size());
    std::optional<ArcId> before = drive_.rolled_on;
    for (const ArcId a : drive_.arcs) {
      if (before) add_movement(*before, a);
      way_.arc_from_m.push_back(at_);
      add_arc(a);
      before = a;
    }
    if (drive_.turn_round_at_end) add_turn_round(*before, network::reversed(*before));
    way_.length_m = at_;
    if (!(at_ > kSamePoint_m)) throw usage_error("a drive without length");
  }

  [[nodiscard]] Ground ground(ArcId a, std::size_t interval) const {
    return interval_ground(net_.segment(a), network::is_along(a), interval, conditions_);
  }

  void add_turn_round(ArcId from, ArcId onto) {
    const Ground ground = mean(this->ground(from, net_.segment(from).profile.size() - 2), this->ground(onto, 0));
    way_.stretches.push_back({at_, ground.grade, 0.0, true});
    at_ += turn_round_m_;
  }

  void add_movement(ArcId from, ArcId to) {
    if (to == network::reversed(from)) return add_turn_round(from, to);
    const auto moves = net_.movements_from(from);
    const auto m = std::find_if(moves.begin(), moves.end(), [&](const auto& move) { return move.to == to; });
    if (m == moves.end())
      throw usage_error("no movement from arc " + std::to_string(index(from)) + " to arc " + std::to_string(index(to)),
                        "arcs of a drive follow each other");
    if (m->turn_round) return add_turn_round(from, to);
    add_zone(shape_.movement[static_cast<std::size_t>(&*m - net_.movements.data())], at_, at_);
  }

  void add_zone(const Bend& bend, double from, double to) {
    if (!std::isfinite(bend.radius_m)) return;
    const double least = bend.curve ? 0.0 : kLeastZone_m;
    from -= std::max(bend.zone_before_m, least);
    to += std::max(bend.zone_after_m, least);
    if (to - from > kSamePoint_m) way_.zones.push_back({from, to, &bend});
  }

  void add_arc(ArcId a) {
    const Segment& segment = net_.segment(a);
    const double speed = place_speed_mps(segment, conditions_);
    const std::size_t intervals = segment.profile.size() - 1;
    const bool along = network::is_along(a);
    for (std::size_t i = 0; i < intervals; ++i) {
      const std::size_t k = along ? i : intervals - 1 - i;
      const double low = segment.profile[k].at_m, high = segment.profile[k + 1].at_m;
      if (!(high > low)) continue;
      way_.stretches.push_back({at_ + (along ? low : segment.length_m - high), ground(a, i).grade, speed, false});
    }
    for (const Bend& bend : shape_.bends_of(a)) {
      const double from = bend.curve ? bend.from_m : bend.at_m, to = bend.curve ? bend.to_m : bend.at_m;
      add_zone(bend, at_ + from, at_ + to);
    }
    at_ += segment.length_m;
  }

  void check_places() const {
    const auto inside = [&](double at, double after, const char* what) {
      if (!(at >= -kSamePoint_m && at <= way_.length_m + kSamePoint_m))
        throw usage_error(std::string(what) + " at " + std::to_string(at) + " m lies outside the way of " +
                          std::to_string(way_.length_m) + " m");
      if (at < after) throw usage_error(std::string(what) + " at " + std::to_string(at) + " m is out of order");
      return at;
    };
    double at = -kSamePoint_m;
    for (const DriveStop& stop : drive_.stops) at = inside(stop.at_m, at, "a stop");
    at = -kSamePoint_m;
    for (const DrivePhase& phase : drive_.phases)
      if (phase.from_m) at = inside(*phase.from_m, at, "a phase");
  }

  /// Every chainage where something changes, ascending, no two the same point; 0 and the length among them.
  [[nodiscard]] std::vector<double> cuts() const {
    std::vector<double> here, all;
    here.reserve(2 * way_.zones.size() + drive_.stops.size() + drive_.phases.size());
    for (const auto& zone : way_.zones) here.push_back(zone.from_m), here.push_back(zone.to_m);
    for (const DriveStop& stop : drive_.stops) here.push_back(stop.at_m);
    for (const DrivePhase& phase : drive_.phases)
      if (phase.from_m) here.push_back(*phase.from_m);
    std::sort(here.begin(), here.end());
    all.reserve(here.size() + way_.stretches.size() + 2);
    all.push_back(0.0);
    const auto add = [&](double at) {
      if (at > all.back() + kSamePoint_m && at < way_.length_m - kSamePoint_m) all.push_back(at);
    };
    auto stretch = way_.stretches.begin();
    for (const double at : here) {
      for (; stretch != way_.stretches.end() && stretch->from_m <= at; ++stretch) add(stretch->from_m);
      add(at);
    }
    for (; stretch != way_.stretches.end(); ++stretch) add(stretch->from_m);
    all.push_back(way_.length_m);
    return all;
  }

  [[nodiscard]] bool rests_at(double at, std::size_t& stop) const {
    while (stop < drive_.stops.size() && drive_.stops[stop].at_m < at - kSamePoint_m) ++stop;
    return (stop < drive_.stops.size() && drive_.stops[stop].at_m <= at + kSamePoint_m) ||
           (at == 0.0 && !(drive_.start_mps > 0.0)) || (at == way_.length_m && drive_.end_at_rest);
  }

  void cut() {
    const std::vector<double> at = cuts();
    way_.pieces.reserve(at.size() - 1);
    std::uint32_t stretch = 0, zone = 0, point = 0;
    std::size_t stop = 0;
    bool rest = rests_at(0.0, stop);
    for (std::size_t i = 1; i < at.size(); ++i) {
      DrivenWay::Piece piece;
      piece.from_m = at[i - 1];
      piece.to_m = at[i];
      const double middle = 0.5 * (piece.from_m + piece.to_m);
      while (stretch + 1 < way_.stretches.size() && way_.stretches[stretch + 1].from_m <= middle) ++stretch;
      piece.stretch = stretch;
      piece.first_cover = static_cast<std::uint32_t>(way_.covers.size());
      if (!way_.stretches[stretch].turn_round) {
        while (zone < way_.zones.size() && way_.zones[zone].to_m <= middle) ++zone;
        for (std::uint32_t z = zone; z < way_.zones.size() && way_.zones[z].from_m < middle; ++z)
          if (way_.zones[z].to_m > middle) way_.covers.push_back(z);
      }
      piece.past_cover = static_cast<std::uint32_t>(way_.covers.size());
      const bool rest_before = std::exchange(rest, rests_at(piece.to_m, stop));
      const auto steps = static_cast<std::uint32_t>(std::ceil((piece.to_m - piece.from_m) / drive_.step_m));
      piece.steps = std::max(steps, rest_before && rest ? 2U : 1U);  // between two rests the speed must be able to rise
      piece.first_point = point;
      point += piece.steps;
      way_.pieces.push_back(piece);
    }
    way_.points = point + 1;
  }

  const Network& net_;
  const network::Shape& shape_;
  const Conditions& conditions_;
  const Drive& drive_;
  double turn_round_m_;
  double at_ = 0.0;
  DrivenWay way_;
};

}  // namespace

DrivenWay lay_out(const Network& network, const network::Shape& shape, const Conditions& conditions, const Drive& drive,
                  double turn_round_radius_m) {
  return WayWriter(network, shape, conditions, drive, turn_round_radius_m).write();
}

}  // namespace solotaxi::motion
