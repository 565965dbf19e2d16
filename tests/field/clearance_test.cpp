// Clearances on whole fields: what becomes of them, and the way from words for a route back to it.
#include <algorithm>
#include <catch2/catch.hpp>

#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/io/map_file.hpp"
#include "solotaxi/io/raster.hpp"
#include "solotaxi/network/build.hpp"
#include "field/fields.hpp"
#include "support/shared.hpp"
#include "unit/routing/assigned_check.hpp"
#include "unit/routing/route_check.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using namespace solotaxi::test;

namespace {

struct Tally {
  int asked = 0, exact = 0;
};

/// Routes from every so many places to every runway end and back, put into words, read and matched.
Tally round_trip(const network::Network& net, const std::vector<std::string>& places) {
  motion::Conditions conditions;
  conditions.unknown_grade_sigmas = 0.0;  // ground without heights is taken as level
  Tally tally;
  for (const auto& runway : net.runways)
    for (const std::string& end : runway.designators)
      for (const std::string& place : places)
        for (const bool back : {false, true}) {
          if (resolve(net, parse_place(place)).node == resolve(net, parse_place("runway:" + end)).node) continue;
          Ask ask{place, "runway:" + end};
          if (back) ask = {"runway:" + end, place};
          if (back) ask.direction = Direction::arrival;
          const auto answer = ask_route(net, ask, conditions);
          const auto* route = std::get_if<Route>(&answer);
          if (route == nullptr) continue;
          AssignedRequest request;
          request.from = parse_place(ask.from);
          const ClearanceWords words = clearance_words(net, {}, conditions, *route, request);
          ++tally.asked;
          tally.exact += words.exact;
          INFO(ask.from << " to " << ask.to << ": " << words.text << ": " << words.why_not);
          CHECK(words.exact);
          CHECK(words.exact == words.why_not.empty());
          // Matched apart from the words' own trial of them.
          request.to = parse_place(ask.to);
          request.direction = route->direction;
          const auto way = assigned_way(net, {}, conditions, read_clearance(words.text, make_vocabulary(net)), request);
          REQUIRE(std::holds_alternative<AssignedWay>(way));
          CHECK(std::get<AssignedWay>(way).arcs == route->arcs);
          CHECK(std::get<AssignedWay>(way).length_m == Approx(route->length_m).margin(1e-6));
        }
  return tally;
}

std::vector<std::string> stands_of(const network::Network& net, std::size_t every) {
  std::vector<std::string> out;
  for (std::size_t i = 0; i < net.stands.size(); i += every)
    out.push_back("stand:" + net.stands[i].ref + "#" + net.stands[i].id);
  return out;
}

}  // namespace

