#include "solotaxi/planning/screen.hpp"

#include <tbb/global_control.h>

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "solotaxi/base/error.hpp"
#include "unit/planning/plan_fields.hpp"
#include "unit/planning/screen_single.hpp"

using namespace solotaxi;
using namespace solotaxi::planning;
using routing::Direction;
using test::Drawn;

namespace {

ScreenRequest asked() {
  ScreenRequest r;
  r.plan.route.landing_roll_m = 100.0;
  return r;
}

Screen screened(const network::Network& net, const ScreenRequest& request = asked()) {
  return screen(net, {}, {}, request);
}

/// A hill on taxiway B, in the middle of it.
void raise(network::Network& net, const std::string& taxiway, double grade) {
  for (auto& s : net.segments)
    if (s.name == taxiway)
      for (auto& knot : s.profile) knot.height_m = grade * knot.at_m;
}

/// Stands one drives through (1 and 3, at one place), one reached only over another (4 over 2), and one by itself (5).
Drawn awkward_stands() {
  return Drawn(R"(
    a---b-----c-----d---h
    |   |     |     |   |
    |   s     t     w   |
    |   |     |         |
    |   |     v         |
    e---f---------------g
    |                   |
    p-------------------r
  )",
               {"taxiway A: a b c d h", "taxiway B: a e p", "taxiway D: h g r", "taxiway C: e f g", "stand 1: b s",
                "stand 3: f s", "stand 2: c t", "stand 4: t v", "stand 5: d w", "runway 09/27: p r"},
               {.metres = 40.0});
}

std::string code_of(const ScreenRequest& request, const network::Network& net) {
  try {
    static_cast<void>(screened(net, request));
  } catch (const Error& error) {
    return error.message();
  }
  return "";
}

}  // namespace

TEST_CASE("every pair of a screen has the figures of its own search") {
  Drawn d = test::two_ways();
  for (const double queue_s : {0.0, 300.0}) {
    ScreenRequest request = asked();
    request.plan.queue_s = queue_s;
    const Screen s = screened(d.net, request);
    REQUIRE(s.pairs.size() == 2 * 2 * 2);
    CHECK(test::check_pairs(s, d.net, {}, {}, request) == s.pairs.size());
    CHECK(s.departures.stands == 2);
    CHECK(s.departures.stands_with_one == 2);
  }
}

TEST_CASE("a screen is the same on one thread and on many") {
  Drawn d = test::two_ways();
  raise(d.net, "B", 0.025);
  raise(d.net, "C", 0.025);
  ScreenRequest request = asked();
  request.plan.queue_s = 300.0;
  request.standard_routes = true;
  const Screen many = screened(d.net, request);
  const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, 1);
  const Screen one = screened(d.net, request);
  REQUIRE(one.pairs.size() == many.pairs.size());
  for (std::size_t i = 0; i < one.pairs.size(); ++i) {
    CHECK(one.pairs[i].reference.has_value() == many.pairs[i].reference.has_value());
    CHECK(one.pairs[i].saving_kg() == many.pairs[i].saving_kg());
  }
  REQUIRE(one.stretches.size() == many.stretches.size());
  CHECK_FALSE(one.stretches.empty());
  for (std::size_t i = 0; i < one.stretches.size(); ++i) {
    CHECK(one.stretches[i].name == many.stretches[i].name);
    CHECK(one.stretches[i].lost_kg == many.stretches[i].lost_kg);
  }
  CHECK(one.saving_kg == many.saving_kg);
  CHECK(one.route_lines_m == many.route_lines_m);
}

TEST_CASE("a hill, a rule and a closure are those of the single search too") {
  Drawn d = test::two_ways();
  raise(d.net, "A", 0.04);
  ScreenRequest request = asked();
  request.plan.route.close = {"B"};
  request.plan.rules = {parse_rule("all-engines=D"), parse_rule("may-run-alone=1")};
  const Screen s = screened(d.net, request);
  CHECK(test::check_pairs(s, d.net, {}, {}, request) == s.pairs.size());
}

TEST_CASE("stands one drives through, or reaches over another, have the figures of their own questions") {
  const Drawn d = awkward_stands();
  const Screen s = screened(d.net);
  REQUIRE(s.pairs.size() == 2 * 2 * 5);
  CHECK(test::check_pairs(s, d.net, {}, {}, asked()) == s.pairs.size());
  CHECK(s.departures.stands == 5);
  CHECK(s.arrivals.stands == 5);
}

