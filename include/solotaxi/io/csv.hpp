// Comma-separated text as RFC 4180 has it, read in memory that does not grow with the file: row by row, or in blocks of
// whole rows that several threads take apart.
//
// Taken as they come: a byte-order mark, CRLF or LF, fields in double quotes with separators, line breaks and doubled
// quotes in them, a last line without its break. Empty lines are passed over. Text is UTF-8 or whatever the file holds;
// bytes are not looked at. A reader of our own, because GDAL's CSV driver, the only other one among the libraries used,
// makes a feature of every row and is several times slower (tests/bench/estimate_bench.cpp measures both).
#pragma once

#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <limits>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "solotaxi/base/error.hpp"

namespace solotaxi::io {

/// Longest row [bytes]; one that is longer is told as such and passed over.
inline constexpr std::size_t kLongestRow = std::size_t{1} << 20U;

enum class CsvRow {
  row,       ///< `fields` has it
  too_long,  ///< over kLongestRow
  damaged,   ///< a quote inside a field without quotes, or text behind a closing quote
  end
};

/// Between two rows of a file.
struct CsvPlace {
  std::uint64_t byte = 0;
  std::uint64_t rows = 0;  ///< before it, the heading included; empty lines do not count
  std::uint64_t line = 1;  ///< that begins here, from 1
};

/// Whole rows as they stand in the file.
struct CsvBlock {
  std::string text;
  CsvPlace from, to;
  bool too_long = false;  ///< one row of over kLongestRow bytes, which is not kept
};

/// The rows of a block, or of any text that ends with a row.
class CsvRows {
 public:
  explicit CsvRows(char separator = ',') : separator_(separator) {}
  /// The block must outlive what is asked of its rows.
  void begin(const CsvBlock& block);
  /// The next row.
  [[nodiscard]] CsvRow next();
  /// Of the row last read; valid until the next one.
  [[nodiscard]] const std::vector<std::string_view>& fields() const { return fields_; }
  /// Rows read, those before the block included.
  [[nodiscard]] std::uint64_t rows() const { return rows_; }
  /// Line on which the row last read begins.
  [[nodiscard]] std::uint64_t line() const { return row_line_; }

 private:
  friend class CsvBlocks;
  enum class Scan { whole, damaged, more };
  void begin(std::string_view text, bool ended, const CsvPlace& from);
  void skip_empty_lines();
  [[nodiscard]] Scan scan();
  [[nodiscard]] bool scan_quoted(std::size_t& at, bool& damaged);
  void undouble();

  char separator_;
  std::string_view text_;
  std::size_t at_ = 0;
  bool ended_ = true;  // nothing follows the text
  bool too_long_ = false;
  std::vector<std::string_view> fields_;
  std::vector<std::size_t> doubled_;  // fields with doubled quotes
  std::string undoubled_;
  std::uint64_t rows_ = 0, line_ = 1, row_line_ = 1, breaks_ = 0, quote_line_ = 0;
};

/// A file in blocks of whole rows.
class CsvBlocks {
 public:
  /// Throws Error (data) where the file cannot be opened or is a directory.
  explicit CsvBlocks(const std::filesystem::path& file, char separator = ',');
  /// The next block: some 256 KiB, and never more than a row's length over. False at the end. Throws Error (data) for a
  /// quote that is open at the end of the file, with the line where it opens, and for a failing read.
  [[nodiscard]] bool next(CsvBlock& to) { return take(to, false); }
  /// The next row alone.
  [[nodiscard]] bool next_row(CsvBlock& to) { return take(to, true); }
  /// Goes on at a place where a block ended. Throws Error (data) where the file cannot be gone along.
  void go_to(const CsvPlace& place);
  /// From now on only rows that begin in [from, to) [bytes]; those before are counted.
  void keep_to(std::uint64_t from, std::uint64_t to);
  [[nodiscard]] const CsvPlace& place() const { return place_; }

 private:
  struct Closer {
    void operator()(std::FILE* f) const { std::fclose(f); }
  };
  [[nodiscard]] bool take(CsvBlock& to, bool one);
  void read(std::string& to);
  [[nodiscard]] CsvPlace cut(std::string_view text, std::uint64_t before, bool one);
  [[nodiscard]] CsvPlace cut_plain(std::string_view text, std::uint64_t before) const;
  void skip_row(std::string& text);
  [[nodiscard]] Error open_quote(std::uint64_t line) const;

  std::filesystem::path path_;
  std::unique_ptr<std::FILE, Closer> file_;
  char separator_;
  std::string carry_;  // read and not yet told
  CsvPlace place_;
  std::uint64_t first_ = 0, last_ = std::numeric_limits<std::uint64_t>::max();
  bool ended_ = false;
  CsvRows rows_;
};

/// A file row by row.
class CsvReader {
 public:
  using Row = CsvRow;
  static constexpr std::size_t kLongestRow = io::kLongestRow;
  /// Throws as CsvBlocks.
  explicit CsvReader(const std::filesystem::path& file, char separator = ',')
      : blocks_(file, separator), rows_(separator) {}
  /// The next row. Throws as CsvBlocks.
  [[nodiscard]] Row next();
  [[nodiscard]] const std::vector<std::string_view>& fields() const { return rows_.fields(); }
  [[nodiscard]] std::uint64_t rows() const { return rows_.rows(); }
  [[nodiscard]] std::uint64_t line() const { return rows_.line(); }

 private:
  CsvBlocks blocks_;
  CsvBlock block_;
  CsvRows rows_;
};

/// A field as it is written: in quotes where it holds a comma, a quote or a line break.
void append_csv(std::string& to, std::string_view field);

}  // namespace solotaxi::io
