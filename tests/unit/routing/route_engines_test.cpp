// Routes on some of the engines: which way they are made to take, and what is said of it.
#include <numbers>

#include "unit/routing/drawn.hpp"
#include "unit/routing/route_check.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;

TEST_CASE("turns tell their side, whether they go toward the running engine, and how much thrust they take") {
  const Drawn f(R"(
    a----b
         |
    c----d
    |
    e----g
    p----q
    )",
                {"taxiway A: a b d c e g", "runway 09/27: p q"}, {.metres = 60.0});
  const Route all = route_of(f.net, {f.node('a'), f.node('g')});
  REQUIRE(all.turns.size() == 4);
  for (const Turn& t : all.turns) CHECK_FALSE(t.toward_running);
  const Route left = route_of(f.net, {.from = f.node('a'), .to = f.node('g'), .engines = "left"});
  REQUIRE(left.turns.size() == 4);
  const double half_pi = std::numbers::pi / 2;
  const double signs[] = {1, 1, -1, -1};
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK(left.turns[i].angle_rad == Approx(signs[i] * half_pi).epsilon(1e-4));
    REQUIRE(left.turns[i].toward_running);
    CHECK(*left.turns[i].toward_running == (signs[i] < 0));
    CHECK(left.turns[i].assumed);
    // Virtual work, ȳ 5.75 m, L 12.6 m, line radius 30 m: 1.2677 toward, 0.8256 away (independent calculation).
    CHECK(left.turns[i].radius_m == Approx(30.0));
    CHECK(left.turns[i].thrust_factor == Approx(signs[i] < 0 ? 1.2677 : 0.8256).epsilon(1e-3));
  }
}

TEST_CASE("a set that cannot climb goes round, and where there is no way round every engine is called for") {
  // One engine of the default twin holds 1.39 % rolling at 60 t (independent calculation of the ground-movement model).
  const std::string drawing = R"(
    a---b-------c---d
        |       |
        e-------g
    p---------------q
    )";
  const std::vector<std::string> lines = {"taxiway A: a b", "taxiway H: b c", "taxiway B: b e g c", "taxiway C: c d",
                                          "runway 09/27: p q"};
  Drawn f(drawing, lines, {.metres = 40.0});
  // A hump over the middle of H alone: 3 % up and down.
  const double north = f.map.xy('b').y_m, west = f.map.xy('b').x_m, east = f.map.xy('c').x_m;
  raise(f.net, [&](LocalXY p) {
    const bool on_hump = std::abs(p.y_m - north) < 1.0 && p.x_m > west && p.x_m < east;
    return on_hump ? 10.0 + 0.03 * std::min(p.x_m - west, east - p.x_m) : 10.0;
  });
  CHECK(way_of(route_of(f.net, {f.node('a'), f.node('d')})) == "A H C");
  const Route round = route_of(f.net, {.from = f.node('a'), .to = f.node('d'), .engines = "left"});
  check_route(f.net, round);
  CHECK(way_of(round) == "A B C");
  CHECK_FALSE(round.every_engine_needed);

  Ask shut{.from = f.node('a'), .to = f.node('d'), .engines = "left", .close = {"B"}};
  const Route needed = route_of(f.net, shut);
  check_route(f.net, needed);
  CHECK(needed.every_engine_needed);
  CHECK(says(needed, "every-engine-needed"));
  CHECK(needed.engines == "left");
  bool marked = false;
  for (const Leg& leg : needed.legs) {
    if (leg.place.verdict != motion::Verdict::all) continue;
    marked = true;
    CHECK(leg.name == "H");
    CHECK(leg.place.reasons.has(motion::Reason::grade));
    CHECK(leg.place.margin < 0.0);
  }
  CHECK(marked);
  // Totals are those of every engine.
  const Route every = route_of(f.net, {.from = f.node('a'), .to = f.node('d'), .close = {"B"}});
  CHECK(needed.fuel_kg == Approx(every.fuel_kg));
}

