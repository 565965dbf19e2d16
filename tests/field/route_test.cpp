// Routes over real fields: every question has an answer that holds together, or a reason.
#include <algorithm>
#include <catch2/catch.hpp>
#include <map>
#include <numbers>
#include <random>

#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/network/build.hpp"
#include "field/fields.hpp"
#include "support/shared.hpp"
#include "unit/routing/route_check.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;

namespace {

/// Routes from every place to every runway end and, where asked, back; the number found. Every other answer has a reason.
struct Tally {
  int asked = 0, found = 0;
  std::map<std::string, int> reasons;
};

void ask_all(const network::Network& net, const std::vector<std::string>& places, bool back, Tally& tally) {
  for (const auto& runway : net.runways)
    for (const std::string& end : runway.designators) {
      if (end.empty()) continue;
      for (const std::string& place : places)
        for (const bool returning : {false, true}) {
          if (returning && !back) continue;
          // A route from the very entry it leads to is refused as the same place.
          if (resolve(net, parse_place(place)).node == resolve(net, parse_place("runway:" + end)).node) continue;
          Ask ask{place, "runway:" + end};
          if (returning) ask = {"runway:" + end, place};
          if (returning) ask.direction = Direction::arrival;
          ++tally.asked;
          const auto answer = ask_route(net, ask);
          INFO(ask.from << " to " << ask.to);
          if (const auto* route = std::get_if<Route>(&answer)) {
            ++tally.found;
            check_route(net, *route);
            CHECK(!route->runway_uses.empty());
          } else {
            const auto& none = std::get<NoRoute>(answer);
            CHECK(!none.reason.empty());
            CHECK(none.reason.find("under all rules together") == std::string::npos);
            ++tally.reasons[none.reason.substr(0, none.reason.find(" between "))];
          }
        }
    }
}

std::vector<std::string> stands_of(const network::Network& net, std::size_t every) {
  std::vector<std::string> out;
  for (std::size_t i = 0; i < net.stands.size(); i += every)
    out.push_back("stand:" + net.stands[i].ref + "#" + net.stands[i].id);
  return out;
}

std::vector<std::string> nodes_of(const network::Network& net, std::size_t every) {
  std::vector<std::string> out;
  for (std::size_t i = 0; i < net.nodes.size(); i += every) out.push_back("node:" + std::to_string(i));
  return out;
}

/// Drawing noise: every vertex moved to anywhere within a circle of `size_m`, all places of it alike, 0.15 m rms to either
/// side for 0.3 m; a vertex that several lines share moves as one.
airfield::Airfield shaken(airfield::Airfield field, unsigned seed, double size_m) {
  std::mt19937_64 random(seed);
  std::map<std::pair<double, double>, LatLon> moved;
  const auto share = [&] { return static_cast<double>(random() % 10000) / 10000.0; };
  const auto shake = [&](LatLon& at) {
    const auto [it, fresh] = moved.try_emplace({at.lat_deg(), at.lon_deg()}, at);
    if (fresh) {
      const double turn = 2.0 * std::numbers::pi * share();
      it->second = destination(at, Radians{turn}, Metres{size_m * std::sqrt(share())});
    }
    at = it->second;
  };
  for (auto& c : field.centrelines)
    for (auto& v : c.line) shake(v.at);
  for (auto& r : field.runways)
    for (auto& v : r.line) shake(v.at);
  for (auto& s : field.stands) shake(s.at);
  for (auto& h : field.holding_positions) shake(h.at.at);
  return field;
}

}  // namespace

TEST_CASE("LMML: every stand reaches every runway end and comes back") {
  const auto net = real_field("LMML");
  if (!net) return;
  Tally tally;
  ask_all(*net, stands_of(*net, 5), true, tally);
  CHECK(tally.asked >= 2 * 4 * 20);
  CHECK(tally.found == tally.asked);
  // The apron on the far side of 13/31 and the taxiways to its south-east end are joined to the rest over the runway alone.
  const Route far = route_of(*net, {"stand:9#305068249", "runway:31"});
  CHECK(says(far, "runway-along"));
  CHECK(uses_of(far) == "crossing 05/23, along 13/31, along 13/31, line-up 13/31");
  CHECK(uses_of(route_of(*net, {"stand:9#305068249", "runway:13"})) == "crossing 05/23, line-up 13/31");
  CHECK(uses_of(route_of(*net, {"stand:9#305068249", "runway:23"})) == "line-up 05/23");
  CHECK(uses_of(route_of(*net, {"stand:9#305068249", "runway:05"})) == "line-up 05/23");
  CHECK_THROWS_AS(route_of(*net, {"stand:9", "runway:13"}), Error);  // four stands of this name
}

