#include "solotaxi/base/instant.hpp"

#include <fmt/format.h>

#include <charconv>

namespace solotaxi {
namespace {

/// Takes text off its front, piece by piece; `ok` falls where a piece is not there.
struct Scanner {
  std::string_view text;
  bool ok = true;

  int digits(std::size_t count) {
    int value = 0;
    if (text.size() < count) return ok = false, 0;
    for (std::size_t i = 0; i < count; ++i) {
      if (text[i] < '0' || text[i] > '9') return ok = false, 0;
      value = value * 10 + (text[i] - '0');
    }
    text.remove_prefix(count);
    return value;
  }
  bool take(char c) {
    if (text.empty() || text.front() != c) return false;
    text.remove_prefix(1);
    return true;
  }
  void expect(char c) { ok = take(c) && ok; }
};

}  // namespace

std::optional<Instant> parse_instant(std::string_view text) {
  using namespace std::chrono;
  Scanner in{text};
  const int y = in.digits(4);
  in.expect('-');
  const int m = in.digits(2);
  in.expect('-');
  const int d = in.digits(2);
  const year_month_day date{year{y}, month{static_cast<unsigned>(m)}, day{static_cast<unsigned>(d)}};
  if (!in.ok || !date.ok()) return std::nullopt;
  Instant at = sys_days{date};
  if (in.text.empty()) return at;
  if (!in.take('T') && !in.take(' ')) return std::nullopt;
  const int hour = in.digits(2);
  in.expect(':');
  const int minute = in.digits(2);
  int second = 0;
  if (in.take(':')) {
    second = in.digits(2);
    if (in.take('.'))
      for (in.digits(1); in.ok && !in.text.empty() && in.text.front() >= '0' && in.text.front() <= '9';) in.digits(1);
  }
  if (!in.ok || hour > 24 || minute > 59 || second > 59 || (hour == 24 && minute + second > 0)) return std::nullopt;
  at += hours{hour} + minutes{minute} + seconds{second};
  if (in.take('Z') || in.text.empty()) return in.text.empty() ? std::optional(at) : std::nullopt;
  const bool ahead = in.text.front() == '+';
  if (!in.take('+') && !in.take('-')) return std::nullopt;
  const int off_hours = in.digits(2);
  in.take(':');
  const int off_minutes = in.digits(2);
  if (!in.ok || !in.text.empty() || off_hours > 14 || off_minutes > 59) return std::nullopt;
  const minutes offset = hours{off_hours} + minutes{off_minutes};
  return ahead ? at - offset : at + offset;
}

std::string to_string(Instant instant) {
  using namespace std::chrono;
  const sys_days date = floor<days>(instant);
  const year_month_day ymd{date};
  const hh_mm_ss time{instant - date};
  std::string text =
      fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}", static_cast<int>(ymd.year()), static_cast<unsigned>(ymd.month()),
                  static_cast<unsigned>(ymd.day()), time.hours().count(), time.minutes().count());
  if (time.seconds().count() != 0) text += fmt::format(":{:02}", time.seconds().count());
  return text + "Z";
}

}  // namespace solotaxi
