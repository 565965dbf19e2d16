// What must hold for every network: the cheapest way is the cheapest, and neither mirrors nor cuts change it.
#include <rapidcheck.h>

#include <functional>
#include <numbers>

#include "support/random_network.hpp"
#include "unit/routing/heights.hpp"
#include "unit/routing/route_check.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;
using network::ArcId;
using network::index;
using network::Network;
using network::NodeId;

namespace {

/// Rounding to whole units, half a unit for each arc and each movement of the longest ways here.
constexpr double kWay_m = 0.1, kWay_s = 0.1, kWay_kg = 1e-4;

double value(const Route& r, Objective o) {
  return o == Objective::distance ? r.length_m : o == Objective::time ? r.time_s : r.fuel_kg;
}
double tolerance(Objective o) { return o == Objective::distance ? kWay_m : o == Objective::time ? kWay_s : kWay_kg; }

struct Case {
  Network net;
  std::string from, to;
  Objective objective{};
  std::string engines;
};

/// A small field with gentle hills: some ways are too steep for one engine, few for two.
Case random_case(std::uint64_t seed, std::uint32_t size = 3) {
  std::mt19937_64 random(seed);
  Case c;
  c.net = random_network(random, {.columns = size, .rows = size, .spacing_m = 150.0});
  const double steep = 0.03 * random_unit(random), east = 0.004 * random_unit(random);
  raise(c.net,
        [=](LocalXY p) { return 20.0 + steep * 60.0 * std::sin(p.x_m / 60.0) * std::cos(p.y_m / 80.0) + east * p.x_m; });
  const auto last = static_cast<std::int64_t>(c.net.nodes.size()) - 1;
  const auto a = random_int(random, 0, last), b = (a + random_int(random, 1, last)) % (last + 1);
  c.from = "node:" + std::to_string(a);
  c.to = "node:" + std::to_string(b);
  c.objective = static_cast<Objective>(random_int(random, 0, 2));
  c.engines = random_int(random, 0, 1) != 0 ? "left" : "all";
  return c;
}

struct Tables {
  network::Shape shape;
  motion::CostTable table;
  Tables(const Network& net, const std::string& engines, const motion::Conditions& conditions = {})
      : shape(network::trace_shape(net, {})), table(net, shape, {}, aircraft::parse_running_set({}, engines), conditions) {}
};

/// Time and fuel of driving these arcs from rest to rest.
motion::Cost cost_of(const Network& net, const motion::CostTable& table, const std::vector<ArcId>& arcs) {
  motion::Cost sum = table.start_from_rest(arcs.front()) + table.stop(arcs.back());
  for (std::size_t i = 0; i < arcs.size(); ++i) {
    sum += table.arc(arcs[i]);
    if (i == 0) continue;
    const auto moves = net.movements_from(arcs[i - 1]);
    const auto m = std::find_if(moves.begin(), moves.end(), [&](const auto& x) { return x.to == arcs[i]; });
    RC_ASSERT(m != moves.end());
    sum += table.movement(static_cast<std::size_t>(&*m - net.movements.data())).cost;
  }
  return sum;
}

/// The least value over every way that uses no arc twice, by trying them all; nothing where there is none.
std::optional<double> try_all(const Case& c, const motion::CostTable& table, bool few_engines) {
  const Network& net = c.net;
  const NodeId from{static_cast<std::uint32_t>(std::stoul(c.from.substr(5)))};
  const NodeId to{static_cast<std::uint32_t>(std::stoul(c.to.substr(5)))};
  const auto part = [&](double length, const motion::Cost& cost) {
    return c.objective == Objective::distance ? length : c.objective == Objective::time ? cost.time_s : cost.fuel_kg;
  };
  std::optional<double> best;
  std::vector<std::uint8_t> used(net.arc_count(), 0);
  using motion::Verdict;
  const std::function<void(ArcId, double, double)> drive = [&](ArcId a, double before, double zone_m) {
    if (used[index(a)] || table.arc_verdict(a).verdict > Verdict::rolling) return;
    const double length = net.segment(a).length_m;
    if (few_engines && zone_m > 0.0 && table.start_zone(a, zone_m).verdict > Verdict::standing) return;
    const double now = before + part(length, table.arc(a));
    if (best && now > *best + 1e-9) return;  // costs never fall
    if (net.head(a) == to) {
      const double total = now + part(0.0, table.stop(a));
      if (!best || total < *best) best = total;
    }
    used[index(a)] = 1;
    const double rest_m = zone_m - length;
    for (std::size_t m = net.first_movement[index(a)]; m < net.first_movement[index(a) + 1]; ++m) {
      const auto& turn = table.movement(m);
      if (turn.place.verdict > Verdict::rolling) continue;
      if (few_engines && rest_m > 0.0 && turn.place.verdict > Verdict::standing) continue;
      drive(net.movements[m].to, now + part(0.0, turn.cost), rest_m);
    }
    used[index(a)] = 0;
  };
  for (const ArcId a : net.arcs_from(from))
    drive(a, part(0.0, table.start_from_rest(a)), motion::Conditions{}.start_zone_m);
  return best;
}

/// East and west exchanged; every number of node, segment, arc and movement stays.
Network mirrored(Network net) {
  for (auto& n : net.nodes) {
    n.xy.x_m = -n.xy.x_m;
    n.at = net.frame.to_geodetic(n.xy);
  }
  for (auto& s : net.segments)
    for (std::size_t i = 0; i < s.line.size(); ++i) {
      s.line[i].x_m = -s.line[i].x_m;
      s.geodetic[i] = net.frame.to_geodetic(s.line[i]);
    }
  for (auto& m : net.movements) m.angle_rad = -m.angle_rad;
  return net;
}

Ask ask_of(const Case& c) { return {.from = c.from, .to = c.to, .objective = c.objective, .engines = c.engines}; }

}  // namespace

