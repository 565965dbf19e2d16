#include "solotaxi/routing/place.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "routing/spelling.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/network/build.hpp"
#include "support/ascii_map.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;
using test::AsciiMap;

namespace {

/// The hint of the Error a resolution throws; fails where it throws none.
Error error_of(const network::Network& net, const std::string& place) {
  try {
    (void)resolve(net, parse_place(place));
  } catch (const Error& e) {
    return e;
  }
  throw std::logic_error("no error for " + place);
}

bool says(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

const AsciiMap& field() {
  static const AsciiMap map(
      R"(
        s   t   u
        |   |   |
    a---b---c---d---e
    |           |   |
    h           |   i
    |           |   |
    p-----------q---r
    )",
      {"taxiway A: a b c d e", "taxiway A1: a h p", "taxiway B: d q", "taxiway A2: e i r", "stand 3: b s; id=way/7",
       "stand 3: c t; id=way/8", "stand 12: d u; id=way/9", "runway 08L/26R: p q r", "hold A1: h", "hold A2: i"});
  return map;
}
const network::Network& net() {
  static const auto built = network::build_network(field().field());
  return built;
}

}  // namespace

TEST_CASE("places are read in all their forms") {
  using Kind = Place::Kind;
  struct Row {
    const char* text;
    Kind kind;
    const char *name, *at, *id;
  };
  for (const Row& row :
       {Row{"stand:12", Kind::stand, "12", "", ""}, Row{"stand:3#551504298", Kind::stand, "3", "", "551504298"},
        Row{"stand:#way/7", Kind::stand, "", "", "way/7"}, Row{" STAND: 12A ", Kind::stand, "12A", "", ""},
        Row{"runway:08L", Kind::runway, "08L", "", ""}, Row{"runway:08L@A2", Kind::runway, "08L", "A2", ""},
        Row{"runway:8@A2#7", Kind::runway, "8", "A2", "7"}, Row{"runway:8#7@A2", Kind::runway, "8", "A2", "7"},
        Row{"runway:08L@node:57", Kind::runway, "08L", "node:57", ""}, Row{"hold:A1", Kind::hold, "A1", "", ""},
        Row{"hold:Ä 1", Kind::hold, "Ä 1", "", ""}, Row{"node:57", Kind::node, "57", "", ""}}) {
    INFO(row.text);
    const Place p = parse_place(row.text);
    CHECK(p.kind == row.kind);
    CHECK(p.name == row.name);
    CHECK(p.at == row.at);
    CHECK(p.id == row.id);
  }
  CHECK(parse_place("node:57").node == 57);
  for (const char* text : {"35.8512,14.4771", " 35.8512 , +14.4771 "}) {
    const Place p = parse_place(text);
    REQUIRE(p.position);
    CHECK(p.position->lat_deg() == 35.8512);
    CHECK(p.position->lon_deg() == 14.4771);
  }
}

TEST_CASE("what is no place is refused with the forms a place may take") {
  for (const char* text :
       {"",      " ",      "12",      "stand:",           "stand:#", "runway:@A2", "runway:#7", "runway:08L@", "gate:4",
        "node:", "node:x", "node:-1", "node:99999999999", "91,0",    "0,181",      "nan,0",     "inf,0",       "1,2,3",
        "1;2",   ",",      "35.8"}) {
    INFO(text);
    try {
      (void)parse_place(text);
      FAIL("accepted");
    } catch (const Error& e) {
      CHECK(e.error_class() == ErrorClass::usage);
      CHECK(says(e.hint(), "stand:12"));
    }
  }
}

