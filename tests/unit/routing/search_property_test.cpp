#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <functional>

#include "solotaxi/routing/search.hpp"
#include "support/random_network.hpp"
#include "support/search_oracle.hpp"

namespace {

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;
using network::ArcId;
using network::index;

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

RandomNetworkOptions random_size() {
  RandomNetworkOptions size;
  size.columns = *rc::gen::inRange<std::uint32_t>(2, 9);
  size.rows = *rc::gen::inRange<std::uint32_t>(2, 9);
  return size;
}

}  // namespace

TEST_CASE("Labels of a one-to-all search carry a certificate of optimality", "[search]") {
  CHECK(rc::check("every step bound holds and a tight step enters every reached arc", [](std::uint64_t seed) {
    std::mt19937_64 random(seed);
    const auto net = random_network(random, random_size());
    RC_PRE(!net.segments.empty());
    const SearchWeights w = random_weights(random, net);
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
    const auto net = random_network(random, random_size());
    RC_PRE(!net.segments.empty());
    WeightOptions options;
    options.heavy = *rc::gen::element(0.0, 0.0, 0.3);
    options.nought = *rc::gen::element(0.0, 0.1, 0.9);
    options.unit = *rc::gen::element(0.02, 10.0, 1000.0);
    const SearchWeights w = random_weights(random, net, options);
    const SearchGraph graph(net, w.arc, w.movement);
    ArcSearch reused(graph);
    for (int query = 0; query < 6; ++query) {
      const auto seeds =
          random_terminals(random, net, static_cast<int>(random_int(random, 1, 5)), query % 2 ? 3'000'000'000 : 0);
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
    RandomNetworkOptions size;
    size.columns = 3;
    size.rows = 2;
    const auto net = random_network(random, size);
    RC_PRE(!net.segments.empty());
    const SearchWeights w = random_weights(random, net);
    const auto seeds = random_terminals(random, net, 2, 50'000);
    std::vector<PathWeight> least(net.arc_count(), kFar);
    std::vector<bool> used(net.arc_count(), false);
    const std::function<void(ArcId, PathWeight)> drive = [&](ArcId arc, PathWeight weight) {
      used[index(arc)] = true;
      least[index(arc)] = std::min(least[index(arc)], weight);
      for (const auto& m : net.movements_from(arc)) {
        const auto at = static_cast<std::size_t>(&m - net.movements.data());
        if (used[index(m.to)] || w.movement[at] == kShut || w.arc[index(m.to)] == kShut || w.arc[index(arc)] == kShut)
          continue;
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
    const auto net = random_network(random, {});
    RC_PRE(!net.segments.empty());
    WeightOptions options;
    options.nought = *rc::gen::element(0.0, 0.02, 0.2);
    const SearchWeights w = random_weights(random, net, options);
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

TEST_CASE("Point to point and one to all give the same way where no step is without weight", "[search]") {
  CHECK(rc::check("few different weights, so that ties abound", [](std::uint64_t seed) {
    std::mt19937_64 random(seed);
    const auto net = random_network(random, random_size());
    RC_PRE(!net.segments.empty());
    SearchWeights w;
    for (std::uint32_t a = 0; a < net.arc_count(); ++a)
      w.arc.push_back(static_cast<Weight>(random_int(random, 1, 3)) * 100'000);
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