TEST_CASE("the route found is the cheapest of all ways, for each objective and running set") {
  int compared = 0, none = 0, needed = 0;
  CHECK(rc::check("brute force over all ways that use no arc twice", [&](std::uint64_t seed) {
    const Case c = random_case(seed);
    const Tables t(c.net, c.engines);
    const auto best = try_all(c, t.table, c.engines != "all");
    const auto found = ask_route(c.net, ask_of(c));
    const auto* route = std::get_if<Route>(&found);
    if (!best) {
      ++none;
      RC_ASSERT((!route || route->every_engine_needed));  // RC_ASSERT takes a bare || apart: no short cut
      if (route) ++needed;
      return;
    }
    ++compared;
    RC_ASSERT(route != nullptr);
    RC_ASSERT(!route->every_engine_needed);
    RC_ASSERT(std::abs(value(*route, c.objective) - *best) <= tolerance(c.objective));
    // The totals are those of the arcs told.
    const auto cost = cost_of(c.net, t.table, route->arcs);
    RC_ASSERT(std::abs(cost.time_s - route->time_s) < 1e-6);
    RC_ASSERT(std::abs(cost.fuel_kg - route->fuel_kg) < 1e-6);
  }));
  CAPTURE(compared, none, needed);
  CHECK(compared > 40);
}

TEST_CASE("a mirrored field with the other engine mirrors the route") {
  CHECK(rc::check("left and right exchanged", [](std::uint64_t seed) {
    const Case c = random_case(seed, 4);
    Ask ask = ask_of(c);
    ask.engines = "left";
    const auto found = ask_route(c.net, ask);
    ask.engines = "right";
    const auto other = ask_route(mirrored(c.net), ask);
    RC_ASSERT(found.index() == other.index());
    if (!std::holds_alternative<Route>(found)) return;
    const Route &a = std::get<Route>(found), &b = std::get<Route>(other);
    RC_ASSERT(a.every_engine_needed == b.every_engine_needed);
    RC_ASSERT(std::abs(value(a, c.objective) - value(b, c.objective)) <= tolerance(c.objective));
    if (a.arcs != b.arcs) return;  // equally cheap ways
    RC_ASSERT(a.turns.size() == b.turns.size());
    for (std::size_t i = 0; i < a.turns.size(); ++i) {
      RC_ASSERT(std::abs(a.turns[i].angle_rad + b.turns[i].angle_rad) < 1e-6);
      RC_ASSERT(a.turns[i].toward_running == b.turns[i].toward_running);
      RC_ASSERT(a.turns[i].place.verdict == b.turns[i].place.verdict);
    }
  }));
}