TEST_CASE("edit distance counts insertions, deletions, exchanges and swaps") {
  // Example words of the Levenshtein distance, common textbook values.
  CHECK(edit_distance("kitten", "sitting") == 3);
  CHECK(edit_distance("", "abc") == 3);
  CHECK(edit_distance("ab", "ba") == 1);
  CHECK(edit_distance("Ä1", "A1") == 1);  // one character, not two bytes
  CHECK(designator("8l") == "08L");
  CHECK(designator("08L") == "08L");
  CHECK(designator("36") == "36");
  CHECK(names_match("A;B", "b"));
  CHECK_FALSE(names_match("AB", "A"));
}

TEST_CASE("a name that several stands bear is an error that lists them with their ids") {
  const auto e = error_of(net(), "stand:3");
  CHECK(e.error_class() == ErrorClass::data);
  const auto first = e.hint().find("stand:3#7"), second = e.hint().find("stand:3#8");
  REQUIRE(first != std::string::npos);
  REQUIRE(second != std::string::npos);
  CHECK(first < second);
  CHECK(resolve(net(), parse_place("stand:3#8")).node == field().node(net(), 't'));
  CHECK(resolve(net(), parse_place("stand:#way/7")).node == field().node(net(), 's'));
}

TEST_CASE("an unknown name brings the nearest spellings") {
  CHECK(says(error_of(net(), "stand:21").hint(), "stand:12"));
  CHECK(says(error_of(net(), "runway:08R").hint(), "runway:08L"));
  CHECK(says(error_of(net(), "hold:A3").hint(), "hold:A1"));
  CHECK(says(error_of(net(), "stand:3#9").hint(), "stand:3#8"));
  const auto entry = error_of(net(), "runway:08L@C");
  CHECK(says(entry.hint(), "runway:08L@A1 at 0 m"));
  CHECK(says(entry.hint(), "runway:08L@B"));
  // Told from the end that was asked for.
  const auto length = std::to_string(std::lround(net().runways[0].length_m));
  CHECK(says(error_of(net(), "runway:26R@C").hint(), "runway:26R@A1 at " + length + " m"));
  CHECK(says(error_of(net(), "node:9999").hint(), std::to_string(net().nodes.size() - 1)));
}

TEST_CASE("an error names the place once") {
  for (const char* text : {"stand:3", "stand:21", "hold:Z9", "runway:17", "runway:08L@C", "node:9999", "-40.02,-120.0"}) {
    const std::string line = error_of(net(), text).one_line();
    INFO(line);
    CHECK(line.starts_with(std::string(text) + ": "));
    CHECK(line.substr(1, line.find(" (")).find(text) == std::string::npos);
  }
  CHECK(error_of(net(), "stand:3").message() == "may be any of 2");
}

TEST_CASE("a holding position without a name is found by its taxiway") {
  // Nothing is mapped before the runway: one is assumed on each way to it.
  const AsciiMap map(R"(
    a---b---c---e
    |   |   |   |
    |   |   |   |
    p---q---r---s
    |
    |
    d
    )",
                     {"taxiway A: a b c e", "taxiway A1: a p", "taxiway A1: p d", "taxiway B: b q", "taxiway C: c r",
                      "taxiway D: e s", "runway 09/27: p q r s", "hold D: c"},
                     {.metres = 50.0});
  const auto built = network::build_network(map.field());
  const auto b = resolve(built, parse_place("hold:b"));
  REQUIRE(b.hold >= 0);
  const auto& hold = built.holding_points[static_cast<std::size_t>(b.hold)];
  CHECK(hold.assumed);
  CHECK(built.node(b.node).xy.x_m == Approx(map.xy('b').x_m).margin(0.1));
  CHECK(resolve(built, parse_place("hold:B#" + hold.id)).node == b.node);
  // Two on A1, one on each side of the runway.
  const auto e = error_of(built, "hold:A1");
  CHECK(e.error_class() == ErrorClass::data);
  CHECK(e.message() == "may be any of 2");
  const auto first = e.hint().find("hold:A1#assumed/");
  REQUIRE(first != std::string::npos);
  const auto one = e.hint().substr(first, e.hint().find(' ', first) - first);
  CHECK(built.node(resolve(built, parse_place(one)).node).xy.x_m == Approx(map.xy('p').x_m).margin(0.1));
  // A name of its own goes before a taxiway's.
  CHECK(resolve(built, parse_place("hold:D")).node == map.node(built, 'c'));
  CHECK(says(error_of(built, "hold:A2").hint(), "hold:A1"));
}

