#include "solotaxi/routing/clearance.hpp"

#include <catch2/catch.hpp>

#include "solotaxi/base/error.hpp"
#include "unit/routing/drawn.hpp"

using namespace solotaxi;
using namespace solotaxi::routing;

namespace {

const Vocabulary& words() {
  static const Vocabulary vocabulary{.taxiways = {"1", "A", "A1", "B", "B3", "C", "Foxtrot", "F", "L-2", "Link Cross",
                                                  "O Inner", "Taxiway Zulu", "X", "Ж"},
                                     .runways = {"08", "18", "26R", "36"},
                                     .holds = {"A1", "A2", "C1"},
                                     .stands = {"12", "3", "A1", "Remote 4"}};
  return vocabulary;
}

std::string read(const std::string& text) { return to_text(read_clearance(text, words())); }

Error fault(const std::string& text, const Vocabulary& vocabulary = words()) {
  try {
    (void)read_clearance(text, vocabulary);
  } catch (const Error& e) {
    return e;
  }
  FAIL("no error for \"" << text << "\"");
  throw std::logic_error("unreachable");
}

}  // namespace

TEST_CASE("a clearance says where to, over what, where to stop and what to cross, in any order") {
  struct Case {
    const char* text;
    const char* plain;
  };
  const std::vector<Case> cases{
      {"taxi to holding point A1 runway 26R via B, C, hold short of runway 18",
       "taxi to holding point A1 runway 26R via B, C, hold short of runway 18"},
      {"Via B C taxi to HOLDING POSITION a1", "taxi to holding point A1 via B, C"},
      {"runway 26 right, taxi via B and then C; cross runway 18", "taxi to runway 26R via B, C, cross runway 18"},
      {"B C runway 08", "taxi to runway 08 via B, C"},
      {"runway 8 B C", "taxi to runway 08 via B, C"},
      {"taxi to stand 12 via B C", "taxi to stand 12 via B, C"},
      {"gate one two, please, via bravo", "taxi to stand 12 via B"},
      {"taxi parking stand remote four via C", "taxi to stand Remote 4 via C"},
      {"stand 3#way/77 via C", "taxi to stand 3#way/77 via C"},
      {"stand #77 via C", "taxi to stand #77 via C"},
      {"holding point runway 18 via C", "taxi to holding point runway 18 via C"},
      {"runway 18 via C holding point C1", "taxi to holding point C1 runway 18 via C"},
      {"taxi to A2 via B", "taxi to holding point A2 via B"},
      {"taxi via Bravo Three, Charlie to runway zero eight", "taxi to runway 08 via B3, C"},
      {"runway two six right via B", "taxi to runway 26R via B"},
      {"runway 26R intersection C via B", "taxi to runway 26R intersection C via B"},
      {"runway 26R at C, taxi via B", "taxi to runway 26R intersection C via B"},
      {"runway 08 via B, line up and wait", "taxi to runway 08 via B, line up"},
      {"continue on B, backtrack runway 18, runway 36", "taxi to runway 36 via B, backtrack runway 18"},
      {"backtrack, then via C to runway 36", "taxi to runway 36 via C, backtrack"},
      {"to stand 12 via B, runway 18, C", "taxi to stand 12 via B, along runway 18, C"},
      {"to stand 12, along runway 18", "taxi to stand 12 via along runway 18"},
      {"via B, C, runway 18", "taxi to runway 18 via B, C"},
      {"via B left at C, then turn right onto X to runway 18", "taxi to runway 18 via B, left at C, right at X"},
      {"via B hold short of C to stand 3", "taxi to stand 3 via B, hold short of C"},
      {"via B hold short of holding point C1 to stand 3", "taxi to stand 3 via B, hold short of holding point C1"},
      {"via B hold short of C1 to stand 3", "taxi to stand 3 via B, hold short of holding point C1"},
      {"via B hold short 18 to stand 3", "taxi to stand 3 via B, hold short of runway 18"},
      {"via B, hold short of runway 18", "taxi via B, hold short of runway 18"},
      {"via B, holding short of runway 18, cross runway 08", "taxi via B, hold short of runway 18, cross runway 08"},
      {"cross runway 18/36, via B to stand 3", "taxi to stand 3 via B, cross runway 18"},
      {"via foxtrot to stand 3", "taxi to stand 3 via F"},
      {"via Zulu and x-ray to stand 3", "taxi to stand 3 via Taxiway Zulu, X"},
      {"via lima two to stand 3", "taxi to stand 3 via L-2"},
      {"via oscar inner to stand 3", "taxi to stand 3 via O Inner"},
      {"via link cross, C to stand 3", "taxi to stand 3 via Link Cross, C"},
      {"via ж to stand 3", ""},  // only ASCII letters have no case
      {"via Ж to stand 3", "taxi to stand 3 via Ж"},
      {"via B", "taxi via B"},
  };
  for (const Case& c : cases) {
    INFO(c.text);
    if (std::string(c.plain).empty()) {
      CHECK_THROWS_AS(read(c.text), Error);
      continue;
    }
    CHECK(read(c.text) == c.plain);
    CHECK(read(c.plain) == c.plain);
  }
}

