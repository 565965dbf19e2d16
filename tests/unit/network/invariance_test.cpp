// What must not change the network: where the field lies, how it is turned, how finely its lines are drawn.
#include <rapidcheck.h>

#include <catch2/catch.hpp>

#include "findings.hpp"
#include "solotaxi/network/build.hpp"
#include "support/ascii_map.hpp"

using namespace solotaxi;
using namespace solotaxi::network;
using namespace solotaxi::test;

namespace {

const char* const kField = R"(
      s   t     u
      |   |
      |   |
      a---b---c-----d---+
      |      /          |
      |     /           |
      |    g-----h------+-i
      |   /             |
      |  /              |
      | /               |
      |/                |
      |                 |
      P---e---------f---Q
    )";
const std::vector<std::string> kLines = {"taxiway A: a b c d",     "taxiway B: a P", "taxiway C: c g e@0,3",
                                         "taxiway H: g@1.2,0 h i", "taxiway D: d Q", "stand 1: a s",
                                         "stand 2: t b@0,5",       "stand 3: u",     "runway 09/27: P Q"};

Network built(AsciiOptions options) { return build_network(AsciiMap(kField, kLines, std::move(options)).field()); }

/// What differs between two networks that should be the same, angles of b times `sign`; "" where nothing does.
std::string difference(const Network& a, const Network& b, double sign, double tolerance_m) {
  const auto counts = [](const Network& n) {
    return std::vector<std::size_t>{n.nodes.size(), n.segments.size(), n.movements.size(), n.holding_points.size(),
                                    n.findings.size()};
  };
  if (counts(a) != counts(b)) {
    std::string text = "counts:";
    for (const auto n : counts(a)) text += " " + std::to_string(n);
    text += " against";
    for (const auto n : counts(b)) text += " " + std::to_string(n);
    for (const auto* net : {&a, &b})
      for (const auto& f : net->findings) text += "\n" + f.code + " " + f.text;
    return text;
  }
  for (std::size_t i = 0; i < a.segments.size(); ++i) {
    const auto &s = a.segments[i], &t = b.segments[i];
    if (s.from != t.from || s.to != t.to) return "ends of segment " + std::to_string(i);
    if (std::abs(s.length_m - t.length_m) > tolerance_m) return "length " + std::to_string(s.length_m - t.length_m);
  }
  for (std::size_t i = 0; i < a.movements.size(); ++i) {
    const auto &m = a.movements[i], &n = b.movements[i];
    if (m.from != n.from || m.to != n.to) return "movement " + std::to_string(i);
    if (!m.turn_round && std::abs(m.angle_rad - static_cast<float>(sign) * n.angle_rad) > 1e-4F)
      return "angle " + std::to_string(m.angle_rad) + " " + std::to_string(n.angle_rad);
  }
  for (std::size_t i = 0; i < a.holding_points.size(); ++i)
    if (a.holding_points[i].node != b.holding_points[i].node) return "holding point " + std::to_string(i);
  return "";
}

void expect_same(const std::string& difference) {
  if (!difference.empty()) RC_FAIL(difference);
}

}  // namespace

TEST_CASE("turning or moving the field changes no length, angle or id") {
  const auto straight = built({});
  CHECK(rc::check("turned and moved", [&] {
    AsciiOptions options;
    options.turned_deg = *rc::gen::inRange(0, 360);
    options.origin = LatLon::degrees(*rc::gen::inRange(-70, 71), *rc::gen::inRange(-179, 180));
    expect_same(difference(straight, built(options), 1.0,
                           1e-4));  // 0.1 mm: the plane's scale error at 100 m and the projection's rounding
  }));
}

TEST_CASE("a field across the antimeridian is like any other") {
  AsciiOptions options;
  options.origin = LatLon::degrees(-17.0, 180.0);
  CHECK(difference(built({}), built(options), 1.0, 1e-4) == "");
}

TEST_CASE("the mirrored field has the same network with every turn to the other hand") {
  CHECK(rc::check("mirrored", [] {
    AsciiOptions options;
    options.turned_deg = *rc::gen::inRange(0, 360);
    const auto one = built(options);
    options.mirrored = true;
    expect_same(difference(one, built(options), -1.0, 1e-4));
  }));
}

TEST_CASE("vertices added on the straights of a map change neither nodes nor lengths") {
  // No near miss here: its join moves to a vertex beside it, by less than 0.5 m.
  auto lines = kLines;
  lines[3] = "taxiway H: g h i";
  const AsciiMap map(kField, lines);
  const auto plain = build_network(map.field());
  CHECK(rc::check("collinear vertices", [&] {
    auto field = map.field();
    const auto refine = [&](std::vector<airfield::Vertex>& line) {
      std::vector<airfield::Vertex> fine{line.front()};
      for (std::size_t i = 1; i < line.size(); ++i) {
        const auto a = field.frame.to_local(line[i - 1].at), b = field.frame.to_local(line[i].at);
        const int parts = *rc::gen::inRange(1, 5);
        for (int k = 1; k < parts; ++k)
          fine.push_back({field.frame.to_geodetic(a + (b - a) * (static_cast<double>(k) / parts)), std::nullopt, 0});
        fine.push_back(line[i]);
      }
      line = fine;
    };
    for (auto& c : field.centrelines) refine(c.line);
    for (auto& r : field.runways) refine(r.line);
    const auto fine = build_network(field);
    expect_same(difference(plain, fine, 1.0, 1e-3));
  }));
}

TEST_CASE("the same map gives the same network, byte for byte in what is counted and named") {
  const auto a = built({}), b = built({});
  REQUIRE(a.findings.size() == b.findings.size());
  for (std::size_t i = 0; i < a.findings.size(); ++i) CHECK(a.findings[i].text == b.findings[i].text);
  CHECK(difference(a, b, 1.0, 0.0) == "");
}