TEST_CASE("the demo field: clearances and what becomes of them") {
  const auto net = demo_field();
  check_table(
      net,
      {
          {"stand:3", "taxi to holding point A9 runway 27 via K, A", "M K A A9, 1416 m to hold:A9"},
          {"stand:3", "Taxi to holding point Alfa niner, runway two seven, via Kilo and Alfa.",
           "M K A A9, 1416 m to hold:A9"},
          {"stand:3", "taxi to holding point A1 runway 09 via E, A", "M E A A1, 2605 m to hold:A1"},
          {"stand:3", "taxi to holding point runway 09 via E, A, A1", "M E A A1, 2605 m to hold:A1"},
          {"stand:3", "taxi to runway 09 via E A A1", "M E A A1, 2695 m to runway:09"},
          {"stand:3", "taxi to runway 09 via E, A, A2", "M E A A2, 2458 m to runway:09@A2"},
          {"stand:3", "taxi to runway 09 via K, A, C", "M K A C, 1830 m to runway:09@C"},
          {"stand:3", "taxi to runway 09 via K, A, C, backtrack", "M K A C rwy 09/27, 3371 m to runway:09"},
          {"stand:3", "taxi to runway 27 intersection A8 via K, A, A8", "M K A A8, 1270 m to runway:27@A8"},
          {"stand:24", "taxi via Q E A to holding point C1", "N Q E A C, 1408 m to hold:C1"},
          {"stand:24", "taxi via G, cross runway 14, J to runway 14", "N G J, 2938 m to runway:14"},
          {"stand:W1", "taxi to stand 3 via H, G, cross runway 32", "stand W H G Q M stand, 2523 m to stand:3"},
          {"stand:W1", "taxi to stand 3 via H, A, E, hold short of C", "stand W H A E M stand, 2758 m to stand:3"},
          {"stand:W1", "taxi to runway 32 via H, A, P, line up", "W H A P, 2117 m to runway:32"},
          {"stand:W1", "taxi to holding point P1 runway 32 via H, A", "W H A P, 2027 m to hold:P1"},
          {"runway:27", "vacate via A2, taxi to stand 12 via A, E", "A2 A E M stand, 3208 m to stand:12"},
          {"runway:09", "taxi to stand 1 via A8, A, K", "A8 A K M stand, 1430 m to stand:1"},
          {"runway:09", "taxi to stand W2 via B, A, H",
           "[H] A and H meet, but not where, or not in the direction, the way comes along; try: taxi to stand W2 via C, A, "
           "H"},
          {"stand:1", "taxi to stand W3 via G", "[stand W3] G does not lead to stand W3; try: taxi to stand W3 via G, H"},
          {"stand:1", "runway 09, taxi via E A A1, hold short of runway 09", "M E A A1, 2445 m to hold:A1"},
          // What cannot be followed.
          {"stand:3", "taxi to holding point A9 via A",
           "[A] stand 3 does not meet A; try: taxi to holding point A9 via K, A"},
          {"stand:3", "taxi to runway 27 via K, A",
           "[runway 27] A does not lead to runway 27; try: taxi to runway 27 via K, A, A9"},
          {"stand:3",
           "taxi to holding point A9 runway 27 via K, A",
           "[K] K is closed, as asked; try: taxi to holding point A9 runway 27 via E, A",
           {"K"}},
          {"runway:27", "taxi to stand 12 via D, A, E",
           "[E] A and E meet, but not where, or not in the direction, the way comes along; try: taxi to stand 12 via C, A, "
           "E"},
          {"runway:27", "taxi to stand 12 via A2, B, E", "[B] A2 does not meet B; try: taxi to stand 12 via A2, A, E"},
          {"runway:27", "taxi to stand 12 via A8, A, K",
           "[A8] runway 27 is not left onto A8 at least 1200 m past the threshold; try: taxi to stand 12 via A8, A, K, "
           "backtrack"},
          {"stand:W1", "taxi to runway 27 via G, A", "[G] stand W1 does not meet G; try: taxi to runway 27 via H, A, A9"},
          {"stand:W1", "taxi to stand 3 via H, A, E, cross runway 14",
           "[cross runway 14] the way does not come by runway 14; try: taxi to stand 3 via H, A, E"},
          {"stand:3", "taxi to holding point A9 via F, A9",
           "[A9] F and A9 meet, but not where, or not in the direction, the way comes along; try: taxi to holding point A9 "
           "via K, A, A9"},
          {"stand:3", "taxi to stand 12 via K, A, K",
           "[K] A and K meet, but not where, or not in the direction, the way comes along; try: taxi to stand 12 via K, A, "
           "F"},
          {"stand:3", "taxi to holding point A9 via K, A, T", "error: this field has no taxiway \"T\""},
          {"stand:3", "taxi to stand 99 via M", "error: this field has no stand \"99\""},
      });
}

