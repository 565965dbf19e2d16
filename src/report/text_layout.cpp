#include "text_layout.hpp"

#include <fmt/format.h>
#include <locale.h>
#include <wchar.h>

#include <algorithm>
#include <cmath>
#include <vector>

namespace solotaxi::report {
namespace {

constexpr char32_t kReplacement = 0xFFFD;

/// Takes one code point off the front; kReplacement for a byte that is not UTF-8.
char32_t take(std::string_view& text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char lead = byte(0);
  const std::size_t length = lead < 0x80           ? 1
                             : (lead >> 5) == 0x6  ? 2
                             : (lead >> 4) == 0xE  ? 3
                             : (lead >> 3) == 0x1E ? 4
                                                   : 0;
  if (length == 1) {
    text.remove_prefix(1);
    return lead;
  }
  bool valid = length != 0 && length <= text.size();
  char32_t point = length == 0 ? 0 : lead & (0xFFU >> (length + 1));
  for (std::size_t i = 1; valid && i < length; ++i) {
    valid = (byte(i) & 0xC0) == 0x80;
    point = (point << 6) | (byte(i) & 0x3FU);
  }
  constexpr char32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
  valid = valid && point >= least[length] && point <= 0x10FFFF && !(point >= 0xD800 && point <= 0xDFFF);
  text.remove_prefix(valid ? length : 1);
  return valid ? point : kReplacement;
}

/// The C library's tables of widths in its built-in UTF-8 locale, whatever the user's own locale is.
std::size_t width_of(char32_t point) {
  static const locale_t utf8 = newlocale(LC_CTYPE_MASK, "C.UTF-8", nullptr);
  if (point < 0x80) return 1;
  if (utf8 == nullptr) return 2;  // no tables: assume the widest
  const locale_t before = uselocale(utf8);
  const int width = wcwidth(static_cast<wchar_t>(point));
  uselocale(before);
  return width < 0 ? 1 : static_cast<std::size_t>(width);
}

/// The longest front of a text that fits into so many columns; at least one character.
std::size_t front_that_fits(std::string_view text, std::size_t columns) {
  std::string_view rest = text;
  std::size_t used = 0;
  while (!rest.empty()) {
    std::string_view next = rest;
    const std::size_t width = width_of(take(next));
    if (used + width > columns && rest.size() != text.size()) break;
    used += width;
    rest = next;
  }
  return text.size() - rest.size();
}

}  // namespace

std::string printable(std::string_view text) {
  std::string result;
  while (!text.empty()) {
    const std::string_view before = text;
    const char32_t point = take(text);
    // Besides control characters, those that turn the direction of writing or break lines could disguise what follows.
    const bool turns = (point >= 0x202A && point <= 0x202E) || (point >= 0x2066 && point <= 0x2069);
    if (point == '\n' || point == '\r' || point == '\t' || point == 0x2028 || point == 0x2029)
      result += ' ';
    else if (point < 0x20 || (point >= 0x7F && point < 0xA0) || point == kReplacement || turns)
      result += "\xEF\xBF\xBD";
    else
      result += before.substr(0, before.size() - text.size());
  }
  return result;
}

std::size_t display_width(std::string_view text) {
  std::size_t width = 0;
  while (!text.empty()) width += width_of(take(text));
  return width;
}

std::string wrapped(std::string_view first, std::string_view text) {
  const std::string indent(display_width(first), ' ');
  const std::size_t room = kPageWidth - indent.size();
  std::string result(first), line;
  std::size_t used = 0;
  const auto flush = [&] {
    result += line + '\n' + indent;
    line.clear();
    used = 0;
  };
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    std::string_view word = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    if (word.empty()) continue;
    if (used != 0 && used + 1 + display_width(word) > room) flush();
    if (used != 0) line += ' ', ++used;
    while (display_width(word) > room - used) {
      const std::size_t part = front_that_fits(word, room - used);
      line += word.substr(0, part);
      word.remove_prefix(part);
      flush();
    }
    line += word;
    used += display_width(word);
  }
  result += line;
  for (std::size_t at = 0; (at = result.find(kNoBreak, at)) != std::string::npos; ++at)
    result.replace(at, kNoBreak.size(), " ");
  while (!result.empty() && result.back() == ' ') result.pop_back();
  return result + '\n';
}

std::string fitted(std::string_view text, std::size_t columns) {
  std::string result(text);
  if (display_width(result) > columns && columns > 0) {
    result = columns == 1 ? "" : result.substr(0, front_that_fits(result, columns - 1));
    if (display_width(result) > columns - 1) result.clear();  // a single wide character with no room
    result += "…";
  }
  const std::size_t width = display_width(result);
  return result + std::string(width < columns ? columns - width : 0, ' ');
}

std::string number(double value, int decimals) {
  if (!std::isfinite(value)) return "–";
  std::string digits = fmt::format("{:.{}f}", std::abs(value), decimals);
  const bool zero = digits.find_first_not_of("0.") == std::string::npos;
  const std::size_t point = std::min(digits.find('.'), digits.size());
  for (std::size_t at = point; at > 3; at -= 3) digits.insert(at - 3, ",");
  return (value < 0 && !zero ? "-" : "") + digits;
}

std::string duration(double seconds) {
  if (!std::isfinite(seconds)) return "–";
  const auto whole = static_cast<long long>(std::llround(std::abs(seconds)));
  const std::string sign = seconds < 0 && whole != 0 ? "-" : "";
  if (whole < 60) return fmt::format("{}{}{}s", sign, whole, kNoBreak);
  return fmt::format("{}{}{}min{}{:02}{}s", sign, whole / 60, kNoBreak, kNoBreak, whole % 60, kNoBreak);
}

std::string with_unit(double value, int decimals, std::string_view unit) {
  return fmt::format("{}{}{}", number(value, decimals), kNoBreak, unit);
}

void Page::add(Kind kind, std::string_view first, std::string_view text) {
  Entry& entry = entries_.emplace_back();
  entry.kind = kind;
  entry.first = first;
  entry.text = text;
}

void Page::place(std::string_view first, std::string_view text, double at_m, std::string_view mark) {
  line(first, text);
  entries_.back().at_m = at_m;
  entries_.back().mark = mark;
}

void Page::row(std::vector<Cell> cells) {
  add(Kind::row, "", "");
  entries_.back().cells = std::move(cells);
}

namespace {

std::string set_cell(const Page::Cell& cell) {
  const std::string text = printable(cell.text);
  const auto columns = static_cast<std::size_t>(std::abs(cell.columns));
  if (cell.columns >= 0) return fitted(text, columns);
  const std::size_t width = display_width(text);
  return std::string(width < columns ? columns - width : 0, ' ') + text;
}

std::string set_entry(const Page::Entry& entry) {
  switch (entry.kind) {
    case Page::Kind::title:
      return wrapped("", printable(entry.text)) + std::string(kPageWidth, '=') + '\n';
    case Page::Kind::heading:
      return '\n' + wrapped("", printable(entry.text));
    case Page::Kind::item:
      return wrapped("  " + fitted(entry.first, 13), printable(entry.text));
    case Page::Kind::line:
      return wrapped(entry.first, printable(entry.text));
    case Page::Kind::row: {
      std::string row = "  ";
      for (const Page::Cell& cell : entry.cells) row += set_cell(cell);
      return wrapped(row, "");
    }
    case Page::Kind::blank:
      return "\n";
  }
  return {};
}

}  // namespace

std::string Page::text() const {
  std::string text;
  for (const Entry& entry : entries_) text += set_entry(entry);
  return text;
}

}  // namespace solotaxi::report
