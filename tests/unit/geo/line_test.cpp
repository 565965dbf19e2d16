#include "solotaxi/geo/line.hpp"

#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <stdexcept>

using namespace solotaxi;

namespace {
std::vector<LocalXY> random_line() {
  const auto n = *rc::gen::inRange<std::size_t>(2, 40);
  std::vector<LocalXY> line;
  LocalXY at;
  for (std::size_t i = 0; i < n; ++i) {
    line.push_back(at);
    at = at + LocalXY{*rc::gen::inRange(-200, 600) / 100.0, *rc::gen::inRange(-300, 300) / 100.0};
  }
  return line;
}
}  // namespace

TEST_CASE("chainage is the way to each vertex") {
  const std::vector<LocalXY> line{{0, 0}, {3, 4}, {3, 10}, {3, 10}};
  CHECK(chainage(line) == std::vector<double>{0, 5, 11, 11});
  CHECK(chainage({}).empty());
}

TEST_CASE("the nearest point of a line lies on a piece, at an end, or nowhere on an empty line") {
  const std::vector<LocalXY> line{{0, 0}, {10, 0}, {10, 10}};
  const NearestPoint side = nearest_point(line, {4, 3});
  CHECK(side.at == LocalXY{4, 0});
  CHECK(side.distance_m == Approx(3.0));
  CHECK(side.at_m == Approx(4.0));
  CHECK(side.piece == 0);
  const NearestPoint second = nearest_point(line, {12, 7});
  CHECK(second.piece == 1);
  CHECK(second.at_m == Approx(17.0));
  CHECK(second.share == Approx(0.7));
  const NearestPoint end = nearest_point(line, {-3, -4});
  CHECK(end.distance_m == Approx(5.0));
  CHECK(end.at_m == 0.0);
  CHECK_THROWS_AS(nearest_point({}, {0, 0}), std::invalid_argument);
}

TEST_CASE("a point along a line is found by its way and held at the ends") {
  const std::vector<LocalXY> line{{0, 0}, {10, 0}, {10, 10}};
  CHECK(point_along(line, 15.0) == LocalXY{10, 5});
  CHECK(point_along(line, -1.0) == LocalXY{0, 0});
  CHECK(point_along(line, 21.0) == LocalXY{10, 10});
}

TEST_CASE("simplifying drops what lies within the tolerance and keeps corners, spikes and ends") {
  const std::vector<LocalXY> noisy{{0, 0}, {10, 0.2}, {20, -0.2}, {30, 0}, {30, 20}};
  CHECK(simplify(noisy, 0.3) == std::vector<std::size_t>{0, 3, 4});
  const std::vector<LocalXY> spike{{0, 0}, {10, 0}, {5, 0}, {20, 0}};  // back and forth on one line: inside the piece
  CHECK(simplify(spike, 0.3) == std::vector<std::size_t>{0, 3});
  const std::vector<LocalXY> overshoot{{0, 0}, {20, 0}, {10, 0.1}};  // a reversal at the end is no noise
  CHECK(simplify(overshoot, 0.3) == std::vector<std::size_t>{0, 1, 2});
  const std::vector<LocalXY> ring{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}};
  CHECK(simplify(ring, 0.3).size() == 5);
  CHECK(simplify(std::vector<LocalXY>{{0, 0}, {5, 0}, {10, 0}}, 0.0) == std::vector<std::size_t>{0, 2});
  CHECK(simplify({}, 0.3).empty());
}

TEST_CASE("no vertex left out lies farther than the tolerance from the line that replaces it") {
  const bool ok = rc::check([] {
    const auto line = random_line();
    const double tolerance = *rc::gen::inRange(0, 300) / 100.0;
    const auto kept = simplify(line, tolerance);
    RC_ASSERT(kept.front() == 0U);
    RC_ASSERT(kept.back() == line.size() - 1);
    RC_ASSERT(std::is_sorted(kept.begin(), kept.end()));
    for (std::size_t k = 0; k + 1 < kept.size(); ++k)
      for (std::size_t i = kept[k] + 1; i < kept[k + 1]; ++i)
        RC_ASSERT(distance_to_piece_m(line[i], line[kept[k]], line[kept[k + 1]]) <= tolerance + 1e-12);
  });
  CHECK(ok);
}

TEST_CASE("the nearest point is no farther than any of a thousand points along the line") {
  const bool ok = rc::check([] {
    const auto line = random_line();
    const LocalXY point{*rc::gen::inRange(-500, 3000) / 100.0, *rc::gen::inRange(-1000, 1000) / 100.0};
    const NearestPoint found = nearest_point(line, point);
    RC_ASSERT(std::abs(distance_m(point, found.at) - found.distance_m) < 1e-9);
    RC_ASSERT(distance_m(point_along(line, found.at_m), found.at) < 1e-9);
    const double length = chainage(line).back();
    for (int i = 0; i <= 1000; ++i)
      RC_ASSERT(distance_m(point, point_along(line, length * i / 1000.0)) >= found.distance_m - 1e-9);
  });
  CHECK(ok);
}
