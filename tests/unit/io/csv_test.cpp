// Reading comma-separated text: what RFC 4180 allows, and what people's files hold besides.
#include "solotaxi/io/csv.hpp"

#include <catch2/catch.hpp>
#include <fstream>

#include "scratch_folder.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/staged_writer.hpp"

using namespace solotaxi;
using namespace solotaxi::io;

namespace {

using Table = std::vector<std::vector<std::string>>;

std::string file_of(const test::ScratchFolder& folder, const std::string& text) {
  const std::string file = (folder.path / "rows.csv").string();
  std::ofstream(file, std::ios::binary) << text;
  return file;
}

/// Rows; one that is not to be had is told in angle brackets.
Table table_of(const std::string& text, char separator = ',') {
  const test::ScratchFolder folder;
  CsvReader reader(file_of(folder, text), separator);
  Table out;
  for (;;) {
    const CsvReader::Row row = reader.next();
    if (row == CsvReader::Row::end) return out;
    if (row == CsvReader::Row::row)
      out.emplace_back(reader.fields().begin(), reader.fields().end());
    else
      out.push_back({row == CsvReader::Row::too_long ? "<long>" : "<damaged>"});
  }
}

}  // namespace

TEST_CASE("Fields are separated, quoted fields keep separators, line breaks and quotes") {
  CHECK(table_of("a,b\n1,\n") == Table{{"a", "b"}, {"1", ""}});
  CHECK(table_of("\"a,b\",\"c\r\nd\",\"e\"\"f\"\n\"\"\"\"\"\",x\n") == Table{{"a,b", "c\r\nd", "e\"f"}, {"\"\"", "x"}});
  CHECK(table_of("a;b,c\n", ';') == Table{{"a", "b,c"}});
  CHECK(table_of(",\n") == Table{{"", ""}});
}

TEST_CASE("A byte-order mark, CRLF, empty lines and a missing last line break change nothing") {
  const Table expected{{"a", "b"}, {"1", "2"}};
  CHECK(table_of("\xEF\xBB\xBF"
                 "a,b\r\n1,2\r\n") == expected);
  CHECK(table_of("\n\r\na,b\n\n1,2") == expected);
  CHECK(table_of("a,b\r\n1,\"2\"") == expected);
  CHECK(table_of("a,b\r\n\"1\",\"2\"\r\n\r\n") == expected);
  CHECK(table_of("").empty());
  CHECK(table_of("\xEF\xBB\xBF").empty());
  CHECK(table_of("\n\r\n\n").empty());
}

TEST_CASE("Quotes out of place damage their row alone") {
  CHECK(table_of("a\"b,c\n1,2\n") == Table{{"<damaged>"}, {"1", "2"}});
  CHECK(table_of("\"a\"b,c\n1,2\n") == Table{{"<damaged>"}, {"1", "2"}});
  CHECK(table_of("\"a\"\rb,c\n1,2\n") == Table{{"<damaged>"}, {"1", "2"}});
}

TEST_CASE("A quote that is never closed is an error at the line where it opens") {
  const test::ScratchFolder folder;
  CsvReader reader(file_of(folder, "a,b\n1,\"2\n3,4\n"));
  REQUIRE(reader.next() == CsvReader::Row::row);
  try {
    (void)reader.next();
    FAIL("no error");
  } catch (const Error& error) {
    CHECK(error.error_class() == ErrorClass::data);
    CHECK(error.where().line == 2);
  }
}

TEST_CASE("A row of ten megabytes is passed over, in quotes or not, and the next is read") {
  const std::string ten(10U << 20U, 'x');
  CHECK(table_of("a,b\n" + ten + ",2\n3,4\n") == Table{{"a", "b"}, {"<long>"}, {"3", "4"}});
  CHECK(table_of("a,b\n\"" + ten + "\n\"\"," + ten + "\",2\n3,4\n") == Table{{"a", "b"}, {"<long>"}, {"3", "4"}});
  CHECK(table_of("a,b\n" + ten) == Table{{"a", "b"}, {"<long>"}});
  const std::string most(CsvReader::kLongestRow - 10, 'x');
  CHECK(table_of("a,b\n" + most + ",2\n3,4\n") == Table{{"a", "b"}, {most, "2"}, {"3", "4"}});
  CHECK(table_of(most + "xxxxxxxxxx,2\n3,4\n") == Table{{"<long>"}, {"3", "4"}});
}

TEST_CASE("Rows are the same wherever the pieces end in which the file is read") {
  std::string text;
  Table expected;
  for (int k = 0; text.size() < (5U << 20U); ++k) {
    const std::string filler(static_cast<std::size_t>(k * 7919 % 5000), 'y');
    text += std::to_string(k) + ",\"" + filler + "\"\"\r\n,\",z\r\n";
    expected.push_back({std::to_string(k), filler + "\"\r\n,", "z"});
  }
  CHECK(table_of(text) == expected);
}

TEST_CASE("Rows and lines are counted, a row with line breaks as one") {
  const test::ScratchFolder folder;
  CsvReader reader(file_of(folder, "a\n\n\"b\n\nc\"\nd\n"));
  std::vector<std::uint64_t> lines;
  while (reader.next() != CsvReader::Row::end) lines.push_back(reader.line());
  CHECK(reader.rows() == 3);
  CHECK(lines == std::vector<std::uint64_t>{1, 3, 6});
}

TEST_CASE("A file that is not there or a folder is an error of data") {
  const test::ScratchFolder folder;
  CHECK_THROWS_AS(CsvReader(folder.path / "none.csv"), Error);
  CHECK_THROWS_AS(CsvReader(folder.path), Error);
}

TEST_CASE("What is written as a field is read as the same field") {
  for (const std::string field : {"plain", "", "a,b", "say \"x\"", "two\nlines", "\"", "cr\r"}) {
    std::string text;
    append_csv(text, field);
    CHECK(table_of(text + ",end\n") == Table{{field, "end"}});
  }
}

TEST_CASE("Fixed decimals are written whole") {
  const auto text = [](std::int64_t value, int decimals) {
    std::string to;
    append_fixed(to, value, decimals);
    return to;
  };
  CHECK(text(0, 0) == "0");
  CHECK(text(0, 3) == "0.000");
  CHECK(text(7, 3) == "0.007");
  CHECK(text(-12345, 3) == "-12.345");
  CHECK(text(-5, 1) == "-0.5");
  CHECK(text(INT64_MIN, 0) == "-9223372036854775808");
  CHECK(text(INT64_MAX, 6) == "9223372036854.775807");
}