TEST_CASE("a field seen in a mirror, with the engines changed over, screens alike") {
  const Drawn d = test::two_ways();
  const Drawn mirrored = test::two_ways({.metres = 25.0, .mirrored = true});
  const Screen a = screened(d.net), b = screened(mirrored.net);
  REQUIRE(a.pairs.size() == b.pairs.size());
  CHECK(a.departures.pairs_with_one == b.departures.pairs_with_one);
  CHECK(a.arrivals.pairs_with_one == b.arrivals.pairs_with_one);
  REQUIRE(a.departures.mean_saving_kg);
  REQUIRE(b.departures.mean_saving_kg);
  CHECK(*a.departures.mean_saving_kg == Approx(*b.departures.mean_saving_kg));
  CHECK(a.saving_kg == Approx(b.saving_kg));
}

TEST_CASE("a stand whose line is closed has no plan, and the others keep theirs") {
  Drawn d = test::two_ways();
  const Screen before = screened(d.net);
  for (auto& s : d.net.segments)
    if (s.kind == network::LineKind::stand_line && s.name == "1") s.closed = true;
  const Screen after = screened(d.net);
  REQUIRE(before.pairs.size() == after.pairs.size());
  std::size_t shut = 0;
  for (std::size_t i = 0; i < after.pairs.size(); ++i) {
    if (d.net.stands[static_cast<std::size_t>(after.pairs[i].move.stand)].ref == "1") {
      CHECK_FALSE(after.pairs[i].reference);
      ++shut;
      continue;
    }
    REQUIRE(after.pairs[i].reference);
    CHECK(after.pairs[i].reference->fuel_kg == before.pairs[i].reference->fuel_kg);
  }
  CHECK(shut == 4);
}

TEST_CASE("a stretch that forces every engine is found, and what it loses is what relieving it brings") {
  Drawn d = test::two_ways();
  raise(d.net, "B", 0.025);
  raise(d.net, "C", 0.025);
  raise(d.net, "D", 0.025);
  ScreenRequest request = asked();
  request.plan.queue_s = 600.0;
  const Screen s = screened(d.net, request);
  REQUIRE_FALSE(s.stretches.empty());
  const ScreenStretch& worst = s.stretches.front();
  CHECK(worst.reasons.has(motion::Reason::grade));
  CHECK(worst.forced_movements > 0.0);
  REQUIRE(worst.lost_kg);
  CHECK(*worst.lost_kg >= 0.0);
  for (const auto segment : worst.segments) CHECK(s.segments[index(segment)].forced_pairs > 0);
  // Laid down in truth, it forces nobody any more.
  request.changes = {{worst.name, 0.0, std::nullopt, std::nullopt}};
  const Screen flat = screened(changed_network(d.net, request.changes), request);
  for (const ScreenStretch& left : flat.stretches) CHECK(left.name != worst.name);
}

TEST_CASE("movements are shared alike, or as the traffic says") {
  const Drawn d = test::two_ways();
  ScreenRequest request = asked();
  request.movements_a_year = 800.0;
  const Screen alike = screened(d.net, request);
  for (const ScreenPair& p : alike.pairs) CHECK(p.movements == Approx(100.0));
  CHECK(alike.movements == Approx(800.0));
  request.traffic = {{{0, 0, 1, Direction::arrival}, 30.0}, {{0, 0, 1, Direction::arrival}, 12.0}};
  const Screen told = screened(d.net, request);
  CHECK(told.movements == Approx(42.0));
  for (const ScreenPair& p : told.pairs) CHECK(p.movements == (p.move == request.traffic.front().move ? 42.0 : 0.0));
}

TEST_CASE("a field without stands, and values out of range, are one clear error") {
  Drawn d = test::two_ways();
  ScreenRequest request = asked();
  request.mend = 51;
  CHECK(code_of(request, d.net) == "51 stretches to mend are out of range");
  request = asked();
  request.plan.rules = {parse_rule("min-one-engine-s=60")};
  CHECK(code_of(request, d.net).find("advises nothing") != std::string::npos);
  request = asked();
  d.net.stands.clear();
  CHECK(code_of(request, d.net) == "the field has no stands, so there is nothing to screen");
  CHECK_THROWS_AS(changed_network(d.net, {{"Z", 1.0, std::nullopt, std::nullopt}}), Error);
  CHECK_THROWS_AS(changed_network(d.net, {{"A", 11.0, std::nullopt, std::nullopt}}), Error);
}
