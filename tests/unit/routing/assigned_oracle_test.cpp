// Matching against trying every way of small random networks.
#include <catch2/catch.hpp>
#include <random>

#include "solotaxi/routing/assigned_way.hpp"
#include "support/clearance_oracle.hpp"
#include "support/random_network.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;
using network::ArcId;
using network::NodeId;

namespace {

/// The search adds whole millimetres: half of one for each arc at most.
constexpr double kRounded_m = 0.02;

network::Network named_network(std::mt19937_64& random) {
  auto net = random_network(random, {.columns = 4, .rows = 3, .spacing_m = 60.0, .missing = 0.15});
  const char* names[] = {"A", "B", "C", "D", "", ""};
  for (auto& s : net.segments) s.name = names[random_int(random, 0, 5)];
  return net;
}

ClearanceName named(const std::string& name) { return {name, {name}}; }

/// Half of the clearances name what a walk over the network meets, some of it left out, so that many can be followed.
Clearance random_clearance(std::mt19937_64& random, const network::Network& net, NodeId from) {
  std::vector<std::string> names = {"A", "B", "C", "D"};
  Clearance walked;
  NodeId at = from;
  std::string line;
  for (std::int64_t left = random_int(random, 1, 6); left > 0 && random_int(random, 0, 9) > 0; --left) {
    const auto out = net.arcs_from(at);
    if (out.empty()) break;
    const ArcId a = out[static_cast<std::size_t>(random_int(random, 0, static_cast<std::int64_t>(out.size()) - 1))];
    at = net.head(a);
    const std::string& name = net.segment(a).name;
    if (!name.empty() && name != line) walked.items.push_back({ClearanceItem::Kind::taxiway, named(name), Side::left, {}});
    if (!name.empty()) line = name;
    if (random_int(random, 0, 9) == 0)
      walked.items.push_back({ClearanceItem::Kind::turn,
                              named(names[static_cast<std::size_t>(random_int(random, 0, 3))]),
                              random_int(random, 0, 1) ? Side::left : Side::right,
                              {}});
  }
  if (random_int(random, 0, 3) == 0)
    walked.bindings.push_back({ClearanceBinding::Kind::hold_short_of_taxiway,
                               named(names[static_cast<std::size_t>(random_int(random, 0, 3))]),
                               {}});
  if (random_int(random, 0, 1) == 0) return walked;
  const auto any = [&] { return named(names[static_cast<std::size_t>(random_int(random, 0, 3))]); };
  Clearance c;
  const auto items = random_int(random, 0, 4);
  for (std::int64_t i = 0; i < items; ++i) {
    const bool turn = random_int(random, 0, 4) == 0;
    c.items.push_back({turn ? ClearanceItem::Kind::turn : ClearanceItem::Kind::taxiway,
                       any(),
                       random_int(random, 0, 1) ? Side::left : Side::right,
                       {}});
  }
  if (random_int(random, 0, 3) == 0) c.bindings.push_back({ClearanceBinding::Kind::hold_short_of_taxiway, any(), {}});
  return c;
}

double length_of(const network::Network& net, const std::vector<ArcId>& way) {
  double sum = 0.0;
  for (const ArcId a : way) sum += net.segment(a).length_m;
  return sum;
}

Place node_place(std::int64_t n) { return parse_place("node:" + std::to_string(n)); }

struct Asked {
  network::Network net;
  Clearance clearance;
  AssignedRequest request;
};

Asked any_question(std::uint64_t seed) {
  std::mt19937_64 random(seed);
  Asked q{named_network(random), {}, {}};
  const auto last = static_cast<std::int64_t>(q.net.nodes.size()) - 1;
  const auto from = random_int(random, 0, last);
  auto to = random_int(random, 0, last);
  if (to == from) to = (from + 1) % (last + 1);
  q.clearance = random_clearance(random, q.net, NodeId{static_cast<std::uint32_t>(from)});
  q.request.from = node_place(from);
  q.request.to = node_place(to);
  return q;
}

std::variant<AssignedWay, CannotFollow> answer(const Asked& q, const Clearance& clearance) {
  return assigned_way(q.net, {}, {}, clearance, q.request);
}

/// Every clearance that differs by one word put in or left out.
std::vector<Clearance> one_off(const Clearance& c) {
  std::vector<Clearance> out;
  for (std::size_t i = 0; i < c.items.size(); ++i) {
    out.push_back(c);
    out.back().items.erase(out.back().items.begin() + static_cast<std::ptrdiff_t>(i));
  }
  for (std::size_t i = 0; i < c.bindings.size(); ++i) {
    out.push_back(c);
    out.back().bindings.erase(out.back().bindings.begin() + static_cast<std::ptrdiff_t>(i));
  }
  for (std::size_t i = 0; i <= c.items.size(); ++i)
    for (const char* name : {"A", "B", "C", "D"}) {
      out.push_back(c);
      out.back().items.insert(out.back().items.begin() + static_cast<std::ptrdiff_t>(i),
                              {ClearanceItem::Kind::taxiway, named(name), Side::left, {}});
    }
  return out;
}

}  // namespace

