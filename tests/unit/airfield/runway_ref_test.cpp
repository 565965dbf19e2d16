#include "solotaxi/airfield/runway_ref.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>

using namespace solotaxi;
using namespace solotaxi::airfield;

namespace {
using Pair = std::array<std::string, 2>;
Pair ref(const char* text) {
  const auto parsed = parse_runway_ref(text);
  return parsed ? parsed->designators : Pair{"?", "?"};
}
}  // namespace

TEST_CASE("Runway designators are read in every odd form") {
  CHECK(ref("05/23") == Pair{"05", "23"});
  CHECK(ref("03-21") == Pair{"03", "21"});
  CHECK(ref("10 / 28") == Pair{"10", "28"});
  CHECK(ref("10R/28L") == Pair{"10R", "28L"});
  CHECK(ref("4r/22l") == Pair{"4R", "22L"});
  CHECK(ref("09\u201327") == Pair{"09", "27"});
  CHECK(ref("RWY 09/27") == Pair{"09", "27"});
  CHECK(ref("Runway 16C-34C") == Pair{"16C", "34C"});
  CHECK(ref("18") == Pair{"18", ""});
  CHECK(ref("09;27") == Pair{"09", "27"});
  CHECK(ref("11/62") == Pair{"11", ""});
  CHECK(parse_runway_ref("11/62")->partial);
}

TEST_CASE("Text that is no runway designator gives none") {
  for (const char* text : {"", " ", "North Runway", "A", "37/55", "0/0", "09/27/36", "109/127", "09LL/27RR", "/", "9Z"})
    CHECK_FALSE(parse_runway_ref(text));
}

TEST_CASE("Closed runways are known by X and by the word") {
  CHECK(parse_runway_ref("X/X")->closed);
  CHECK(parse_runway_ref("x")->closed);
  CHECK(parse_runway_ref("07/25 (closed)")->closed);
  CHECK(parse_runway_ref("07/25 (closed)")->designators == Pair{"07", "25"});
  CHECK_FALSE(parse_runway_ref("07/25")->closed);
}

TEST_CASE("The other end's designator is 18 away with the suffix mirrored") {
  CHECK(reciprocal_designator("08L") == "26R");
  CHECK(reciprocal_designator("26R") == "08L");
  CHECK(reciprocal_designator("36") == "18");
  CHECK(reciprocal_designator("16C") == "34C");
  CHECK(reciprocal_designator("4") == "22");
  CHECK(reciprocal_designator("A") == "");
  CHECK(same_designator("4R", "04r"));
  CHECK_FALSE(same_designator("4R", "4L"));
  CHECK_FALSE(same_designator("", ""));
}

TEST_CASE("Designators go to the end they name") {
  const auto as_drawn = orient(*parse_runway_ref("05/23"), Radians::degrees(48));
  CHECK(as_drawn.designators == Pair{"05", "23"});
  CHECK_FALSE(as_drawn.reversed);
  CHECK(as_drawn.mismatch.in_degrees() == Approx(2.0));
  const auto turned = orient(*parse_runway_ref("23/05"), Radians::degrees(48));
  CHECK(turned.designators == Pair{"05", "23"});
  CHECK(turned.reversed);
  const auto north = orient(*parse_runway_ref("36/18"), Radians::degrees(2));
  CHECK(north.designators == Pair{"36", "18"});
  CHECK(north.mismatch.in_degrees() == Approx(2.0));
  const auto single = orient(*parse_runway_ref("23"), Radians::degrees(48));
  CHECK(single.designators == Pair{"05", "23"});
  CHECK(single.completed);
  CHECK_FALSE(single.reversed);
  CHECK(orient(*parse_runway_ref("09/27"), Radians::degrees(45)).mismatch.in_degrees() == Approx(45.0));
}

TEST_CASE("No text makes the reading of designators crash") {
  const auto holds = [](const std::string& text) {
    const auto parsed = parse_runway_ref(text);
    if (!parsed) return;
    RC_ASSERT(parsed->closed || !parsed->designators[0].empty());
    for (const std::string& d : parsed->designators) RC_ASSERT(d.empty() || designator_number(d).has_value());
    const auto oriented = orient(*parsed, Radians::degrees(100));
    RC_ASSERT(oriented.mismatch.value() >= 0 && oriented.mismatch.in_degrees() <= 180.0001);
  };
  CHECK(rc::check("any bytes", [&](const std::string& text) { holds(text); }));
  CHECK(rc::check("texts of the right letters", [&] {
    holds(*rc::gen::container<std::string>(rc::gen::elementOf(std::string("0123LRCWX/- \xe2\x80\x93xr"))));
  }));
}

TEST_CASE("A valid pair is put right at any azimuth, whichever way it is written") {
  CHECK(rc::check([] {
    const int number = *rc::gen::inRange(1, 37);
    const std::string one = (number < 10 ? "0" : "") + std::to_string(number), other = reciprocal_designator(one);
    const bool swap = *rc::gen::arbitrary<bool>();
    const auto parsed = parse_runway_ref(swap ? other + "/" + one : one + "/" + other);
    RC_ASSERT((parsed && is_reciprocal(*parsed)));
    const int off = *rc::gen::inRange(-40, 41);
    const auto oriented = orient(*parsed, Radians::degrees(number * 10.0 + off));
    RC_ASSERT(oriented.designators[0] == one);
    RC_ASSERT(std::abs(oriented.mismatch.in_degrees() - std::abs(off)) < 1e-6);
  }));
}