TEST_CASE("a set that can roll but not start there keeps off slopes where it starts and where it may stop") {
  // 0.49 % from rest, 1.39 % rolling on one engine at 60 t (independent calculation of the ground-movement model).
  const std::string drawing = R"(
    a---b---h---c---d
        |       |
        e-------g
    p---------------q
    )";
  const std::vector<std::string> lines = {"taxiway A: a b", "taxiway H: b h c", "taxiway B: b e g c", "taxiway C: c d",
                                          "runway 09/27: p q"};
  const auto on_slope = [](Drawn& f) {
    const double north = f.map.xy('b').y_m, west = f.map.xy('b').x_m, east = f.map.xy('c').x_m;
    // 1 % up all the way from b past h, then down again before c.
    raise(f.net, [=](LocalXY p) {
      const bool on = std::abs(p.y_m - north) < 1.0 && p.x_m > west && p.x_m < east;
      return on ? 10.0 + std::min(0.01 * (p.x_m - west), 0.07 * (east - p.x_m)) : 10.0;
    });
  };
  Drawn plain(drawing, lines, {.metres = 40.0});
  on_slope(plain);
  const Ask ask{.from = plain.node('a'), .to = plain.node('d'), .engines = "left"};
  CHECK(way_of(route_of(plain.net, ask)) == "A H C");  // rolls over it
  auto with_hold = lines;
  with_hold.push_back("hold H1: h; type=intermediate");
  Drawn held(drawing, with_hold, {.metres = 40.0});
  on_slope(held);
  REQUIRE(held.net.holding_points.size() == 1);
  REQUIRE(held.net.holding_points[0].node == held.map.node(held.net, 'h'));
  const Ask ask_held{.from = held.node('a'), .to = held.node('d'), .engines = "left"};
  const Route kept_off = route_of(held.net, ask_held);
  CAPTURE(kept_off.every_engine_needed);
  for (const auto& f : kept_off.findings) UNSCOPED_INFO(f.code << ": " << f.text);
  CHECK(way_of(kept_off) == "A B C");  // might have to stop at h
  CHECK(way_of(route_of(held.net, {held.node('a'), held.node('d')})) == "A H C");
  // Starting on the slope itself asks for every engine.
  const Route start = route_of(held.net, {.from = held.node('h'), .to = held.node('d'), .engines = "left"});
  check_route(held.net, start);
  CHECK((start.every_engine_needed || start.arcs.front() != held.map.arc(held.net, 'h', 'c')));
}

TEST_CASE("a crossing that is set off along the runway must be one the set can start from rest on") {
  // At 60 t one engine starts on the level, but not through a corner toward it: 1.6 × 8.83 kN × 1.2677 is over 17.0 kN
  // (independent calculation of the ground-movement model).
  const Drawn set_off(R"(
            a


    p-------q-r-------s


              b
    )",
                      {"taxiway A: a q", "taxiway B: r b", "runway 09/27: p q r s"}, {.metres = 25.0});
  CHECK(uses_of(route_of(set_off.net, {set_off.node('a'), set_off.node('b')})) == "crossing 09/27");
  for (const char* engine : {"left", "right"}) {
    const Route one = route_of(set_off.net, {.from = set_off.node('a'), .to = set_off.node('b'), .engines = engine});
    check_route(set_off.net, one);
    CHECK((one.every_engine_needed || uses_of(one) != "crossing 09/27"));
  }
}

TEST_CASE("a set takes no runway lengthwise that every engine can do without") {
  Drawn f(R"(
    a---b-------c---d
    |               |
    |               |
    p---------------q
    )",
          {"taxiway A: a b", "taxiway H: b c", "taxiway C: c d", "taxiway D: a p", "taxiway E: d q", "runway 09/27: p q"});
  // 3 % up on H, which one engine does not hold (see above).
  const double north = f.map.xy('b').y_m, west = f.map.xy('b').x_m, east = f.map.xy('c').x_m;
  raise(f.net, [&](LocalXY p) {
    const bool on_hump = std::abs(p.y_m - north) < 1.0 && p.x_m > west && p.x_m < east;
    return on_hump ? 10.0 + 0.03 * std::min(p.x_m - west, east - p.x_m) : 10.0;
  });
  Ask ask{.from = f.node('a'), .to = f.node('d'), .engines = "left"};
  const Route every = route_of(f.net, ask);
  check_route(f.net, every);
  CHECK(way_of(every) == "A H C");
  CHECK(every.every_engine_needed);
  CHECK(uses_of(every).empty());
  CHECK(every.set_along_m == Approx(640.0).epsilon(1e-5));
  std::string why;
  for (const Finding& finding : every.findings)
    if (finding.code == "every-engine-needed") why = finding.text;
  CHECK(why.find("only one with 640 m along a runway") != std::string::npos);
  CHECK(why.find("(left)") != std::string::npos);
  bool marked = false;
  for (const Leg& leg : every.legs) marked = marked || (leg.name == "H" && leg.place.verdict == motion::Verdict::all);
  CHECK(marked);

  // Where every engine needs the runway too, the set goes along it.
  ask.close = {"H"};
  const Route along = route_of(f.net, ask);
  check_route(f.net, along);
  CHECK_FALSE(along.every_engine_needed);
  CHECK(uses_of(along) == "along 09/27");
}

TEST_CASE("where grades are unknown the finding says what to give") {
  const Drawn f = two_ways();
  const network::Network unknown = network::build_network(f.map.field());  // nobody has given it heights
  const auto told = [&](const char* engines) {
    const Route route = route_of(unknown, {.from = "stand:1", .to = "runway:09", .engines = engines});
    std::string text;
    for (const Finding& finding : route.findings)
      if (finding.code == "unknown-grade" && finding.where.id.empty()) text += finding.text;
    return text;
  };
  CHECK(told("left").find("3.0 % uphill; give heights (--dem, --survey) or your own judgement (--unknown-grade)") !=
        std::string::npos);
  CHECK(told("all").find("m driven; give heights (--dem, --survey)") != std::string::npos);
  CHECK(told("all").find("--unknown-grade") == std::string::npos);
}
