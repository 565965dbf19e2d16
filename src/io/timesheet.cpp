#include "io/timesheet.hpp"

#include <array>
#include <charconv>

namespace solotaxi::io {
namespace {

constexpr int kDay = 24 * 60;  ///< minutes

std::optional<int> number(std::string_view text) {
  int value = 0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (text.empty() || fault != std::errc{} || end != text.data() + text.size() || value < 0) return std::nullopt;
  return value;
}

/// "06:00" in minutes of the day.
std::optional<int> time_of_day(const std::string& text) {
  const auto colon = text.find(':');
  if (colon == std::string::npos) return std::nullopt;
  const auto hour = number(std::string_view(text).substr(0, colon)),
             minute = number(std::string_view(text).substr(colon + 1));
  if (!hour || !minute || *hour > 24 || *minute > 59 || (*hour == 24 && *minute > 0)) return std::nullopt;
  return *hour * 60 + *minute;
}

/// "26-02" as month * 100 + day, which orders the days of a year.
std::optional<int> day_of_year(const std::string& text) {
  const auto dash = text.find('-');
  if (dash == std::string::npos) return std::nullopt;
  const auto day = number(std::string_view(text).substr(0, dash)), month = number(std::string_view(text).substr(dash + 1));
  if (!day || !month || *day < 1 || *day > 31 || *month < 1 || *month > 12) return std::nullopt;
  return *month * 100 + *day;
}

std::optional<int> weekday(const std::string& text) {
  constexpr std::array<std::string_view, 7> kDays{"MON", "TUE", "WED", "THU", "FRI", "SAT", "SUN"};
  for (std::size_t i = 0; i < kDays.size(); ++i)
    if (text == kDays[i]) return static_cast<int>(i);
  return std::nullopt;
}

/// Offset of "UTC", "UTC+1", "UTC-2" in minutes.
std::optional<int> offset(const std::string& reference) {
  if (reference.empty() || reference == "UTC") return 0;
  if (!reference.starts_with("UTC") || reference.size() < 5) return std::nullopt;
  const auto hours = number(std::string_view(reference).substr(4));
  if (!hours || *hours > 14 || (reference[3] != '+' && reference[3] != '-')) return std::nullopt;
  return (reference[3] == '-' ? -60 : 60) * *hours;
}

/// A time as a schedule sees it.
struct Local {
  int minute = 0;   ///< of the day
  int weekday = 0;  ///< 0 Monday
  int date = 0;     ///< month * 100 + day
};

Local local(Instant at, int offset_min) {
  using namespace std::chrono;
  const auto shifted = at + minutes{offset_min};
  const sys_days date = floor<days>(shifted);
  const year_month_day ymd{date};
  return {static_cast<int>(duration_cast<minutes>(shifted - date).count()),
          static_cast<int>(std::chrono::weekday{date}.iso_encoding()) - 1,
          static_cast<int>(static_cast<unsigned>(ymd.month()) * 100 + static_cast<unsigned>(ymd.day()))};
}

/// Whether `value` lies from `begin` to before `end` on a circle.
bool between(int begin, int end, int value) {
  return begin < end ? begin <= value && value < end : value >= begin || value < end;
}

class Sheet {
 public:
  Sheet(const XmlElement& sheet, std::string& why) : sheet_(sheet), why_(why) {}

  Truth holds(Instant at) {
    const auto off = offset(sheet_.value("timeReference"));
    if (!off) return unknown("times in " + sheet_.value("timeReference"));
    const Truth standard = holds_locally(at, *off);
    if (sheet_.value("daylightSavingAdjust") != "YES") return standard;
    // Where summer time is kept the times are an hour earlier in UTC; whether it is nobody says.
    const Truth summer = holds_locally(at, *off + 60);
    return standard == summer ? standard : unknown("an hour that shifts with daylight saving");
  }

 private:
  Truth unknown(const std::string& what) {
    if (why_.find(what) == std::string::npos) why_ += (why_.empty() ? "" : ", ") + what;
    return Truth::unknown;
  }

  Truth holds_locally(Instant at, int offset_min) {
    const Local now = local(at, offset_min);
    for (const char* event : {"startEvent", "endEvent"})
      if (!sheet_.value(event).empty()) return unknown("sunrise or sunset");
    const std::string &day = sheet_.value("day"), &until = sheet_.value("dayTil");
    const std::string &first = sheet_.value("startDate"), &last = sheet_.value("endDate");
    const auto begin = sheet_.value("startTime").empty() ? std::optional(0) : time_of_day(sheet_.value("startTime"));
    const auto end = sheet_.value("endTime").empty() ? std::optional(kDay) : time_of_day(sheet_.value("endTime"));
    if (!begin || !end) return unknown("a time that cannot be read");
    if (!first.empty() || !last.empty()) {
      const auto from = day_of_year(first), to = day_of_year(last.empty() ? first : last);
      if (!from || !to) return unknown("dates " + first + " to " + last);
      const bool any = (day.empty() || day == "ANY") && (until.empty() || until == "ANY");
      // With an end day, one period from the first moment to the last.
      if (any && !until.empty()) {
        constexpr int kScale = 10000;
        return truth(between(*from * kScale + *begin, *to * kScale + *end, now.date * kScale + now.minute));
      }
      // A night belongs to the day on which it began.
      const bool second_half = *end <= *begin && now.minute < *end;
      const int date = second_half ? local(at - std::chrono::days{1}, offset_min).date : now.date;
      const bool in_dates = *from <= *to ? *from <= date && date <= *to : date >= *from || date <= *to;
      if (!in_dates && last.empty() && date > *from && holds_in_week(day, until, *begin, *end, now) != Truth::no)
        return unknown("dates from " + first + " without an end");
      if (!in_dates) return Truth::no;
    }
    return holds_in_week(day, until, *begin, *end, now);
  }

  Truth holds_in_week(const std::string& day, const std::string& until, int begin, int end, Local now) {
    if (day.empty() || day == "ANY") {
      if (begin % kDay == end % kDay) return Truth::yes;
      const bool inside = between(begin, end, now.minute);
      // "Any day 06:00 to any day 18:00" may mean both.
      if (!inside && !until.empty() && begin < end) return unknown("a period whose days are not plain");
      return truth(inside);
    }
    const auto from = weekday(day), to = until.empty() ? from : weekday(until);
    if (!from || !to) return unknown(day + (until.empty() ? "" : " to " + until));
    const int start = *from * kDay + begin;
    int stop = *to * kDay + end;
    if (until.empty() && end <= begin) stop += kDay;  // over midnight
    const int week = 7 * kDay;
    return truth(between(start, stop % week == start ? start : stop % week, now.weekday * kDay + now.minute));
  }

  const XmlElement& sheet_;
  std::string& why_;
};

}  // namespace

Truth holds(const XmlElement& element, std::optional<Instant> at, std::string& why) {
  Truth inside = Truth::no, outside = Truth::no;
  bool any = false, any_inside = false;
  for (const XmlElement* interval : element.all("timeInterval")) {
    if (interval->is_nil()) continue;
    for (const XmlElement* sheet : interval->all("Timesheet")) {
      any = true;
      const bool excluded = sheet->value("excluded") == "YES";
      any_inside = any_inside || !excluded;
      Truth now = Truth::unknown;
      if (at)
        now = Sheet(*sheet, why).holds(*at);
      else if (why.empty())
        why = "a schedule, as no time is given";
      (excluded ? outside : inside) = either(excluded ? outside : inside, now);
    }
  }
  if (!any) return Truth::yes;
  return both(any_inside ? inside : Truth::yes, negated(outside));
}

}  // namespace solotaxi::io
