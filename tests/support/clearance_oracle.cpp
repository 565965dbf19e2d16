#include "support/clearance_oracle.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "solotaxi/motion/cost_table.hpp"
#include "solotaxi/network/shape.hpp"

namespace solotaxi::test {

using network::ArcId;
using network::index;
using routing::Clearance;
using routing::ClearanceItem;

namespace {

// As routing/assigned_way.hpp states them.
constexpr double kReach_m = 40.0, kPieces_m = 150.0, kTurn_rad = std::numbers::pi / 18.0;

double bends(const network::Segment& s, bool along) {
  double sum = 0.0;
  const std::size_t n = s.line.size();
  for (std::size_t i = 1; i + 1 < n; ++i) {
    const LocalXY a = along ? s.line[i - 1] : s.line[n - i], b = along ? s.line[i] : s.line[n - 1 - i];
    const LocalXY c = along ? s.line[i + 1] : s.line[n - 2 - i];
    sum += deflection(heading(a, b), heading(b, c)).value();
  }
  return sum;
}

}  // namespace

ClearanceOracle::ClearanceOracle(const network::Network& net) : net_(net) {
  const aircraft::Aircraft aircraft;
  const motion::Conditions conditions;
  const auto shape = network::trace_shape(net, {.wheelbase_m = aircraft.wheelbase_m,
                                                .steering_max_deg = aircraft.steering_max_deg,
                                                .fillet_radius_m = conditions.fillet_radius_m,
                                                .tight_radius_m = conditions.tight_radius_m});
  const motion::CostTable table(net, shape, aircraft, aircraft::all_engines(aircraft), conditions);
  for (std::uint32_t a = 0; a < net.arc_count(); ++a)
    arc_open_.push_back(net.may_drive(ArcId{a}) && table.arc_verdict(ArcId{a}).verdict != motion::Verdict::blocked);
  for (std::size_t m = 0; m < net.movements.size(); ++m)
    movement_open_.push_back(table.movement(m).place.verdict != motion::Verdict::blocked);
}

bool ClearanceOracle::near(network::NodeId node, const std::string& taxiway) const {
  return std::any_of(net_.segments.begin(), net_.segments.end(), [&](const network::Segment& s) {
    return s.name == taxiway && (distance_m(net_.node(s.from).xy, net_.node(node).xy) <= kReach_m ||
                                 distance_m(net_.node(s.to).xy, net_.node(node).xy) <= kReach_m);
  });
}

bool ClearanceOracle::comes_by(const std::vector<ArcId>& way, const std::string& taxiway) const {
  return std::any_of(way.begin(), way.end(), [&](ArcId a) {
    return net_.segment(a).name != taxiway &&
           std::any_of(net_.segments.begin(), net_.segments.end(), [&](const network::Segment& s) {
             return s.name == taxiway && (s.from == net_.head(a) || s.to == net_.head(a));
           });
  });
}

bool ClearanceOracle::turns(const std::vector<ArcId>& way, std::size_t k, std::size_t item, const std::string& line,
                            const Clearance& clearance) const {
  if (k == 0) return false;
  const ClearanceItem& turn = clearance.items[item];
  const double sign = turn.side == routing::Side::right ? 1.0 : -1.0;
  double angle = 0.0, pieces_m = 0.0;
  bool met = near(net_.head(way[k - 1]), turn.at.name);
  for (std::size_t j = k; j < way.size(); ++j) {
    for (const auto& m : net_.movements_from(way[j - 1]))
      if (m.to == way[j]) angle += static_cast<double>(m.angle_rad);
    const auto& s = net_.segment(way[j]);
    const bool stays = !line.empty() && s.name == line;
    if (met && sign * angle >= kTurn_rad && (!stays || sign * angle >= 3.0 * kTurn_rad)) {
      if ((s.name.empty() || stays) && reads(way, j + 1, item + 1, line, clearance)) return true;
      if (!s.name.empty() && s.name == turn.at.name && reads(way, j + 1, item + 1, s.name, clearance)) return true;
      if (item + 1 < clearance.items.size() && clearance.items[item + 1].kind == ClearanceItem::Kind::taxiway &&
          clearance.items[item + 1].at.name == s.name && reads(way, j + 1, item + 2, s.name, clearance))
        return true;
    }
    pieces_m += s.length_m;
    if (!s.name.empty() || pieces_m > kPieces_m) return false;
    angle += bends(s, network::is_along(way[j]));
    met = met || near(net_.head(way[j]), turn.at.name);
  }
  return false;
}

bool ClearanceOracle::reads(const std::vector<ArcId>& way, std::size_t k, std::size_t item, const std::string& line,
                            const Clearance& clearance) const {
  const bool left = item < clearance.items.size();
  if (left && clearance.items[item].kind == ClearanceItem::Kind::turn && turns(way, k, item, line, clearance)) return true;
  if (k == way.size()) return !left;
  const std::string& name = net_.segment(way[k]).name;
  if ((name.empty() || (!line.empty() && name == line)) && reads(way, k + 1, item, line, clearance)) return true;
  return !name.empty() && left && clearance.items[item].kind == ClearanceItem::Kind::taxiway &&
         clearance.items[item].at.name == name && reads(way, k + 1, item + 1, name, clearance);
}

bool ClearanceOracle::follows(const std::vector<ArcId>& way, const Clearance& clearance) const {
  for (const auto& b : clearance.bindings)
    if (!comes_by(way, b.at.name)) return false;
  return !way.empty() && reads(way, 0, 0, "", clearance);
}

void ClearanceOracle::every_way(network::NodeId from, network::NodeId to, double most_m, std::size_t most_arcs,
                                const std::function<bool(const std::vector<ArcId>&, double)>& each) const {
  std::vector<ArcId> way;
  const std::function<bool(double)> go = [&](double length) {
    if (net_.head(way.back()) == to && !each(way, length)) return false;
    if (way.size() == most_arcs) return true;
    const ArcId last = way.back();
    for (std::size_t m = net_.first_movement[index(last)]; m < net_.first_movement[index(last) + 1]; ++m) {
      const ArcId next = net_.movements[m].to;
      const double longer = length + net_.segment(next).length_m;
      if (!movement_open_[m] || !arc_open_[index(next)] || longer > most_m) continue;
      way.push_back(next);
      if (!go(longer)) return false;
      way.pop_back();
    }
    return true;
  };
  for (std::uint32_t a = 0; a < net_.arc_count(); ++a) {
    if (net_.tail(ArcId{a}) != from || !arc_open_[a] || net_.segment(ArcId{a}).length_m > most_m) continue;
    way = {ArcId{a}};
    if (!go(net_.segment(ArcId{a}).length_m)) return;
  }
}

}  // namespace solotaxi::test
