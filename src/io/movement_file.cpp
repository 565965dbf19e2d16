#include "solotaxi/io/movement_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cmath>
#include <utility>

#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

constexpr double kMinute = 60.0;

constexpr std::size_t index(Column c) { return static_cast<std::size_t>(c); }

/// So many digits from `at` on, which comes to stand behind them; -1 where they are none.
int digits(std::string_view text, std::size_t& at, std::size_t count) {
  if (at + count > text.size()) return -1;
  int value = 0;
  for (const std::size_t end = at + count; at < end; ++at) {
    if (text[at] < '0' || text[at] > '9') return -1;
    value = 10 * value + (text[at] - '0');
  }
  return value;
}

bool take(std::string_view text, std::size_t& at, char c) { return at < text.size() && text[at] == c && ++at > 0; }

/// "", "Z", "+02", "+0200", "+02:00"
bool is_zone(std::string_view text) {
  if (text.empty() || text == "Z") return true;
  std::size_t at = 1;
  if (text[0] != '+' && text[0] != '-') return false;
  if (digits(text, at, 2) < 0 || at == text.size()) return at == text.size();
  if (text[at] == ':') ++at;
  return digits(text, at, 2) >= 0 && at == text.size();
}

/// Hour and month of a time; false where it is none.
bool read_time(std::string_view text, Movement& to) {
  std::size_t at = 0;
  const int year = digits(text, at, 4);
  if (year < 0 || !take(text, at, '-')) return false;
  const int month = digits(text, at, 2);
  if (month < 1 || month > 12 || !take(text, at, '-')) return false;
  const int day = digits(text, at, 2);
  using namespace std::chrono;
  if (day < 1 || day > 31) return false;
  if (day > 28 && !year_month_day{std::chrono::year{year}, std::chrono::month{static_cast<unsigned>(month)},
                                  std::chrono::day{static_cast<unsigned>(day)}}
                       .ok())
    return false;
  if (!take(text, at, 'T') && !take(text, at, ' ')) return false;
  to.hour = digits(text, at, 2);
  if (to.hour < 0 || to.hour > 23 || !take(text, at, ':')) return false;
  const int minute = digits(text, at, 2);
  if (minute < 0 || minute > 59) return false;
  if (take(text, at, ':')) {
    const int second = digits(text, at, 2);
    if (second < 0 || second > 60) return false;
    if (take(text, at, '.')) {
      const std::size_t first = at;
      while (at < text.size() && text[at] >= '0' && text[at] <= '9') ++at;
      if (at == first) return false;
    }
  }
  to.month = 12 * year + month - 1;
  return is_zone(text.substr(at));
}

/// Text of a row as it may be told: short.
std::string told(std::string_view text) {
  constexpr std::size_t kMost = 40;
  return text.size() <= kMost ? std::string(text) : std::string(text.substr(0, kMost)) + "…";
}

}  // namespace

MovementFile::MovementFile(const std::filesystem::path& file, MovementColumns columns)
    : columns_(std::move(columns)), blocks_(file, columns_.separator) {
  CsvBlock block;
  CsvRows heading(columns_.separator);
  const auto refuse = [&](const std::string& message, const std::string& hint) {
    return data_error(message, Where{file.string(), static_cast<long>(heading.line()), {}}, hint);
  };
  if (!blocks_.next_row(block)) throw refuse("holds nothing", "a heading with the columns' names comes first");
  heading.begin(block);
  if (heading.next() != CsvRow::row) throw refuse("its heading cannot be read", "a line of names, separated alike");
  at_.fill(-1);
  width_ = heading.fields().size();
  for (std::size_t c = 0; c < kColumns; ++c)
    for (std::size_t k = 0; k < width_; ++k) {
      if (heading.fields()[k] != columns_.names[c]) continue;
      if (at_[c] >= 0) throw refuse(fmt::format("has two columns \"{}\"", columns_.names[c]), "name each column once");
      at_[c] = static_cast<int>(k);
    }
  for (std::size_t c = 0; c <= index(Column::direction); ++c)
    if (at_[c] < 0)
      throw refuse(fmt::format("has no column \"{}\"", columns_.names[c]),
                   fmt::format("the heading has {}; --columns tells other names",
                               told(fmt::format("{}", fmt::join(heading.fields(), ", ")))));
}

bool MovementRows::next() {
  const CsvRow row = csv_.next();
  if (row == CsvRow::end) return false;
  fault_.clear();
  if (row == CsvRow::too_long)
    fault_ = "the row is longer than 1 MiB";
  else if (row == CsvRow::damaged)
    fault_ = "a quote inside a field, or text behind a closing quote";
  else if (csv_.fields().size() != file_->width_)
    fault_ = fmt::format("{} fields where the heading has {}", csv_.fields().size(), file_->width_);
  else
    read_row();
  return true;
}

std::string_view MovementRows::field(Column column) const {
  const int at = file_->at_[index(column)];
  return at < 0 ? std::string_view{} : csv_.fields()[static_cast<std::size_t>(at)];
}

bool MovementRows::read_number(Column column, double least, double most, double factor, std::optional<double>& to) {
  to.reset();
  const std::string_view text = field(column);
  if (text.empty()) return true;
  double value = 0.0;
  const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (failure != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) {
    fault_ = fmt::format("{}: \"{}\" is no number", file_->columns_.names[index(column)], told(text));
    return false;
  }
  if (value < least || value > most) {
    fault_ = fmt::format("{}: {} is out of range {} to {}", file_->columns_.names[index(column)], told(text), least, most);
    return false;
  }
  to = value * factor;
  return true;
}

void MovementRows::read_row() {
  Movement& m = movement_;
  m.time = field(Column::time);
  if (!read_time(m.time, m)) {
    fault_ = fmt::format("{}: \"{}\" is no time such as 2026-07-14T06:05", file_->columns_.names[0], told(m.time));
    return;
  }
  m.field = field(Column::field);
  m.stand = field(Column::stand);
  m.runway = field(Column::runway);
  m.aircraft = field(Column::aircraft);
  const std::string_view direction = field(Column::direction);
  m.departure = direction == file_->columns_.out;
  if (!m.departure && direction != file_->columns_.in) {
    fault_ = fmt::format("{}: \"{}\" is neither \"{}\" nor \"{}\"", file_->columns_.names[index(Column::direction)],
                         told(direction), file_->columns_.out, file_->columns_.in);
    return;
  }
  if (!read_number(Column::mass, 1000.0, 1e6, 1.0, m.mass_kg)) return;
  if (!read_number(Column::queue, 0.0, 120.0, kMinute, m.queue_s)) return;
  if (!read_number(Column::taxi_time, 0.0, 240.0, kMinute, m.taxi_time_s)) return;
  if (!m.departure && m.queue_s.value_or(0.0) > 0.0)
    fault_ = fmt::format("{}: an arrival has no queue before line-up", file_->columns_.names[index(Column::queue)]);
}

}  // namespace solotaxi::io
