#include "solotaxi/airfield/tag_value.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>

using namespace solotaxi;
using namespace solotaxi::airfield;

namespace {
double length(const char* text) { return parse_length(text).value_or(Metres{NAN}).value(); }
double speed(const char* text) { return parse_speed(text).value_or(MetresPerSecond{NAN}).value(); }
}  // namespace

TEST_CASE("Lengths are read in the spellings of the map") {
  // Definitions: international foot 0.3048 m, inch 0.0254 m (1959 agreement), statute mile 1609.344 m.
  CHECK(length("45") == 45.0);
  CHECK(length("45.7") == 45.7);
  CHECK(length(" 45.7 m ") == 45.7);
  CHECK(length("45m") == 45.0);
  CHECK(length("150 ft") == Approx(45.72));
  CHECK(length("150ft") == Approx(45.72));
  CHECK(length("30'") == Approx(9.144));
  CHECK(length("30'6\"") == Approx(9.144 + 0.1524));
  CHECK(length("-3.5") == -3.5);
  CHECK(length("+12") == 12.0);
  CHECK(length("1.2 km") == Approx(1200.0));
  CHECK(length("297 FT") == Approx(90.5256));
}

TEST_CASE("Lengths that are not plain are refused") {
  for (const char* text :
       {"",     " ",   "m",   "45,7", "30-45", "30;45",   "wide",   "45 furlong", "nan",   "NaN",   "inf", "-inf",
        "0x2D", "1e5", "4 5", "--4",  "'",     "30'12\"", "30'x\"", "30'6",       "1e999", "45..7", "∞"})
    CHECK_FALSE(parse_length(text));
}

TEST_CASE("Speeds are kilometres an hour unless they say otherwise") {
  CHECK(speed("30") == Approx(30 / 3.6));
  CHECK(speed("30 km/h") == Approx(30 / 3.6));
  CHECK(speed("20 knots") == Approx(10.28888889));  // 1 kt = 1852 m/h by definition
  CHECK(speed("10 kt") == Approx(5.14444444));
  CHECK(speed("15 mph") == Approx(6.7056));
  CHECK(speed("5 m/s") == 5.0);
  for (const char* text : {"", "0", "-5", "walk", "none", "nan", "10 kt kt", "signals"}) CHECK_FALSE(parse_speed(text));
}

TEST_CASE("Layers are small whole numbers") {
  CHECK(parse_layer("1") == 1);
  CHECK(parse_layer("-2") == -2);
  CHECK(parse_layer("1.0") == 1);
  for (const char* text : {"", "1.5", "1;2", "99", "top", "nan"}) CHECK_FALSE(parse_layer(text));
}

TEST_CASE("One-way values give the direction or nothing") {
  CHECK(parse_one_way("yes") == OneWay::forward);
  CHECK(parse_one_way("1") == OneWay::forward);
  CHECK(parse_one_way("-1") == OneWay::backward);
  CHECK(parse_one_way("reverse") == OneWay::backward);
  CHECK(parse_one_way("no") == OneWay::no);
  CHECK(parse_one_way("") == OneWay::no);
  CHECK_FALSE(parse_one_way("alternating"));
  CHECK_FALSE(parse_one_way("reversible"));
}

TEST_CASE("A tag is set by any value but a denial") {
  for (const char* text : {"yes", "viaduct", "building_passage", "1"}) CHECK(is_set(text));
  for (const char* text : {"", "no", "No", "false", "0"}) CHECK_FALSE(is_set(text));
}

TEST_CASE("No text makes the value parsers crash or give a number that is none") {
  CHECK(rc::check("any bytes", [](const std::string& text) {
    if (const auto v = parse_length(text)) RC_ASSERT(std::isfinite(v->value()));
    if (const auto v = parse_number(text)) RC_ASSERT(std::isfinite(*v));
    if (const auto v = parse_speed(text)) RC_ASSERT(std::isfinite(v->value()) && v->value() > 0);
    if (const auto v = parse_layer(text)) RC_ASSERT(std::abs(*v) <= 10);
    (void)parse_one_way(text);
  }));
  CHECK(rc::check("texts of the right letters", [] {
    const auto text = *rc::gen::container<std::string>(rc::gen::elementOf(std::string("0123456789.-+ 'e\"ftmkhinNaI/")));
    if (const auto v = parse_length(text)) RC_ASSERT(std::isfinite(v->value()));
    if (const auto v = parse_speed(text)) RC_ASSERT(std::isfinite(v->value()) && v->value() > 0);
  }));
  CHECK_FALSE(parse_length(std::string(5000, '9')));
}

TEST_CASE("A printed length reads back as itself") {
  CHECK(rc::check([](int centimetres) {
    const double metres = centimetres / 100.0;
    const auto back = parse_length(std::to_string(metres) + " m");
    RC_ASSERT(back.has_value());
    RC_ASSERT(std::abs(back->value() - metres) < 1e-6);
  }));
}
