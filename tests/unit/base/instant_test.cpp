#include "solotaxi/base/instant.hpp"

#include <catch2/catch.hpp>

using namespace solotaxi;
using namespace std::chrono;

TEST_CASE("instants are read as ISO 8601 writes them and in UTC") {
  const Instant six = sys_days{year{2026} / 1 / 5} + 6h;
  for (const char* text : {"2026-01-05T06:00:00Z", "2026-01-05T06:00Z", "2026-01-05 06:00", "2026-01-05T06:00:00.25Z",
                           "2026-01-05T07:30+01:30", "2026-01-05T04:00-0200"}) {
    CAPTURE(text);
    REQUIRE(parse_instant(text));
    CHECK(*parse_instant(text) == six);
  }
  CHECK(*parse_instant("2026-01-05") == sys_days{year{2026} / 1 / 5});
  CHECK(*parse_instant("2026-01-05T24:00Z") == sys_days{year{2026} / 1 / 6});
  CHECK(*parse_instant("2024-02-29T00:00:07Z") == sys_days{year{2024} / 2 / 29} + 7s);
}

TEST_CASE("text that is no instant is none") {
  for (const char* text : {"", "now", "2026-13-01", "2026-02-29", "2026-01-05T", "2026-01-05T6:00", "2026-01-05T25:00Z",
                           "2026-01-05T24:01Z", "2026-01-05T06:60Z", "2026-01-05T06:00Zulu", "2026-01-05T06:00+99:00",
                           "20260105T0600Z", "2026-01-05T06:00:00.Z", " 2026-01-05"}) {
    CAPTURE(text);
    CHECK_FALSE(parse_instant(text));
  }
}

TEST_CASE("an instant printed is read as itself") {
  for (const char* text : {"2026-01-05T06:00Z", "1999-12-31T23:59:59Z", "2024-02-29T00:00Z"})
    CHECK(to_string(*parse_instant(text)) == text);
}
