// Routes over real fields: every question has an answer that holds together, or a reason.
#include <catch2/catch.hpp>
#include <iostream>
#include <map>

#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/network/build.hpp"
#include "support/shared.hpp"
#include "unit/routing/route_check.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;

namespace {

std::optional<network::Network> field(const std::string& name) {
  const auto file = shared_file("airports/" + name + "/aeroway.osm");
  if (!file) return std::nullopt;
  return network::build_network(airfield::interpret(io::read_map(*file)));
}

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

}  // namespace

TEST_CASE("LMML: every stand reaches every runway end and comes back") {
  const auto net = field("LMML");
  if (!net) return;
  Tally tally;
  ask_all(*net, stands_of(*net, 7), true, tally);
  CAPTURE(tally.asked, tally.found);
  for (const auto& [reason, n] : tally.reasons) std::cout << n << " × " << reason << "\n";
  CHECK(tally.found == tally.asked);
}

TEST_CASE("fields without stands: nodes reach runways or the reason is told") {
  for (const char* name : {"EGNS", "KCMH", "RPLP", "EDXH"}) {
    const auto net = field(name);
    if (!net) return;
    INFO(name);
    Tally tally;
    ask_all(*net, nodes_of(*net, 9), true, tally);
    std::cout << name << " " << tally.found << " of " << tally.asked << "\n";
    for (const auto& [reason, n] : tally.reasons) std::cout << "  " << n << " × " << reason << "\n";
  }
}
