// Plain text for a terminal of 80 columns: widths as shown, wrapping, numbers with thousands separated.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

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

/// What a briefing says, in order: headings, labelled lines, paragraphs, rows of tables. `text` sets it for a terminal;
/// other reports set the same entries their own way.
class Page {
 public:
  enum class Kind { title, heading, item, line, row, blank };
  /// Of a row: filled or cut to so many columns, to the right side where negative.
  struct Cell {
    std::string text;
    int columns = 0;
  };
  struct Entry {
    Kind kind = Kind::line;
    std::string first, text;     ///< item: its label, and what it says; line: what it begins with, and the line
    std::vector<Cell> cells;     ///< row
    std::optional<double> at_m;  ///< chainage of what the line tells of
    std::string mark;            ///< what sort of thing that is: a verdict, "toward", "hold", "crossing", "engine" …
  };

  void title(std::string_view text) { add(Kind::title, "", text); }
  void heading(std::string_view text) { add(Kind::heading, "", text); }
  /// "  Label       text", wrapped under the text.
  void item(std::string_view label, std::string_view text) { add(Kind::item, label, text); }
  /// A line begun with `first`, wrapped under what follows it.
  void line(std::string_view first, std::string_view text) { add(Kind::line, first, text); }
  /// A line on something that lies at a chainage.
  void place(std::string_view first, std::string_view text, double at_m, std::string_view mark);
  void row(std::vector<Cell> cells);
  void blank() { add(Kind::blank, "", ""); }

  [[nodiscard]] const std::vector<Entry>& entries() const { return entries_; }
  [[nodiscard]] std::string text() const;

 private:
  void add(Kind kind, std::string_view first, std::string_view text);
  std::vector<Entry> entries_;
};

}  // namespace solotaxi::report
