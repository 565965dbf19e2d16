#include "solotaxi/aircraft/aircraft.hpp"

#include <catch2/catch.hpp>
#include <limits>
#include <set>

#include "solotaxi/aircraft/keys.hpp"
#include "solotaxi/base/error.hpp"

using namespace solotaxi;
using namespace solotaxi::aircraft;

namespace {
Aircraft with_arms(std::vector<double> arms) {
  Aircraft a;
  a.engine_arms_m = std::move(arms);
  return a;
}
const Aircraft kTwin;
const Aircraft kThree = with_arms({-5, 0, 5});
const Aircraft kFour = with_arms({-20, -11, 11, 20});

std::string faulty_key(const Aircraft& a) {
  try {
    check_ranges(a);
  } catch (const Error& e) {
    CHECK(e.error_class() == ErrorClass::data);
    return e.where().feature;
  }
  return "";
}
std::vector<std::string> tried(const Aircraft& a) {
  std::vector<std::string> names;
  for (const RunningSet set : sets_to_try(a)) names.push_back(to_string(a, set));
  return names;
}
}  // namespace

TEST_CASE("running sets are read as words for twins and as engine numbers for all") {
  CHECK(parse_running_set(kTwin, "all") == RunningSet{3});
  CHECK(parse_running_set(kTwin, "left") == RunningSet{1});
  CHECK(parse_running_set(kTwin, "right") == RunningSet{2});
  CHECK(parse_running_set(kTwin, "1,2") == all_engines(kTwin));
  CHECK(parse_running_set(kFour, "1,4") == RunningSet{9});
  CHECK(parse_running_set(kFour, "4,1") == RunningSet{9});
  CHECK(parse_running_set(kThree, "2") == RunningSet{2});
}

TEST_CASE("left and right are refused for more than two engines") {
  for (const char* side : {"left", "right"}) {
    CHECK_THROWS_AS(parse_running_set(kThree, side), Error);
    CHECK_THROWS_AS(parse_running_set(kFour, side), Error);
  }
}

TEST_CASE("a running set that cannot be read or does not exist is a usage error with a hint") {
  for (const char* text : {"", "3", "0", "-1", "1,", ",1", "1,1", "1 2", "both", "LEFT", "1;2", "99999999999"}) {
    CAPTURE(text);
    try {
      (void)parse_running_set(kTwin, text);
      FAIL("accepted");
    } catch (const Error& e) {
      CHECK(e.error_class() == ErrorClass::usage);
      CHECK(e.hint().find("all, left, right") != std::string::npos);
    }
  }
}

TEST_CASE("a running set prints as it is read") {
  for (const Aircraft* a : {&kTwin, &kThree, &kFour})
    for (std::uint8_t mask = 1; mask <= all_engines(*a).mask; ++mask)
      CHECK(parse_running_set(*a, to_string(*a, RunningSet{mask})) == RunningSet{mask});
}

TEST_CASE("the sets tried by default are the symmetric ones, or a twin's two engines") {
  CHECK(tried(kTwin) == std::vector<std::string>{"left", "right"});
  CHECK(tried(kThree) == std::vector<std::string>{"2", "1,3"});
  CHECK(tried(kFour) == std::vector<std::string>{"1,4", "2,3"});
}

TEST_CASE("may_run_alone rules which sets may be asked and are tried") {
  Aircraft a;
  a.may_run_alone = {{2}};
  CHECK(tried(a) == std::vector<std::string>{"right"});
  CHECK(parse_running_set(a, "right") == RunningSet{2});
  CHECK(parse_running_set(a, "all") == RunningSet{3});
  CHECK_THROWS_AS(parse_running_set(a, "left"), Error);
}

TEST_CASE("the mean arm of a running set is right positive and nought for a symmetric set") {
  CHECK(mean_arm_m(kTwin, {1}) == -5.75);
  CHECK(mean_arm_m(kTwin, {2}) == 5.75);
  CHECK(mean_arm_m(kTwin, {3}) == 0.0);
  CHECK(mean_arm_m(kFour, {9}) == 0.0);
  CHECK(mean_arm_m(kFour, {3}) == -15.5);
}

TEST_CASE("the default aircraft is within every range and every key has its own name") {
  CHECK(faulty_key(kTwin).empty());
  std::set<std::string> names;
  for (const NumberKey& k : number_keys()) {
    CHECK(names.insert(k.key).second);
    CHECK(k.least < k.most);
  }
}

TEST_CASE("a value just out of its range, or not a number, is refused with key, value and range") {
  for (const NumberKey& k : number_keys())
    for (const double bad : {k.least - 1e-3 * k.most, k.most * 1.001, std::numeric_limits<double>::quiet_NaN(),
                             std::numeric_limits<double>::infinity()}) {
      CAPTURE(k.key, bad);
      Aircraft a;
      a.*k.member = bad;
      CHECK(faulty_key(a) == k.key);
    }
  Aircraft a;
  a.nose_load_share = 0.5;
  try {
    check_ranges(a);
    FAIL("accepted");
  } catch (const Error& e) {
    CHECK(e.message() == "0.5 is out of range 0.02 to 0.3");
  }
}

TEST_CASE("values that contradict each other are refused") {
  const auto broken = [](auto change) {
    Aircraft a;
    change(a);
    return faulty_key(a);
  };
  CHECK(broken([](Aircraft& a) { a.mass_kg = 80000; }) == "mass_kg");
  CHECK(broken([](Aircraft& a) { a.mass_min_kg = 79000; }) == "mass_min_kg");
  CHECK(broken([](Aircraft& a) { a.idle_n1_pct = 40.1; }) == "idle_n1_pct");
  CHECK(broken([](Aircraft& a) { a.flow_7_kg_s = 0.4; }) == "flow_7_kg_s");
  CHECK(broken([](Aircraft& a) { a.flow_30_kg_s = 0.6; }) == "flow_30_kg_s");
  CHECK(broken([](Aircraft& a) { a.engine_arms_m = {0}; }) == "engine_arms_m");
  CHECK(broken([](Aircraft& a) { a.engine_arms_m = {5, -5}; }) == "engine_arms_m");
  CHECK(broken([](Aircraft& a) { a.engine_arms_m = {-5, std::numeric_limits<double>::quiet_NaN()}; }) == "engine_arms_m");
  CHECK(broken([](Aircraft& a) { a.engine_arms_m = {-4, -3, 0, 3, 4}; }) == "engine_arms_m");
  CHECK(broken([](Aircraft& a) { a.may_run_alone = {{1, 2}}; }) == "may_run_alone");
  CHECK(broken([](Aircraft& a) { a.may_run_alone = {{3}}; }) == "may_run_alone");
  CHECK(broken([](Aircraft& a) { a.may_run_alone = {{}}; }) == "may_run_alone");
  CHECK(broken([](Aircraft& a) { a.notes = {{"3", "x"}}; }) == "notes");
  CHECK(broken([](Aircraft& a) { a.notes = {{"left", "x"}}; }) == "notes");
  CHECK(broken([](Aircraft& a) { a.notes = {{"2", "left off last"}}; }).empty());
}
