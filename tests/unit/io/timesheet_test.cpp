#include "io/timesheet.hpp"

#include <catch2/catch.hpp>
#include <map>

using namespace solotaxi;
using namespace solotaxi::io;

namespace {

using Properties = std::map<std::string, std::string>;

XmlElement element(const std::string& name, const std::string& text = "") {
  XmlElement e;
  e.name = name;
  e.text = text;
  return e;
}

/// An availability with these timesheets.
XmlElement scheduled(const std::vector<Properties>& sheets) {
  XmlElement availability = element("ManoeuvringAreaAvailability");
  for (const Properties& properties : sheets) {
    XmlElement sheet = element("Timesheet"), interval = element("timeInterval");
    for (const auto& [name, text] : properties) sheet.children.push_back(element(name, text));
    interval.children.push_back(sheet);
    availability.children.push_back(interval);
  }
  return availability;
}

Truth at(const XmlElement& availability, const char* time) {
  std::string why;
  const Truth truth = holds(availability, parse_instant(time), why);
  CHECK((truth == Truth::unknown) == !why.empty());
  return truth;
}

Properties sheet(const std::string& day, const std::string& until, const std::string& start, const std::string& end) {
  Properties p{{"timeReference", "UTC"}, {"day", day}, {"startTime", start}, {"endTime", end}};
  if (!until.empty()) p["dayTil"] = until;
  return p;
}

}  // namespace

// 2026-02-18 is a Wednesday (proleptic Gregorian calendar).
TEST_CASE("a schedule of weekdays holds on them between its times") {
  const XmlElement wed = scheduled({sheet("WED", "", "06:00", "11:00"), sheet("SAT", "", "08:00", "12:00")});
  CHECK(at(wed, "2026-02-18T05:59Z") == Truth::no);
  CHECK(at(wed, "2026-02-18T06:00Z") == Truth::yes);
  CHECK(at(wed, "2026-02-18T10:59:59Z") == Truth::yes);
  CHECK(at(wed, "2026-02-18T11:00Z") == Truth::no);
  CHECK(at(wed, "2026-02-19T07:00Z") == Truth::no);
  CHECK(at(wed, "2026-02-21T11:30Z") == Truth::yes);
}

TEST_CASE("a period from one weekday to another holds throughout, over the end of the week too") {
  const XmlElement weekend = scheduled({sheet("FRI", "SUN", "12:00", "20:00")});
  CHECK(at(weekend, "2026-03-06T11:59Z") == Truth::no);  // a Friday
  CHECK(at(weekend, "2026-03-07T03:00Z") == Truth::yes);
  CHECK(at(weekend, "2026-03-08T19:59Z") == Truth::yes);
  CHECK(at(weekend, "2026-03-08T20:00Z") == Truth::no);
  const XmlElement over = scheduled({sheet("SUN", "MON", "22:00", "06:00")});
  CHECK(at(over, "2026-03-08T23:00Z") == Truth::yes);
  CHECK(at(over, "2026-03-09T05:59Z") == Truth::yes);
  CHECK(at(over, "2026-03-09T06:00Z") == Truth::no);
}

TEST_CASE("daily times hold over midnight, and a whole day where they meet") {
  CHECK(at(scheduled({sheet("ANY", "ANY", "18:00", "06:00")}), "2026-03-08T23:00Z") == Truth::yes);
  CHECK(at(scheduled({sheet("ANY", "", "18:00", "06:00")}), "2026-03-08T07:00Z") == Truth::no);
  CHECK(at(scheduled({sheet("ANY", "ANY", "00:00", "00:00")}), "2026-03-08T07:00Z") == Truth::yes);
  CHECK(at(scheduled({{{"day", "SUN"}}}), "2026-03-08T23:59Z") == Truth::yes);
  CHECK(at(scheduled({}), "2026-03-08T07:00Z") == Truth::yes);
}

TEST_CASE("nights between dates belong to the day on which they begin, the last one too") {
  Properties nights = sheet("ANY", "", "22:00", "06:00");
  nights["startDate"] = "05-01";
  nights["endDate"] = "07-01";
  const XmlElement e = scheduled({nights});
  CHECK(at(e, "2026-01-05T03:00Z") == Truth::no);  // of the night that began on the 4th
  CHECK(at(e, "2026-01-05T22:00Z") == Truth::yes);
  CHECK(at(e, "2026-01-08T03:00Z") == Truth::yes);  // of the night that began on the 7th
  CHECK(at(e, "2026-01-08T06:00Z") == Truth::no);
  CHECK(at(e, "2026-01-08T23:00Z") == Truth::no);
}

TEST_CASE("dates without an end, and days until another without a first, are not known") {
  Properties open = sheet("ANY", "", "08:00", "10:00");
  open["startDate"] = "05-01";
  CHECK(at(scheduled({open}), "2026-01-05T09:00Z") == Truth::yes);
  CHECK(at(scheduled({open}), "2026-01-07T09:00Z") == Truth::unknown);
  CHECK(at(scheduled({open}), "2026-01-07T11:00Z") == Truth::no);
  CHECK(at(scheduled({sheet("ANY", "FRI", "08:00", "10:00")}), "2026-02-18T12:00Z") == Truth::unknown);
}

TEST_CASE("what is excluded is taken off, in its own time zone") {
  Properties but = {{"timeReference", "UTC-2"}, {"startDate", "26-02"}, {"endDate", "27-02"}, {"day", "ANY"},
                    {"dayTil", "ANY"},          {"startTime", "00:00"}, {"endTime", "00:00"}, {"excluded", "YES"}};
  const XmlElement thursdays = scheduled({sheet("THU", "", "00:00", "24:00"), but});
  CHECK(at(thursdays, "2026-02-19T07:00Z") == Truth::yes);
  CHECK(at(thursdays, "2026-02-26T01:59Z") == Truth::yes);  // still the 25th there
  CHECK(at(thursdays, "2026-02-26T02:00Z") == Truth::no);
}

TEST_CASE("what a schedule hangs on and nobody tells is unknown") {
  CHECK(at(scheduled({sheet("HOL", "", "00:00", "24:00")}), "2026-02-19T07:00Z") == Truth::unknown);
  CHECK(at(scheduled({{{"day", "ANY"}, {"startEvent", "SS"}, {"endEvent", "SR"}}}), "2026-02-19T07:00Z") == Truth::unknown);
  CHECK(at(scheduled({{{"timeReference", "EST"}, {"day", "ANY"}}}), "2026-02-19T07:00Z") == Truth::unknown);
  std::string why;
  CHECK(holds(scheduled({sheet("MON", "", "06:00", "11:00")}), std::nullopt, why) == Truth::unknown);
  // Summer time moves the ends by an hour; between them it makes no odds.
  Properties summer = sheet("ANY", "", "06:00", "11:00");
  summer["daylightSavingAdjust"] = "YES";
  CHECK(at(scheduled({summer}), "2026-02-19T05:30Z") == Truth::unknown);
  CHECK(at(scheduled({summer}), "2026-02-19T08:00Z") == Truth::yes);
  CHECK(at(scheduled({summer}), "2026-02-19T10:30Z") == Truth::unknown);
  CHECK(at(scheduled({summer}), "2026-02-19T12:00Z") == Truth::no);
}
