#include "solotaxi/routing/search.hpp"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <map>
#include <rapidcheck.h>
#include <stdexcept>

#include "support/random_network.hpp"

namespace {

using namespace solotaxi;
using namespace solotaxi::routing;
using network::ArcId;
using network::index;
using test::random_int;
using test::random_unit;

constexpr PathWeight kFar = std::numeric_limits<PathWeight>::max();

/// What an arc and a movement weigh in a random case.
struct Weights {
  std::vector<Weight> arc, movement;
};

struct WeightOptions {
  double shut_arcs = 0.05, shut_movements = 0.05;
  double nought = 0.1;      ///< share of arcs of no weight
  double heavy = 0.0;       ///< share of arcs a million times heavier, as arcs to be avoided are
  double unit = 1000.0;     ///< per metre
};

Weights random_weights(std::mt19937_64& random, const network::Network& net, const WeightOptions& options = {}) {
  Weights w;
  for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
    const double dear = 1.0 + 2.0 * random_unit(random);
    auto weight = static_cast<Weight>(std::lround(net.segment(ArcId{a}).length_m * options.unit * dear));
    if (random_unit(random) < options.nought) weight = 0;
    if (random_unit(random) < options.heavy) weight += 1'000'000'000;
    if (random_unit(random) < options.shut_arcs || !net.may_drive(ArcId{a})) weight = kShut;
    w.arc.push_back(weight);
  }
  for (const network::Movement& m : net.movements) {
    const Weight entered = w.arc[index(m.to)];
    // From as negative as the arc entered allows (a turn away from the running engine) to half of it more.
    Weight turn = entered == kShut ? 0 : static_cast<Weight>(random_int(random, -PathWeight{entered}, entered / 2));
    if (random_unit(random) < 0.3) turn = 0;
    if (random_unit(random) < options.shut_movements) turn = kShut;
    w.movement.push_back(turn);
  }
  return w;
}

std::vector<Terminal> random_terminals(std::mt19937_64& random, const network::Network& net, int count, PathWeight most) {
  std::vector<Terminal> terminals;
  for (int i = 0; i < count; ++i)
    terminals.push_back({ArcId{static_cast<std::uint32_t>(random_int(random, 0, static_cast<std::int64_t>(net.arc_count()) - 1))},
                         random_int(random, 0, most)});
  return terminals;
}

/// Weights to every arc by Boost.Graph's Dijkstra on arcs and movements, built from the tables and not from the SearchGraph.
/// A source joined to the seeds stands for them.
std::vector<PathWeight> boost_labels(const network::Network& net, const Weights& w, const std::vector<Terminal>& seeds) {
  using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS, boost::no_property,
                                      boost::property<boost::edge_weight_t, PathWeight>>;
  Graph graph(net.arc_count() + 1);
  const std::size_t source = net.arc_count();
  for (const Terminal& s : seeds) add_edge(source, index(s.arc), s.weight, graph);
  for (std::size_t m = 0; m < net.movements.size(); ++m) {
    const std::uint32_t from = index(net.movements[m].from), to = index(net.movements[m].to);
    if (w.movement[m] == kShut || w.arc[from] == kShut || w.arc[to] == kShut) continue;
    add_edge(from, to, PathWeight{w.movement[m]} + w.arc[to], graph);
  }
  std::vector<PathWeight> label(net.arc_count() + 1);
  boost::dijkstra_shortest_paths(graph, source, boost::distance_map(label.data()).distance_inf(kFar));
  label.pop_back();
  return label;
}