TEST_CASE("of readings that all exist the one with the fewest names is taken, and that is said; a comma parts") {
  const Clearance joined = read_clearance("via A 1 to stand 3", words());
  REQUIRE(joined.items.size() == 1);
  CHECK(joined.items[0].at.name == "A1");
  REQUIRE(joined.notes.size() == 1);
  CHECK(joined.notes[0] == "\"A 1\" is read as A1; commas would part it otherwise");
  const Clearance parted = read_clearance("via A, 1 to stand 3", words());
  REQUIRE(parted.items.size() == 2);
  CHECK(parted.notes.empty());
  const Clearance only = read_clearance("via B 3 to stand 3", words());  // there is no taxiway 3
  REQUIRE(only.items.size() == 1);
  CHECK(only.items[0].at.name == "B3");
  CHECK(only.notes.empty());
  const Vocabulary twice{.taxiways = {"A", "A1", "12", "2"}, .runways = {}, .holds = {}, .stands = {}};
  CHECK(fault("via A 1 2", twice).message() == "\"A 1 2\" may be read in two ways");
}

TEST_CASE("names of one reading are one designator") {
  const Clearance c = read_clearance("via foxtrot", words());
  REQUIRE(c.items.size() == 1);
  CHECK(c.items[0].at.spellings == std::vector<std::string>{"Foxtrot", "F"});
}

TEST_CASE("every part knows its words in the text") {
  const std::string text =
      "Taxi to holding point A1, runway 26 right, via  Bravo Three, left at C; hold short of runway 18.";
  const Clearance c = read_clearance(text, words());
  REQUIRE(c.items.size() == 2);
  CHECK(c.quoted(c.items[0].span) == "Bravo Three");
  CHECK(c.quoted(c.items[1].span) == "left at C");
  REQUIRE(c.bindings.size() == 1);
  CHECK(c.quoted(c.bindings[0].span) == "hold short of runway 18");
  CHECK(c.quoted(c.end.span) == "holding point A1");
  CHECK(c.end.runway == "26R");
}

TEST_CASE("what cannot be read is told with the words it stumbled over") {
  struct Case {
    const char* text;
    ErrorClass error_class;
    const char* message;
  };
  using enum ErrorClass;
  const std::vector<Case> cases{
      {"", usage, "the clearance is empty"},
      {" , . ", usage, "the clearance is empty"},
      {"via B, banana to stand 3", usage, "\"banana\" is neither a word of a clearance nor a name of this field"},
      {"via Q9 to stand 3", data, "this field has no taxiway \"Q9\""},
      {"via B Q to stand 3", data, "this field has no taxiway \"Q\""},
      {"via A2 to stand 3", data, "\"A2\" is a holding point of this field, not a taxiway"},
      {"to stand 99", data, "this field has no stand \"99\""},
      {"to runway 27 via B", data, "this field has no runway \"27\""},
      {"to runway via B", usage, "no runway is named behind \"runway\""},
      {"cross B to stand 3", data, "this field has no runway \"B\""},
      {"to holding point Q1 via B", data, "this field has no holding point \"Q1\""},
      {"to holding point, via B", usage, "no holding point is named behind \"holding point\""},
      {"to runway 08 via B runway 18 to runway 36", usage, "two ends: \"runway 08\" and \"runway 36\""},
      {"to stand 12, stand 3", usage, "two ends: \"stand 12\" and \"stand 3\""},
      {"to stand 12, runway 18", usage, "two ends: \"stand 12\" and \"runway 18\""},
      {"holding point A1, holding point C1", usage, "two ends: \"holding point A1\" and \"holding point C1\""},
      {"hold via B", usage, "\"hold\" does not say where"},
      {"hold short of", usage, "no taxiway is named behind \"hold short of\""},
      {"left via B", usage, ""},
      {"via B, left", usage, "no taxiway is named behind \"left\""},
      {"short B", usage, "\"short\" says nothing here"},
      {"via B#7", usage, "\"B#7\" picks one of several by an id"},
      {"via B, hold short of holding point C1#7 to stand 3", usage, "\"C1#7\" picks one of several by an id"},
      {"via B to runway 18#7", usage, "\"18#7\" picks one of several by an id"},
      {"backtrack runway 18, backtrack runway 08", usage, "two runways to backtrack: 18 and 08"},
      {"via B stand", usage, "no stand is named behind \"stand\""},
  };
  for (const Case& c : cases) {
    INFO(c.text);
    if (std::string(c.message).empty()) {
      CHECK(read(c.text) == "taxi via left at B");  // "left via B" turns onto it
      continue;
    }
    const Error e = fault(c.text);
    CHECK(e.message() == c.message);
    CHECK(e.error_class() == c.error_class);
    CHECK(!e.hint().empty());
  }
  CHECK(fault("via Q9 to stand 3").hint() == "nearest spellings: 1, A, A1, B, B3");
}

TEST_CASE("a clearance has limits") {
  CHECK(fault(std::string(kClearanceLength + 1, 'a')).message() == "the clearance is 2001 characters long");
  std::string many = "via B";
  for (std::size_t i = 0; i < kClearanceItems; ++i) many += i % 2 ? ", B" : ", C";
  CHECK(fault(many).message() == "the clearance names 61 parts of the way");
  std::string crossings = "via B";
  for (std::size_t i = 0; i <= kClearanceBindings; ++i) crossings += ", cross runway 18";
  CHECK(fault(crossings).message() == "the clearance names 9 places to hold short of and runways to cross");
}

TEST_CASE("a field's words are its taxiways, runway ends, holding positions and stands") {
  const auto field = test::two_ways({.metres = 25.0}, {"taxiway A;Q: m@0,50 m@50,50"});
  const Vocabulary v = make_vocabulary(field.net);
  CHECK(v.taxiways == std::vector<std::string>{"A", "B", "C", "D", "E", "Q"});
  CHECK(v.runways == std::vector<std::string>{"09", "27"});
  CHECK(v.stands == std::vector<std::string>{"1", "2"});
  for (const char* hold : {"B1", "C1", "D1"}) CHECK(std::find(v.holds.begin(), v.holds.end(), hold) != v.holds.end());
}
