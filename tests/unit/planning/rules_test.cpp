#include <catch2/catch.hpp>

#include "solotaxi/base/error.hpp"
#include "solotaxi/planning/plan.hpp"

using namespace solotaxi;
using namespace solotaxi::planning;

TEST_CASE("an operator's rules are read in each of their forms") {
  using Kind = Rule::Kind;
  CHECK(parse_rule("all-engines=B").kind == Kind::all_engines_at);
  CHECK(parse_rule("all-engines=B").name == "B");
  CHECK(parse_rule("all-engines=crossings").kind == Kind::all_engines_at_crossings);
  CHECK(parse_rule("all-engines=kind:taxilane").line_kind == network::LineKind::taxilane);
  CHECK(parse_rule("min-one-engine-s=90").seconds == 90.0);
  CHECK(parse_rule("may-run-alone=1,2").set == "1,2");
  CHECK(parse_rule("tight=limit").kind == Kind::tight_at_limit);
}

TEST_CASE("what is no rule is refused with the forms a rule may take") {
  for (const char* text : {"", "tight", "tight=", "tight=loose", "all-engines=kind:apron", "min-one-engine-s=soon",
                           "min-one-engine-s=-1", "min-one-engine-s=nan", "min-one-engine-s=7201", "speed=20"}) {
    INFO(text);
    try {
      (void)parse_rule(text);
      FAIL("it was read");
    } catch (const Error& error) {
      CHECK(error.error_class() == ErrorClass::usage);
      CHECK(error.hint().find("all-engines=NAME") != std::string::npos);
    }
  }
}