/// Weight of driving these arcs, checked movement by movement against the tables; nothing where one is shut or missing.
std::optional<PathWeight> weigh(const network::Network& net, const Weights& w, const std::vector<ArcId>& way,
                                const std::vector<Terminal>& seeds) {
  if (way.empty()) return std::nullopt;
  PathWeight total = kFar;
  for (const Terminal& s : seeds)
    if (s.arc == way.front()) total = std::min(total, s.weight);
  if (total == kFar) return std::nullopt;
  for (std::size_t i = 1; i < way.size(); ++i) {
    const auto movements = net.movements_from(way[i - 1]);
    const auto m = std::find_if(movements.begin(), movements.end(), [&](const auto& x) { return x.to == way[i]; });
    if (m == movements.end()) return std::nullopt;
    const auto at = static_cast<std::size_t>(&*m - net.movements.data());
    if (w.movement[at] == kShut || w.arc[index(way[i])] == kShut || w.arc[index(way[i - 1])] == kShut) return std::nullopt;
    total += PathWeight{w.movement[at]} + w.arc[index(way[i])];
  }
  return total;
}

PathWeight cheapest(const std::vector<PathWeight>& label, const std::vector<Terminal>& goals) {
  PathWeight best = kFar;
  for (const Terminal& g : goals)
    if (label[index(g.arc)] != kFar) best = std::min(best, label[index(g.arc)] + g.weight);
  return best;
}

PathWeight goal_weight(const std::vector<Terminal>& goals, ArcId arc) {
  PathWeight best = kFar;
  for (const Terminal& g : goals)
    if (g.arc == arc) best = std::min(best, g.weight);
  return best;
}

test::RandomNetworkOptions random_size() {
  test::RandomNetworkOptions size;
  size.columns = *rc::gen::inRange<std::uint32_t>(2, 9);
  size.rows = *rc::gen::inRange<std::uint32_t>(2, 9);
  return size;
}

/// Two ways from the first line to the last: 0-1-3-4 straight on along the x axis, or round by node 2.
network::Network two_ways() {
  return test::draw_network({{0, 0}, {100, 0}, {150, 40}, {200, 0}, {300, 0}, {0, 500}, {100, 500}},
                            {{0, 1}, {1, 3}, {1, 2}, {2, 3}, {3, 4}, {5, 6}});
}

Weights lengths(const network::Network& net) {
  Weights w;
  for (std::uint32_t a = 0; a < net.arc_count(); ++a)
    w.arc.push_back(static_cast<Weight>(std::lround(1000.0 * net.segment(ArcId{a}).length_m)));
  w.movement.assign(net.movements.size(), 0);
  return w;
}

std::size_t movement(const network::Network& net, std::uint32_t from, std::uint32_t to) {
  for (std::size_t m = 0; m < net.movements.size(); ++m)
    if (net.movements[m].from == ArcId{from} && net.movements[m].to == ArcId{to}) return m;
  throw std::logic_error("no such movement");
}

}  // namespace

TEST_CASE("Labels of a one-to-all search carry a certificate of optimality", "[search]") {
  CHECK(rc::check("every step bound holds and a tight step enters every reached arc", [](std::uint64_t seed) {
    std::mt19937_64 random(seed);
    const auto net = test::random_network(random, random_size());
    RC_PRE(!net.segments.empty());
    const Weights w = random_weights(random, net);
    const auto seeds = random_terminals(random, net, 1 + static_cast<int>(seed % 3), 100'000);
    const SearchGraph graph(net, w.arc, w.movement);
    ArcSearch search(graph);
    search.find_all(seeds);
    std::vector<bool> supported(net.arc_count(), false);
    for (const Terminal& s : seeds) {
      RC_ASSERT(search.weight(s.arc).has_value());
      RC_ASSERT(*search.weight(s.arc) <= s.weight);
      if (*search.weight(s.arc) == s.weight) supported[index(s.arc)] = true;
    }
    for (std::size_t m = 0; m < net.movements.size(); ++m) {
      const auto [from, to, angle, turn_round] = net.movements[m];
      if (w.movement[m] == kShut || w.arc[index(from)] == kShut || w.arc[index(to)] == kShut) continue;
      const auto before = search.weight(from), after = search.weight(to);
      if (!before) continue;
      RC_ASSERT(after.has_value());
      const PathWeight by_step = *before + w.movement[m] + w.arc[index(to)];
      RC_ASSERT(by_step >= *after);
      if (by_step == *after) supported[index(to)] = true;
    }
    for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
      const auto weight = search.weight(ArcId{a});
      const auto way = search.path_to(ArcId{a});
      RC_ASSERT(weight.has_value() == !way.empty());
      if (!weight) continue;
      RC_ASSERT(supported[a]);
      RC_ASSERT(way.back() == ArcId{a});
      RC_ASSERT(weigh(net, w, way, seeds) == weight);
    }
  }));
}

