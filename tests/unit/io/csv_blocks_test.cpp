// Files cut into blocks of whole rows: every row is in one block, with its number and line, however the file is shared out.
#include <catch2/catch.hpp>
#include <fstream>
#include <random>

#include "scratch_folder.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/csv.hpp"

using namespace solotaxi;
using namespace solotaxi::io;

namespace {

struct Told {
  std::vector<std::string> fields;
  std::uint64_t row = 0, line = 0;
  bool operator==(const Told&) const = default;
};

/// A file of rows that are known beforehand: some 1 MB, in places with quotes, line breaks in them, empty lines, CRLF.
struct Known {
  std::string text;
  std::vector<Told> rows;
};

Known known_file(bool quotes) {
  std::mt19937 random(7);
  Known out;
  std::uint64_t line = 1;
  for (std::uint64_t row = 1; out.text.size() < 1'000'000; ++row) {
    std::vector<std::string> fields{std::to_string(row), std::string(random() % 90, 'x'), ""};
    const bool odd = quotes && random() % 300 == 0;
    if (odd) fields[2] = random() % 2 == 0 ? "a \"b\",\nc" : "\r\n\"";
    out.rows.push_back({fields, row, line});
    for (std::size_t k = 0; k < fields.size(); ++k) {
      if (k > 0) out.text += ',';
      append_csv(out.text, fields[k]);
    }
    out.text += random() % 2 == 0 ? "\n" : "\r\n";
    line += odd ? 2 : 1;
    if (random() % 50 == 0) out.text += "\n", ++line;
  }
  return out;
}

std::vector<Told> rows_of(CsvBlocks& blocks) {
  std::vector<Told> out;
  CsvBlock block;
  CsvRows rows;
  while (blocks.next(block)) {
    rows.begin(block);
    for (CsvRow row = rows.next(); row != CsvRow::end; row = rows.next()) {
      REQUIRE(row == CsvRow::row);
      out.push_back({{rows.fields().begin(), rows.fields().end()}, rows.rows(), rows.line()});
    }
    CHECK(rows.rows() == block.to.rows);
    CHECK(block.from.byte + block.text.size() == block.to.byte);
  }
  return out;
}

}  // namespace

TEST_CASE("Blocks and shards of a file hold every row once, with its number and its line") {
  const bool quotes = GENERATE(false, true);
  const Known known = known_file(quotes);
  const test::ScratchFolder folder;
  const auto file = folder.path / "rows.csv";
  std::ofstream(file, std::ios::binary) << known.text;
  for (const std::uint64_t shards : {1U, 2U, 3U, 7U, 40U}) {
    CAPTURE(shards, quotes);
    std::vector<Told> all;
    for (std::uint64_t k = 0; k < shards; ++k) {
      CsvBlocks blocks(file);
      blocks.keep_to(known.text.size() * k / shards, known.text.size() * (k + 1) / shards);
      for (Told& row : rows_of(blocks)) all.push_back(std::move(row));
    }
    CHECK((all == known.rows));
  }
}

TEST_CASE("Where a block ended another reader goes on") {
  const Known known = known_file(true);
  const test::ScratchFolder folder;
  const auto file = folder.path / "rows.csv";
  std::ofstream(file, std::ios::binary) << known.text;
  CsvBlocks first(file), second(file);
  CsvBlock block;
  REQUIRE(first.next(block));
  REQUIRE(first.next(block));
  REQUIRE(block.to.rows < known.rows.size());
  second.go_to(block.to);
  const std::vector<Told> rest = rows_of(second);
  CHECK((rest == std::vector<Told>(known.rows.begin() + static_cast<std::ptrdiff_t>(block.to.rows), known.rows.end())));
}

TEST_CASE("A row too long for a block is told in one of its own, and the rows behind it are whole") {
  const test::ScratchFolder folder;
  const auto file = folder.path / "rows.csv";
  std::ofstream(file, std::ios::binary) << "a\n" << std::string(3 * kLongestRow, 'x') << "\nb\n";
  CsvBlocks blocks(file);
  CsvRows rows;
  CsvBlock block;
  std::vector<std::pair<CsvRow, std::uint64_t>> told;
  while (blocks.next(block)) {
    rows.begin(block);
    for (CsvRow row = rows.next(); row != CsvRow::end; row = rows.next()) told.emplace_back(row, rows.rows());
  }
  CHECK((told == std::vector<std::pair<CsvRow, std::uint64_t>>{{CsvRow::row, 1}, {CsvRow::too_long, 2}, {CsvRow::row, 3}}));
}
