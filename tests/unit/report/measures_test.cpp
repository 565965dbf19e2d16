#include "report/measures.hpp"

#include <catch2/catch.hpp>

using namespace solotaxi::report;

namespace {

std::string plain(std::string text) {
  for (std::size_t at; (at = text.find("\xC2\xA0")) != std::string::npos;) text.replace(at, 2, " ");
  return text;
}

}  // namespace

// Exact: 1 ft = 0.3048 m, 1 lb = 0.45359237 kg [S:ISO80000-3].
TEST_CASE("A sentence's lengths and masses are told in the report's units") {
  const Measures us(Units::us), si(Units::si);
  const std::string text = "the way is 1451 m longer, 5.6 kg more, 1.5 t lighter; 3,048 m are left";
  CHECK(plain(us.retold(text)) == "the way is 4,760 ft longer, 12.3 lb more, 3,307 lb lighter; 10,000 ft are left");
  CHECK(plain(us.retold("unknown on 1000 of 3048 m driven")) == "unknown on 3,281 of 10,000 ft driven");
  CHECK(plain(si.retold(text)) == "the way is 1,451 m longer, 5.6 kg more, 1.5 t lighter; 3,048 m are left");
}

TEST_CASE("What is no length or mass of its own stays as it is") {
  const Measures us(Units::us);
  for (const std::string text : {"taxiway M12 meets A1", "4 min 40 s", "3 m/s", "12 mm", "100 kg/h", "A 3 turns", "", "2 %"})
    CHECK(us.retold(text) == text);
}