TEST_CASE("LMML: each objective is the least at its own") {
  const auto net = real_field("LMML");
  if (!net) return;
  for (const std::string& stand : stands_of(*net, 17)) {
    Route best[3];
    for (const auto o : {Objective::distance, Objective::time, Objective::fuel}) {
      best[static_cast<int>(o)] = route_of(*net, {.from = stand, .to = "runway:13", .objective = o});
      check_route(*net, best[static_cast<int>(o)]);
    }
    for (const Route& r : best) {
      CHECK(best[0].length_m <= r.length_m + 0.1);
      CHECK(best[1].time_s <= r.time_s + 0.1);
      CHECK(best[2].fuel_kg <= r.fuel_kg + 1e-4);
    }
  }
}

TEST_CASE("fields without stands: nodes reach runways and come back, or the reason is told") {
  for (const char* name : {"EGNS", "KCMH", "RPLP", "EDXH"}) {
    const auto net = real_field(name);
    if (!net) return;
    INFO(name);
    Tally tally;
    ask_all(*net, nodes_of(*net, 2), true, tally);
    CHECK(tally.found > tally.asked / 2);
    for (const auto& [reason, n] : tally.reasons) UNSCOPED_INFO(n << " × " << reason);
    CHECK(tally.found + [&] {
      int told = 0;
      for (const auto& [reason, n] : tally.reasons) told += n;
      return told;
    }() == tally.asked);
  }
}

TEST_CASE("RPLP: the runway is part of the way, with a turn of 180 degrees at its end, and told") {
  const auto net = real_field("RPLP");
  if (!net) return;
  int along = 0, round = 0;
  for (const std::string& node : nodes_of(*net, 1)) {
    if (resolve(*net, parse_place(node)).node == resolve(*net, parse_place("runway:24")).node) continue;
    const auto found = ask_route(*net, {node, "runway:24"});
    if (!std::holds_alternative<Route>(found)) continue;
    const Route& route = std::get<Route>(found);
    check_route(*net, route);
    along += says(route, "runway-along");
    round += says(route, "runway-turn-round");
  }
  CHECK(along > 10);
  CHECK(round > 10);
}

TEST_CASE("0.3 m of drawing noise changes a route's fuel by under 2 %") {
  // The cheapest route before and after, of 800 m and more. Where neither the entry to the runway nor the start differs, each
  // of these drawn cases stays under; of thirty drawings of each field 8 of 5,580 did not, and by 2.5 % at most.
  constexpr double kOrdinary_m = 800.0, kAim = 0.02;
  struct Expected {
    const char* field;
    std::size_t every;  // of its stands or nodes
    double median;      // change of fuel as a share
  };
  for (const Expected& e : {Expected{"LMML", 9, 0.005}, {"KCMH", 9, 0.001}, {"EGNS", 1, 0.005}, {"RPLP", 2, 0.003}}) {
    const auto file = shared_file("airports/" + std::string(e.field) + "/aeroway.osm");
    if (!file) return;
    INFO(e.field);
    const auto drawn = airfield::interpret(io::read_map(*file));
    const auto net = network::build_network(drawn);
    std::vector<std::string> places = stands_of(net, e.every);
    if (places.empty()) {  // nodes off the runways, by position: noise may number them anew
      std::vector<char> on_runway(net.nodes.size(), 0);
      for (const auto& s : net.segments)
        if (s.kind == network::LineKind::runway) on_runway[index(s.from)] = on_runway[index(s.to)] = 1;
      for (std::size_t i = 0; i < net.nodes.size(); i += e.every) {
        const LatLon at = net.nodes[i].at;
        if (!on_runway[i]) places.push_back(std::to_string(at.lat_deg()) + "," + std::to_string(at.lon_deg()));
      }
    }
    std::vector<double> changes;
    int lost = 0;
    for (unsigned seed = 1; seed <= 3; ++seed) {
      const auto noisy = network::build_network(shaken(drawn, seed, 0.3));
      for (const std::string& place : places)
        for (const auto& runway : net.runways)
          for (const std::string& end : runway.designators) {
            const Ask ask{.from = place, .to = "runway:" + end, .objective = Objective::fuel};
            const auto before = ask_route(net, ask), after = ask_route(noisy, ask);
            const auto* was = std::get_if<Route>(&before);
            const auto* is = std::get_if<Route>(&after);
            if (was == nullptr || was->length_m < kOrdinary_m) continue;
            if (is == nullptr)
              ++lost;
            else
              changes.push_back(std::abs(is->fuel_kg / was->fuel_kg - 1.0));
          }
    }
    REQUIRE(changes.size() >= (places.size() > 10 ? 50 : 9));
    std::sort(changes.begin(), changes.end());
    INFO(changes.size() << " pairs, " << lost << " lost: median " << changes[changes.size() / 2] << ", most "
                        << changes.back());
    CHECK(lost == 0);
    CHECK(changes[changes.size() / 2] < e.median);
    CHECK(changes.back() < kAim);
  }
}
