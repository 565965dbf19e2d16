// Comma-separated text as RFC 4180 has it, read row by row in memory that does not grow with the file.
//
// Taken as they come: a byte-order mark, CRLF or LF, fields in double quotes with separators, line breaks and doubled
// quotes in them, a last line without its break. Empty lines are passed over. Text is UTF-8 or whatever the file holds;
// bytes are not looked at. A reader of our own, because GDAL's CSV driver, the only other one among the libraries used,
// makes a feature of every row and is several times slower (tests/bench/estimate_bench.cpp measures both).
#pragma once

#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace solotaxi::io {

class CsvReader {
 public:
  /// Longest row; one that is longer is told as such and passed over.
  static constexpr std::size_t kLongestRow = std::size_t{1} << 20U;
  enum class Row {
    row,       ///< `fields` has it
    too_long,  ///< over kLongestRow bytes
    damaged,   ///< a quote inside a field without quotes, or text behind a closing quote
    end
  };

  /// Throws Error (data) where the file cannot be opened or is a directory.
  explicit CsvReader(const std::filesystem::path& file, char separator = ',');
  /// The next row. Throws Error (data) for a quote that is open at the end of the file, with the line where it opens, and
  /// for a failing read.
  [[nodiscard]] Row next();
  /// Of the row last read; valid until the next one.
  [[nodiscard]] const std::vector<std::string_view>& fields() const { return fields_; }
  /// Rows read, the heading included; empty lines do not count.
  [[nodiscard]] std::uint64_t rows() const { return rows_; }
  /// Line on which the row last read begins, from 1.
  [[nodiscard]] std::uint64_t line() const { return row_line_; }

 private:
  enum class Scan { whole, damaged, more };
  struct Closer {
    void operator()(std::FILE* f) const { std::fclose(f); }
  };
  void refill();
  [[nodiscard]] Scan scan();
  [[nodiscard]] bool scan_quoted(std::size_t& at, bool& damaged);
  void undouble();
  void skip_row();

  std::filesystem::path path_;
  std::unique_ptr<std::FILE, Closer> file_;
  char separator_;
  std::vector<char> buffer_;
  std::size_t from_ = 0, to_ = 0;  // what is not yet told of the buffer
  bool ended_ = false;
  std::vector<std::string_view> fields_;
  std::vector<std::size_t> doubled_;  // fields with doubled quotes
  std::uint64_t rows_ = 0, line_ = 1, row_line_ = 1, breaks_ = 0, quote_line_ = 0;
};

/// A field as it is written: in quotes where it holds a comma, a quote or a line break.
void append_csv(std::string& to, std::string_view field);

}  // namespace solotaxi::io