TEST_CASE("dividing segments changes no route's cost") {
  CHECK(rc::check("cuts at random places", [](std::uint64_t seed) {
    const Case c = random_case(seed, 4);
    std::mt19937_64 random(seed ^ 0x9E3779B97F4A7C15U);
    Network cut = c.net;
    for (int i = 0; i < 8; ++i) {
      const auto s = static_cast<std::uint32_t>(random_int(random, 0, static_cast<std::int64_t>(cut.segments.size()) - 1));
      const double length = cut.segments[s].length_m;
      cut = network_with_node_at(cut, network::SegmentId{s}, length * (0.05 + 0.9 * random_unit(random))).network;
    }
    const auto whole = ask_route(c.net, ask_of(c)), parts = ask_route(cut, ask_of(c));
    RC_ASSERT(whole.index() == parts.index());
    if (!std::holds_alternative<Route>(whole)) return;
    const Route &a = std::get<Route>(whole), &b = std::get<Route>(parts);
    RC_ASSERT(a.every_engine_needed == b.every_engine_needed);
    RC_ASSERT(std::abs(value(a, c.objective) - value(b, c.objective)) <= tolerance(c.objective));
  }));
}

TEST_CASE("at a fixed route fuel never falls with mass, nor when the whole route is tilted uphill") {
  CHECK(rc::check("heavier and steeper", [](std::uint64_t seed) {
    const Case c = random_case(seed, 4);
    const auto found = ask_route(c.net, ask_of(c));
    if (!std::holds_alternative<Route>(found)) return;
    const auto& arcs = std::get<Route>(found).arcs;
    double before = 0.0;
    for (const double mass : {42000.0, 50000.0, 60000.0, 79000.0}) {
      motion::Conditions conditions;
      conditions.mass_kg = mass;
      const double fuel = cost_of(c.net, Tables(c.net, c.engines, conditions).table, arcs).fuel_kg;
      RC_ASSERT(fuel >= before - 1e-9);
      before = fuel;
    }
    before = 0.0;
    for (const double tilt : {-0.02, -0.005, 0.0, 0.005, 0.02}) {
      Network tilted = c.net;
      double way = 0.0;  // each piece of the route rises by the tilt along it
      for (const ArcId a : arcs) {
        auto& s = tilted.segments[index(network::segment_of(a))];
        for (auto& k : s.profile) k.height_m += tilt * (network::is_along(a) ? way + k.at_m : way + s.length_m - k.at_m);
        way += s.length_m;
      }
      const double fuel = cost_of(tilted, Tables(tilted, c.engines).table, arcs).fuel_kg;
      RC_ASSERT(fuel >= before - 1e-9);
      before = fuel;
    }
  }));
}

TEST_CASE("0.3 m of drawing noise changes a route's fuel by under 2 %") {
  std::vector<double> changes;
  for (std::uint64_t seed = 1; seed <= 400; ++seed) {
    std::mt19937_64 random(seed);
    Network net = random_network(random, {.columns = 4, .rows = 4, .spacing_m = 150.0, .jitter = 0.0, .diagonals = 0.0});
    std::vector<LocalXY> nodes;
    for (const auto& n : net.nodes) nodes.push_back(n.xy);
    std::vector<DrawnLine> lines;
    const auto off = [&] { return 0.6 * (random_unit(random) - 0.5) / std::numbers::sqrt2; };
    for (const auto& s : net.segments) {
      DrawnLine line{.from = index(s.from), .to = index(s.to), .kind = s.kind, .one_way = s.one_way};
      for (std::size_t k = 1; k < s.line.size(); ++k) {
        const LocalXY a = s.line[k - 1], d = s.line[k] - a;
        const int parts = std::max(1, static_cast<int>(distance_m(a, s.line[k]) / 40.0));
        for (int i = 1; i <= parts; ++i)
          if (i < parts || k + 1 < s.line.size())
            line.between.push_back(a + d * (static_cast<double>(i) / parts) + LocalXY{off(), off()});
      }
      lines.push_back(std::move(line));
    }
    Network noisy = draw_network(nodes, lines);
    level(noisy);
    level(net);
    const Ask ask{.from = "node:0", .to = "node:" + std::to_string(nodes.size() - 1), .objective = Objective::fuel};
    const auto plain = ask_route(net, ask), shaken = ask_route(noisy, ask);
    REQUIRE(plain.index() == shaken.index());
    if (std::holds_alternative<Route>(plain))
      changes.push_back(std::abs(std::get<Route>(shaken).fuel_kg / std::get<Route>(plain).fuel_kg - 1.0));
  }
  std::sort(changes.begin(), changes.end());
  REQUIRE(changes.size() > 200);
  CHECK(changes[changes.size() / 2] < 0.001);
  CHECK(changes.back() < 0.02);
}