TEST_CASE("no way that follows a clearance is shorter than the one assigned, and where none is, none is found") {
  int assigned = 0, none = 0, turned = 0, bound = 0;
  for (std::uint64_t seed = 1; seed <= 4000; ++seed) {
    INFO("seed " << seed);
    const Asked q = any_question(seed);
    const ClearanceOracle oracle(q.net);
    const auto got = answer(q, q.clearance);
    const NodeId from{q.request.from.node}, to{q.request.to->node};
    if (const auto* way = std::get_if<AssignedWay>(&got)) {
      ++assigned;
      for (const auto& item : q.clearance.items) turned += item.kind == ClearanceItem::Kind::turn;
      bound += !q.clearance.bindings.empty();
      CHECK(oracle.follows(way->arcs, q.clearance));
      CHECK(way->length_m == Approx(length_of(q.net, way->arcs)).margin(1e-6));
      oracle.every_way(from, to, way->length_m - kRounded_m, 14, [&](const std::vector<ArcId>& other, double length) {
        const bool shorter = oracle.follows(other, q.clearance);
        INFO("found " << way->length_m << " m, but there is one of " << length << " m");
        CHECK(!shorter);
        return !shorter;
      });
    } else {
      ++none;
      oracle.every_way(from, to, 1e9, 7, [&](const std::vector<ArcId>& other, double length) {
        const bool follows = oracle.follows(other, q.clearance);
        INFO("none found, but there is one of " << length << " m");
        CHECK(!follows);
        return !follows;
      });
    }
  }
  CHECK(assigned > 500);
  CHECK(none > 500);
  CHECK(turned > 30);
  CHECK(bound > 50);
}

TEST_CASE("the clearance offered instead differs by the fewest words, and of those is the shortest") {
  int one = 0, more = 0;
  for (std::uint64_t seed = 1; seed <= 1200; ++seed) {
    INFO("seed " << seed);
    const Asked q = any_question(seed);
    const auto got = answer(q, q.clearance);
    const auto* cannot = std::get_if<CannotFollow>(&got);
    if (cannot == nullptr) continue;
    CHECK(!cannot->reason.empty());
    std::optional<double> best;
    for (const Clearance& other : one_off(q.clearance)) {
      const auto way = answer(q, other);
      if (const auto* found = std::get_if<AssignedWay>(&way)) best = std::min(best.value_or(1e9), found->length_m);
    }
    if (cannot->nearest.empty()) {
      CHECK(!best);
      continue;
    }
    const Clearance nearest = read_clearance(cannot->nearest, make_vocabulary(q.net));
    const auto way = answer(q, nearest);
    REQUIRE(std::holds_alternative<AssignedWay>(way));
    const auto words = [](const Clearance& c) { return static_cast<std::ptrdiff_t>(c.items.size() + c.bindings.size()); };
    const bool by_one = std::abs(words(nearest) - words(q.clearance)) == 1;
    if (best) {
      std::string works;
      for (const Clearance& other : one_off(q.clearance)) {
        const auto there = answer(q, other);
        const auto* found = std::get_if<AssignedWay>(&there);
        if (found && found->length_m < *best + kRounded_m) works = to_text(other);
      }
      INFO(to_text(q.clearance) << " | offered " << cannot->nearest << " | " << works << " works, " << *best << " m");
      CHECK(by_one);
      CHECK(std::get<AssignedWay>(way).length_m == Approx(*best).margin(kRounded_m));
      ++one;
    } else {
      ++more;
    }
  }
  CHECK(one > 200);
  CHECK(more > 100);
}
