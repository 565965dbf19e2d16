#include "report/text_layout.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <sstream>

using namespace solotaxi::report;

TEST_CASE("A wide character takes two columns and a combining mark none [Unicode UAX #11]") {
  CHECK(display_width("A1") == 2);
  CHECK(display_width("Größe") == 5);
  CHECK(display_width("滑行道") == 6);
  CHECK(display_width("e\xCC\x81") == 1);
  CHECK(display_width("") == 0);
}

TEST_CASE("Control characters and bytes that are not UTF-8 never reach a terminal") {
  CHECK(printable("a\x1B[31mb") == "a\xEF\xBF\xBD[31mb");
  CHECK(printable("a\nb\tc") == "a b c");
  CHECK(printable("a\xFF") == "a\xEF\xBF\xBD");
  CHECK(printable("\xC0\xAF") == "\xEF\xBF\xBD\xEF\xBF\xBD");  // overlong
  CHECK(printable("\xE2\x80\xAEtxt") == "\xEF\xBF\xBDtxt");    // turns the direction of writing
  CHECK(printable("滑行道") == "滑行道");
}

TEST_CASE("Text wraps at 80 columns with a hanging indent, also inside words that are too long") {
  const std::string text = wrapped("  - ", std::string(200, 'x') + " end");
  std::istringstream lines(text);
  std::string line;
  std::size_t count = 0;
  while (std::getline(lines, line)) {
    CHECK(display_width(line) <= kPageWidth);
    CHECK(line.starts_with(count == 0 ? "  - " : "    "));
    ++count;
  }
  CHECK(count == 3);
  CHECK(wrapped("", "a b") == "a b\n");
}

TEST_CASE("Wrapping keeps every character but blanks, and no line exceeds the page") {
  CHECK(rc::check([](const std::vector<std::string>& raw) {
    std::string text, kept;
    for (const std::string& word : raw) text += printable(word) + " 滑" + " ";
    for (std::size_t at = 0; (at = text.find(kNoBreak, at)) != std::string::npos;) text.replace(at, kNoBreak.size(), " ");
    for (const char c : text)
      if (c != ' ') kept += c;
    const std::string page = wrapped("  1  ", text);
    std::string found;
    std::istringstream lines(page);
    for (std::string line; std::getline(lines, line);) {
      RC_ASSERT(display_width(line) <= kPageWidth);
      for (const char c : line)
        if (c != ' ') found += c;
    }
    RC_ASSERT(found == "1" + kept);
  }));
}

TEST_CASE("A label is cut or filled to its columns") {
  CHECK(fitted("abc", 5) == "abc  ");
  CHECK(fitted("abcdef", 5) == "abcd…");
  CHECK(display_width(fitted("滑行道滑行道", 6)) == 6);
}

TEST_CASE("Numbers have their thousands separated and no minus nought") {
  CHECK(number(1234567.8, 0) == "1,234,568");
  CHECK(number(999.0, 0) == "999");
  CHECK(number(-1234.56, 1) == "-1,234.6");
  CHECK(number(-0.04, 1) == "0.0");
  CHECK(number(std::nan(""), 1) == "–");
}

TEST_CASE("Durations are minutes and seconds") {
  CHECK(wrapped("", duration(45.4)) == "45 s\n");
  CHECK(wrapped("", duration(65.0)) == "1 min 05 s\n");
  CHECK(wrapped("", duration(59.7)) == "1 min 00 s\n");
}

TEST_CASE("A number is not parted from its unit") {
  const std::string text = wrapped("", std::string(76, 'x') + " " + with_unit(12, 0, "m") + " on");
  CHECK(text == std::string(76, 'x') + "\n12 m on\n");
}
