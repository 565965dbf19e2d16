// Plain text for a terminal of 80 columns: widths as shown, wrapping, numbers with thousands separated.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace solotaxi::report {

inline constexpr std::size_t kPageWidth = 80;
/// Stands between a number and its unit, where a line must not break; becomes a plain blank on the page.
inline constexpr std::string_view kNoBreak = "\xC2\xA0";

/// Text fit for a terminal: invalid UTF-8 and control characters (line breaks too) become U+FFFD or a space.
[[nodiscard]] std::string printable(std::string_view text);
/// Columns a printable text takes: wide characters two, combining marks none.
[[nodiscard]] std::size_t display_width(std::string_view text);
/// The text broken at spaces (and inside words that are too long) into lines of at most kPageWidth columns, the first begun
/// with `first` and the others with as many blanks. Ends with a line break.
[[nodiscard]] std::string wrapped(std::string_view first, std::string_view text);
/// The text cut with "…" or filled with blanks to exactly `columns`.
[[nodiscard]] std::string fitted(std::string_view text, std::size_t columns);
/// A number with its unit, not to be broken: "1,234 m".
[[nodiscard]] std::string with_unit(double value, int decimals, std::string_view unit);
/// A number with `decimals` places and commas between thousands; "–" for one that is not finite; the minus sign is "-".
[[nodiscard]] std::string number(double value, int decimals);
/// "6 min 05 s", "45 s", not to be broken.
[[nodiscard]] std::string duration(double seconds);

/// Builds a page of headings, labelled lines and paragraphs.
class Page {
 public:
  void title(std::string_view text);
  void heading(std::string_view text);
  /// "  Label       text", wrapped under the text.
  void item(std::string_view label, std::string_view text);
  /// A line begun with `first`, wrapped under what follows it.
  void line(std::string_view first, std::string_view text);
  void blank() { text_ += '\n'; }
  [[nodiscard]] const std::string& text() const { return text_; }

 private:
  std::string text_;
};

}  // namespace solotaxi::report