TEST_CASE("runway ends are found in any spelling, with their nearest entry or the one written") {
  const char* spellings[] = {"runway:08L", "runway:8L", "runway:8l", "RUNWAY: 08l "};
  for (const char* text : spellings) {
    const auto r = resolve(net(), parse_place(text));
    CHECK(r.runway == 0);
    CHECK(r.end == 0);
    CHECK(r.node == field().node(net(), 'p'));
    CHECK_FALSE(r.entry);
  }
  const auto other = resolve(net(), parse_place("runway:26R"));
  CHECK(other.end == 1);
  CHECK(other.node == field().node(net(), 'r'));
  const auto at = resolve(net(), parse_place("runway:26R@b"));
  CHECK(at.node == field().node(net(), 'q'));
  REQUIRE(at.entry);
  const std::string by_node = "runway:26R@node:" + std::to_string(index(field().node(net(), 'q')));
  CHECK(resolve(net(), parse_place(by_node)).node == at.node);
}

TEST_CASE("a runway entry may be told by the holding position before it") {
  const AsciiMap map(R"(
    a---b---c
    |       |
    h       i
    |       |
    p---q---r
    )",
                     {"taxiway A: p h a b c i r", "runway 09/27: p q r", "hold H1: h", "hold H2: i"});
  const auto built = network::build_network(map.field());
  CHECK(resolve(built, parse_place("runway:09@H1")).node == map.node(built, 'p'));
  CHECK(resolve(built, parse_place("runway:09@h2")).node == map.node(built, 'r'));
  CHECK(says(error_of(built, "runway:09@H3").message(), "does not join"));
}

TEST_CASE("a taxiway that joins a runway twice must be told by its node") {
  const AsciiMap map(R"(
    a---b---c
    |       |
    p---q---r
    )",
                     {"taxiway A: p a b c r", "runway 09/27: p q r"});
  const auto built = network::build_network(map.field());
  const auto e = error_of(built, "runway:09@A");
  CHECK(says(e.message(), "2 points"));
  CHECK(says(e.hint(), "runway:09@node:" + std::to_string(index(map.node(built, 'r')))));
}

TEST_CASE("positions find the nearest point of the network within 60 m") {
  const auto beside = [&](char point, double east, double north) {
    const auto at = net().frame.to_geodetic(field().xy(point) + LocalXY{east, north});
    char text[64];
    std::snprintf(text, sizeof text, "%.9f,%.9f", at.lat_deg(), at.lon_deg());
    return parse_place(text);
  };
  const auto mid = resolve(net(), beside('a', 15.0, 20.0));  // between a and b, 40 m apart
  REQUIRE(mid.segment);
  CHECK(mid.off_m == Approx(20.0).margin(0.001));
  CHECK(net().segment(*mid.segment).name == "A");
  const double from_a = net().segment(*mid.segment).from == field().node(net(), 'a') ? mid.at_m : 40.0 - mid.at_m;
  CHECK(from_a == Approx(15.0).margin(0.001));
  CHECK(mid.node == field().node(net(), 'a'));
  const auto at_node = resolve(net(), beside('a', -3.0, 4.0));
  CHECK_FALSE(at_node.segment);
  CHECK(at_node.node == field().node(net(), 'a'));
  CHECK(at_node.off_m == Approx(5.0).margin(0.001));
  CHECK_NOTHROW(resolve(net(), beside('a', -59.9, 0.0)));
  CHECK_THROWS_AS(resolve(net(), beside('a', -60.1, 0.0)), Error);
}