TEST_CASE("EGNS: clearances and what becomes of them") {
  const auto net = real_field("EGNS");
  if (!net) return;
  check_table(
      *net, {
                {"stand:ATP", "taxi to holding point A1 runway 26 via E, F, A", "- E F A, 1691 m to hold:A1"},
                {"stand:ATP", "taxi to holding point A1 runway 26 via E, Foxtrot, A, cross runway 03",
                 "- E F A, 1691 m to hold:A1"},
                {"stand:ATP", "holding point A2, via Echo Foxtrot Alpha", "- E F A, 1161 m to hold:A2"},
                {"stand:ATP", "holding point C1 via E, F, A, C",
                 "[holding point C1] C does not lead to holding point C1; try: taxi to holding point C1 via E, F, C"},
                {"stand:ATP", "holding point B1 runway 08 via E, B", "- E - B, 706 m to hold:B1"},
                {"stand:ATP", "runway 26 via E, F, A, line up", "- E F A, 2178 m to runway:26"},
                {"stand:ATP", "runway 21 via E, line up", "- E, 473 m to runway:21"},
                {"stand:ATP", "runway 03 via E, B, G, line up",
                 "[runway 03] G does not lead to runway 03; try: taxi to runway 03 via E, B, line up"},
                {"runway:26", "taxi to stand ATP via B, E", "B - E -, 813 m to stand:ATP"},
                {"runway:08", "taxi to stand ATP via A, F, E", "A F E -, 2178 m to stand:ATP"},
                // What cannot be followed.
                {"stand:ATP", "holding point A1 runway 26 via A",
                 "[A] stand ATP does not meet A; try: taxi to holding point A1 runway 26 via E, A"},
                {"stand:ATP", "holding point A1 runway 26 via E, K",
                 "[holding point A1] K does not lead to holding point A1; try: taxi to holding point A1 runway 26 via E"},
                {"stand:ATP",
                 "holding point A1 runway 26 via E, F, A",
                 "[F] F is closed, as asked; try: taxi to holding point A1 runway 26 via E, A",
                 {"F"}},
                {"stand:ATP", "via A1", "error: \"A1\" is a holding point of this field, not a taxiway"},
                {"runway:08", "taxi to stand ATP via B, E",
                 "[B] runway 08 is not left onto B at least 1200 m past the threshold; try: taxi to stand ATP via A, B, E"},
            });
}

TEST_CASE("LMML: clearances over a field with few names and no named holding positions") {
  const auto net = real_field("LMML");
  if (!net) return;
  check_table(*net, {
                        {"stand:20", "holding point F runway 31 via T", "T F, 691 m to hold:#assumed/24"},
                        {"stand:20", "runway 31 via T, F, backtrack", "T F - rwy 13/31, 3375 m to runway:31"},
                        {"stand:20", "runway 13 via T, V, oscar inner",
                         "[oscar inner] V does not meet O Inner; try: taxi to runway 13 via T, F, backtrack"},
                        {"runway:31", "taxi to stand 20 via F, T", "- F T stand, 834 m to stand:20"},
                        {"stand:20", "runway 31 via V, T, F",
                         "[V] stand 20 does not meet V; try: taxi to runway 31 via T, F, backtrack"},
                    });
}

TEST_CASE("the demo field: words for every route lead back to it") {
  const auto net = demo_field();
  const Tally tally = round_trip(net, stands_of(net, 3));
  CHECK(tally.asked == 120);
  CHECK(tally.exact == tally.asked);
}

TEST_CASE("EGNS and LMML: words for routes lead back to them") {
  const auto egns = real_field("EGNS"), lmml = real_field("LMML");
  if (!egns || !lmml) return;
  std::vector<std::string> nodes;
  for (std::size_t i = 0; i < egns->nodes.size(); i += 3) nodes.push_back("node:" + std::to_string(i));
  const Tally e = round_trip(*egns, nodes);
  CHECK(e.asked > 350);
  CHECK(e.exact == e.asked);
  const Tally l = round_trip(*lmml, stands_of(*lmml, 2));
  CHECK(l.asked > 350);
  CHECK(l.exact == l.asked);
}