TEST_CASE("One to all and point to point equal Boost.Graph's Dijkstra on arcs and movements", "[search]") {
  CHECK(rc::check("random networks, weights, seeds and goals", [](std::uint64_t seed) {
    std::mt19937_64 random(seed);
    const auto net = test::random_network(random, random_size());
    RC_PRE(!net.segments.empty());
    WeightOptions options;
    options.heavy = *rc::gen::element(0.0, 0.0, 0.3);
    options.nought = *rc::gen::element(0.0, 0.1, 0.9);
    options.unit = *rc::gen::element(0.02, 10.0, 1000.0);
    const Weights w = random_weights(random, net, options);
    const SearchGraph graph(net, w.arc, w.movement);
    ArcSearch reused(graph);
    for (int query = 0; query < 6; ++query) {
      const auto seeds = random_terminals(random, net, static_cast<int>(random_int(random, 1, 5)), query % 2 ? 3'000'000'000 : 0);
      const auto goals = random_terminals(random, net, static_cast<int>(random_int(random, 1, 14)), 200'000);
      const auto expected = boost_labels(net, w, seeds);
      const PathWeight best = cheapest(expected, goals);
      const auto found = reused.find(seeds, goals);
      RC_ASSERT(found.value_or(kFar) == best);
      if (found) {
        RC_ASSERT(weigh(net, w, reused.path(), seeds).value() + goal_weight(goals, reused.goal()) == best);
        RC_ASSERT(reused.path().back() == reused.goal());
      } else {
        RC_ASSERT(reused.path().empty());
      }
      const auto way = reused.path();
      reused.find_all(seeds);
      for (std::uint32_t a = 0; a < net.arc_count(); ++a) RC_ASSERT(reused.weight(ArcId{a}).value_or(kFar) == expected[a]);
      ArcSearch fresh(graph);
      RC_ASSERT(fresh.find(seeds, goals) == found);
      RC_ASSERT(fresh.path() == way);
    }
  }));
}

TEST_CASE("The cheapest way of small random networks is the cheapest of all ways written out one by one", "[search]") {
  CHECK(rc::check("brute force", [](std::uint64_t seed) {
    std::mt19937_64 random(seed);
    test::RandomNetworkOptions size;
    size.columns = 3;
    size.rows = 2;
    const auto net = test::random_network(random, size);
    RC_PRE(!net.segments.empty());
    const Weights w = random_weights(random, net);
    const auto seeds = random_terminals(random, net, 2, 50'000);
    std::vector<PathWeight> least(net.arc_count(), kFar);
    std::vector<bool> used(net.arc_count(), false);
    const std::function<void(ArcId, PathWeight)> drive = [&](ArcId arc, PathWeight weight) {
      used[index(arc)] = true;
      least[index(arc)] = std::min(least[index(arc)], weight);
      for (const auto& m : net.movements_from(arc)) {
        const auto at = static_cast<std::size_t>(&m - net.movements.data());
        if (used[index(m.to)] || w.movement[at] == kShut || w.arc[index(m.to)] == kShut || w.arc[index(arc)] == kShut) continue;
        drive(m.to, weight + w.movement[at] + w.arc[index(m.to)]);
      }
      used[index(arc)] = false;
    };
    for (const Terminal& s : seeds) drive(s.arc, s.weight);
    const SearchGraph graph(net, w.arc, w.movement);
    ArcSearch search(graph);
    search.find_all(seeds);
    for (std::uint32_t a = 0; a < net.arc_count(); ++a) RC_ASSERT(search.weight(ArcId{a}).value_or(kFar) == least[a]);
    for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
      const Terminal goal{ArcId{a}, 0};
      RC_ASSERT(search.find(seeds, {&goal, 1}).value_or(kFar) == least[a]);
    }
  }));
}

TEST_CASE("The bound of a graph never exceeds the weight of a way", "[search]") {
  CHECK(rc::check("from every arc to every arc", [](std::uint64_t seed) {
    std::mt19937_64 random(seed);
    const auto net = test::random_network(random, {});
    RC_PRE(!net.segments.empty());
    WeightOptions options;
    options.nought = *rc::gen::element(0.0, 0.02, 0.2);
    const Weights w = random_weights(random, net, options);
    const SearchGraph graph(net, w.arc, w.movement);
    ArcSearch search(graph);
    for (std::uint32_t from = 0; from < net.arc_count(); ++from) {
      const Terminal start{ArcId{from}, 0};
      search.find_all({&start, 1});
      for (std::uint32_t to = 0; to < net.arc_count(); ++to) {
        const auto weight = search.weight(ArcId{to});
        const double planar_m = distance_m(graph.head(from), graph.head(to));
        if (weight) RC_ASSERT(graph.bound().rate * planar_m - graph.bound().slack <= static_cast<double>(*weight));
      }
    }
  }));
}

TEST_CASE("A single short arc of no weight does not spoil the bound of the whole field", "[search]") {
  std::mt19937_64 random(7);
  test::RandomNetworkOptions size;
  size.columns = size.rows = 20;
  const auto net = test::random_network(random, size);
  Weights w = lengths(net);
  const double clean = SearchGraph(net, w.arc, w.movement).bound().rate;
  CHECK(clean > 990.0);  // millimetres a planar metre, lines being no shorter than straight
  w.arc[10] = 0;
  for (std::size_t m = 0; m < net.movements.size(); ++m) CHECK(w.movement[m] == 0);
  CHECK(SearchGraph(net, w.arc, w.movement).bound().rate > 990.0);
}

TEST_CASE("The cheaper of two ways is taken, and a turn cost or a shut place changes it", "[search]") {
  const auto net = two_ways();
  Weights w = lengths(net);
  const std::vector<Terminal> seeds = {{ArcId{0}, w.arc[0]}}, goals = {{ArcId{8}, 0}};
  const std::vector<ArcId> straight = {ArcId{0}, ArcId{2}, ArcId{8}}, round = {ArcId{0}, ArcId{4}, ArcId{6}, ArcId{8}};
  const auto way = [&] {
    const SearchGraph graph(net, w.arc, w.movement);
    ArcSearch search(graph);
    const auto weight = search.find(seeds, goals);
    return std::pair(weight, search.path());
  };
  // 300 m along the x axis; by node 2 it is 200 m + 2 × √(50² + 40²) = 328.06 m.
  CHECK(way() == std::pair(std::optional<PathWeight>(300'000), straight));
  SECTION("a movement that costs 28 m is still worth it, one that costs 29 m is not") {
    w.movement[movement(net, 0, 2)] = 28'000;
    CHECK(way().second == straight);
    w.movement[movement(net, 0, 2)] = 29'000;
    CHECK(way().second == round);
    CHECK(std::abs(*way().first - 328'062) <= 1);
  }
  SECTION("a movement may be negative where the arc it enters makes up for it") {
    w.movement[movement(net, 4, 6)] = -60'000;
    CHECK(way().second == round);
    CHECK(std::abs(*way().first - 268'062) <= 1);
  }
  SECTION("a shut arc") {
    w.arc[2] = kShut;
    CHECK(way().second == round);
    w.arc[6] = kShut;
    CHECK(way() == std::pair(std::optional<PathWeight>{}, std::vector<ArcId>{}));
  }
  SECTION("a shut movement") {
    w.movement[movement(net, 2, 8)] = kShut;
    CHECK(way().second == round);
    w.movement[movement(net, 6, 8)] = kShut;
    CHECK_FALSE(way().first.has_value());
  }
}

TEST_CASE("Seeds and goals weigh against each other", "[search]") {
  const auto net = two_ways();
  const Weights w = lengths(net);
  const SearchGraph graph(net, w.arc, w.movement);
  ArcSearch search(graph);
  SECTION("the seed that is dearer to start but nearer wins by the sum") {
    const std::vector<Terminal> seeds = {{ArcId{0}, 100'000}, {ArcId{2}, 250'000}, {ArcId{2}, 199'000}}, goals = {{ArcId{8}, 0}};
    CHECK(search.find(seeds, goals) == 299'000);
    CHECK(search.path() == std::vector<ArcId>{ArcId{2}, ArcId{8}});
  }
  SECTION("the goal that is farther but cheaper to leave wins by the sum") {
    const std::vector<Terminal> seeds = {{ArcId{0}, 100'000}}, goals = {{ArcId{2}, 150'000}, {ArcId{8}, 49'000}, {ArcId{8}, 60'000}};
    CHECK(search.find(seeds, goals) == 349'000);
    CHECK(search.goal() == ArcId{8});
  }
  SECTION("a seed may be the goal") {
    const std::vector<Terminal> both = {{ArcId{4}, 5}};
    CHECK(search.find(both, both) == 10);
    CHECK(search.path() == std::vector<ArcId>{ArcId{4}});
  }
  SECTION("goals on another part of the network, no seeds and no goals give nothing") {
    const std::vector<Terminal> seeds = {{ArcId{0}, 0}}, apart = {{ArcId{10}, 0}};
    CHECK_FALSE(search.find(seeds, apart).has_value());
    CHECK(search.path().empty());
    CHECK_THROWS_AS(search.goal(), std::logic_error);
    CHECK_FALSE(search.find({}, apart).has_value());
    CHECK_FALSE(search.find(seeds, {}).has_value());
    CHECK(search.find(apart, apart) == 0);
  }
}

TEST_CASE("Of equal ways the one by the lowest arc ids is taken, one to all as well as point to point", "[search]") {
  // A square: 0-1-3 and 0-2-3 are equally long; the lines by node 2 are numbered before or after those by node 1.
  const std::vector<LocalXY> nodes = {{-100, 0}, {0, 0}, {50, 50}, {50, -50}, {100, 0}, {200, 0}};
  const bool upper_first = GENERATE(true, false);
  const std::uint32_t first = upper_first ? 2 : 3, second = upper_first ? 3 : 2;
  const auto net = test::draw_network(nodes, {{0, 1}, {1, first}, {first, 4}, {1, second}, {second, 4}, {4, 5}});
  const Weights w = lengths(net);
  REQUIRE(w.arc[2] == w.arc[6]);
  REQUIRE(w.arc[4] == w.arc[8]);
  const SearchGraph graph(net, w.arc, w.movement);
  ArcSearch search(graph);
  const std::vector<Terminal> seeds = {{ArcId{0}, 0}}, goals = {{ArcId{10}, 0}};
  const std::vector<ArcId> lowest = {ArcId{0}, ArcId{2}, ArcId{4}, ArcId{10}};
  REQUIRE(search.find(seeds, goals));
  CHECK(search.path() == lowest);
  search.find_all(seeds);
  CHECK(search.path_to(ArcId{10}) == lowest);
  const std::vector<Terminal> either = {{ArcId{8}, 0}, {ArcId{4}, 0}};
  REQUIRE(search.find(seeds, either));
  CHECK(search.goal() == ArcId{4});
}

TEST_CASE("Point to point and one to all give the same way where no step is without weight", "[search]") {
  CHECK(rc::check("few different weights, so that ties abound", [](std::uint64_t seed) {
    std::mt19937_64 random(seed);
    const auto net = test::random_network(random, random_size());
    RC_PRE(!net.segments.empty());
    Weights w;
    for (std::uint32_t a = 0; a < net.arc_count(); ++a) w.arc.push_back(static_cast<Weight>(random_int(random, 1, 3)) * 100'000);
    w.movement.assign(net.movements.size(), 0);
    const SearchGraph graph(net, w.arc, w.movement);
    ArcSearch all(graph), one(graph);
    const auto seeds = random_terminals(random, net, 1, 0);
    all.find_all(seeds);
    for (std::uint32_t a = 0; a < net.arc_count(); ++a) {
      const Terminal goal{ArcId{a}, 0};
      RC_ASSERT(one.find(seeds, {&goal, 1}) == all.weight(ArcId{a}));
      RC_ASSERT(one.path() == all.path_to(ArcId{a}));
    }
  }));
}

TEST_CASE("Goal direction scans far fewer labels than the whole field holds", "[search]") {
  std::mt19937_64 random(11);
  test::RandomNetworkOptions size;
  size.columns = size.rows = 30;
  const auto net = test::random_network(random, size);
  const Weights w = lengths(net);
  const SearchGraph graph(net, w.arc, w.movement);
  ArcSearch search(graph);
  std::size_t directed = 0, all = 0;
  for (int query = 0; query < 50; ++query) {
    const auto ends = random_terminals(random, net, 2, 0);
    if (!search.find({&ends[0], 1}, {&ends[1], 1})) continue;
    directed += search.scanned();
    search.find_all({&ends[0], 1});
    all += search.scanned();
  }
  REQUIRE(all > 0);
  CHECK(directed * 4 < all);
}

TEST_CASE("Misuse of the search is a programming error that is told", "[search]") {
  const auto net = two_ways();
  Weights w = lengths(net);
  SECTION("movement and arc together under nought") {
    w.movement[movement(net, 0, 2)] = -w.arc[2] - 1;
    CHECK_THROWS_AS(SearchGraph(net, w.arc, w.movement), std::logic_error);
    w.arc[2] = kShut;  // not a step any more
    CHECK_NOTHROW(SearchGraph(net, w.arc, w.movement));
  }
  SECTION("movement and arc together too heavy") {
    w.arc[2] = kShut - 1;
    w.movement[movement(net, 0, 2)] = 1;
    CHECK_THROWS_AS(SearchGraph(net, w.arc, w.movement), std::logic_error);
    w.movement[movement(net, 0, 2)] = 0;
    CHECK_NOTHROW(SearchGraph(net, w.arc, w.movement));
  }
  SECTION("tables of another network") {
    w.arc.pop_back();
    CHECK_THROWS_AS(SearchGraph(net, w.arc, w.movement), std::logic_error);
  }
  SECTION("terminals that are not there, questions out of order") {
    const SearchGraph graph(net, w.arc, w.movement);
    ArcSearch search(graph);
    const std::vector<Terminal> good = {{ArcId{0}, 0}}, none = {{ArcId{12}, 0}}, negative = {{ArcId{0}, -1}};
    CHECK_THROWS_AS(search.find(good, none), std::logic_error);
    CHECK_THROWS_AS(search.find(negative, good), std::logic_error);
    CHECK_THROWS_AS(search.find_all(none), std::logic_error);
    CHECK_THROWS_AS(search.weight(ArcId{0}), std::logic_error);
    search.find_all(good);
    CHECK(search.weight(ArcId{0}) == 0);
    CHECK(search.find(good, good) == 0);
    CHECK_THROWS_AS(search.weight(ArcId{0}), std::logic_error);
  }
}
