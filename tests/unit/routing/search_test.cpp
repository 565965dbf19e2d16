#include "solotaxi/routing/search.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <stdexcept>

#include "support/random_network.hpp"
#include "support/search_oracle.hpp"

namespace {

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;
using network::ArcId;
using network::index;

/// Two ways from the first line to the last: 0-1-3-4 straight on along the x axis, or round by node 2.
network::Network two_way_graph() {
  return draw_network({{0, 0}, {100, 0}, {150, 40}, {200, 0}, {300, 0}, {0, 500}, {100, 500}},
                      {{0, 1}, {1, 3}, {1, 2}, {2, 3}, {3, 4}, {5, 6}});
}

std::size_t movement(const network::Network& net, std::uint32_t from, std::uint32_t to) {
  for (std::size_t m = 0; m < net.movements.size(); ++m)
    if (net.movements[m].from == ArcId{from} && net.movements[m].to == ArcId{to}) return m;
  throw std::logic_error("no such movement");
}

}  // namespace

TEST_CASE("A single short arc of no weight does not spoil the bound of the whole field", "[search]") {
  std::mt19937_64 random(7);
  RandomNetworkOptions size;
  size.columns = size.rows = 20;
  const auto net = random_network(random, size);
  SearchWeights w = length_weights(net);
  const double clean = SearchGraph(net, w.arc, w.movement).bound().rate;
  CHECK(clean > 990.0);  // millimetres a planar metre, lines being no shorter than straight
  w.arc[10] = 0;
  for (std::size_t m = 0; m < net.movements.size(); ++m) CHECK(w.movement[m] == 0);
  CHECK(SearchGraph(net, w.arc, w.movement).bound().rate > 990.0);
}

TEST_CASE("The cheaper of two ways is taken, and a turn cost or a shut place changes it", "[search]") {
  const auto net = two_way_graph();
  SearchWeights w = length_weights(net);
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
  const auto net = two_way_graph();
  const SearchWeights w = length_weights(net);
  const SearchGraph graph(net, w.arc, w.movement);
  ArcSearch search(graph);
  SECTION("the seed that is dearer to start but nearer wins by the sum") {
    const std::vector<Terminal> seeds = {{ArcId{0}, 100'000}, {ArcId{2}, 250'000}, {ArcId{2}, 199'000}},
                                goals = {{ArcId{8}, 0}};
    CHECK(search.find(seeds, goals) == 299'000);
    CHECK(search.path() == std::vector<ArcId>{ArcId{2}, ArcId{8}});
  }
  SECTION("the goal that is farther but cheaper to leave wins by the sum") {
    const std::vector<Terminal> seeds = {{ArcId{0}, 100'000}},
                                goals = {{ArcId{2}, 150'000}, {ArcId{8}, 49'000}, {ArcId{8}, 60'000}};
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
  const auto net = draw_network(nodes, {{0, 1}, {1, first}, {first, 4}, {1, second}, {second, 4}, {4, 5}});
  const SearchWeights w = length_weights(net);
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

TEST_CASE("Goal direction scans far fewer labels than the whole field holds", "[search]") {
  std::mt19937_64 random(11);
  RandomNetworkOptions size;
  size.columns = size.rows = 30;
  const auto net = random_network(random, size);
  const SearchWeights w = length_weights(net);
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
  const auto net = two_way_graph();
  SearchWeights w = length_weights(net);
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
