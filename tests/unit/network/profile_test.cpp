#include <catch2/catch.hpp>
#include <set>

#include "findings.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/network/build.hpp"
#include "support/ascii_map.hpp"

using namespace solotaxi;
using namespace solotaxi::network;
using namespace solotaxi::test;

namespace {

/// A plane that rises to the east, with a pit where a taxiway bridge stands.
class Ground : public terrain::HeightSource {
 public:
  Ground(LocalFrame frame, double grade, double pit_from, double pit_to)
      : frame_(std::move(frame)), grade_(grade), from_(pit_from), to_(pit_to) {}
  /// Pixels of 5 m about each place.
  [[nodiscard]] terrain::Readings readings(std::span<const LatLon> places, Metres) const override {
    terrain::Readings out;
    std::set<std::pair<long, long>> seen;
    for (const LatLon at : places) {
      const LocalXY p = frame_.to_local(at);
      out.inside.push_back(1);
      for (long i = std::lround(p.x_m / 5.0) - 1; i <= std::lround(p.x_m / 5.0) + 1; ++i)
        for (long j = std::lround(p.y_m / 5.0) - 1; j <= std::lround(p.y_m / 5.0) + 1; ++j) {
          if (!seen.insert({i, j}).second) continue;
          const double x = 5.0 * static_cast<double>(i), y = 5.0 * static_cast<double>(j);
          out.list.push_back({frame_.to_geodetic({x, y}), 50.0 + grade_ * x - (x > from_ && x < to_ ? 8.0 : 0.0), 0.0});
        }
    }
    return out;
  }
  [[nodiscard]] terrain::SourceKind kind() const override { return terrain::SourceKind::raster; }
  [[nodiscard]] Metres spacing_at(LatLon) const override { return 5_m; }
  [[nodiscard]] terrain::NoiseModel noise() const override { return {0.2, 0.9, 100.0}; }
  [[nodiscard]] std::string name() const override { return "plane"; }

 private:
  LocalFrame frame_;
  double grade_, from_, to_;
};

const char* const kField = R"(
      a-------b-----c-------d
                            |
      P---------------------+---Q
                            e
    )";

}  // namespace

TEST_CASE("knots lie at the ends, no farther apart than their spacing, and nodes share their height") {
  const AsciiMap map(kField,
                     {"taxiway A: a b", "taxiway A: b c; bridge layer=1", "taxiway A: c d e", "runway 09/27: P e Q"});
  const Ground ground(map.field().frame, 0.01, 1e9, 1e9);
  const terrain::HeightSource* sources[] = {&ground};
  const auto net = build_network(map.field(), {}, sources);
  CHECK(found(net, "unknown-grade").empty());
  for (const auto& s : net.segments) {
    REQUIRE(s.profile.size() >= 2);
    REQUIRE(s.grade_sd.size() == s.profile.size() - 1);
    CHECK(s.profile.front().at_m == 0.0);
    CHECK(s.profile.back().at_m == s.length_m);
    CHECK(s.profile.front().height_m == net.node(s.from).height_m);
    CHECK(s.profile.back().height_m == net.node(s.to).height_m);
    for (std::size_t k = 1; k < s.profile.size(); ++k) {
      CHECK(s.profile[k].at_m > s.profile[k - 1].at_m);
      CHECK(s.profile[k].at_m - s.profile[k - 1].at_m <= 10.0 + 1e-6);
      CHECK(s.grade_sd[k - 1] > 0.0);
    }
  }
  // A plane is exact: 0.01 along the taxiway, whatever the noise declared.
  const auto& ab = net.segment(map.arc(net, 'a', 'b'));
  CHECK((ab.profile.back().height_m - ab.profile.front().height_m) / ab.length_m == Approx(0.01).margin(2e-4));
}

TEST_CASE("a bridge deck follows its ends, not the ground below") {
  const AsciiMap map(kField,
                     {"taxiway A: a b", "taxiway A: b c; bridge layer=1", "taxiway A: c d e", "runway 09/27: P e Q"});
  const Ground ground(map.field().frame, 0.0, map.xy('b').x_m + 3.0, map.xy('c').x_m - 3.0);
  const terrain::HeightSource* sources[] = {&ground};
  const auto net = build_network(map.field(), {}, sources);
  const auto& deck = net.segment(map.arc(net, 'b', 'c'));
  REQUIRE(deck.bridge);
  for (const auto& k : deck.profile) CHECK(k.height_m == Approx(50.0).margin(0.3));
}

TEST_CASE("heights of the map are used without a raster, inside a line too") {
  const AsciiMap map(kField, {"taxiway A: a b c d e", "runway 09/27: P e Q", "height a: 10", "height b: 10.8",
                              "height d: 12.2", "height P: 10", "height Q: 13"});
  const auto net = build_network(map.field());
  CHECK(found(net, "unknown-grade").empty());
  const auto& s = net.segment(map.arc(net, 'a', 'e'));
  const auto knot =
      std::find_if(s.profile.begin(), s.profile.end(), [](const Knot& k) { return std::abs(k.at_m - 80.0) < 1e-3; });
  REQUIRE(knot != s.profile.end());
  CHECK(knot->height_m == Approx(10.8).margin(0.3));
}

TEST_CASE("without heights every grade is unknown, said once") {
  const AsciiMap map(kField, {"taxiway A: a b c d e", "runway 09/27: P e Q"});
  const auto net = build_network(map.field());
  CHECK(found(net, "unknown-grade").size() == 1);
  for (const auto& s : net.segments) {
    CHECK(std::isnan(s.profile.front().height_m));
    for (const double sd : s.grade_sd) CHECK(sd == terrain::kUnknownGradeSd);
  }
  CHECK(std::isnan(net.nodes[0].height_m));
}

TEST_CASE("options out of range are refused") {
  const AsciiMap map(kField, {"taxiway A: a b c d e", "runway 09/27: P e Q"});
  CHECK_THROWS_AS(build_network(map.field(), {.snap_m = -1.0}), Error);
  CHECK_THROWS_AS(build_network(map.field(), {.knot_spacing_m = 0.0}), Error);
  CHECK_THROWS_AS(build_network(map.field(), {.stand_reach_m = std::nan("")}), Error);
}
