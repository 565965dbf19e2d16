// Checks on a page of text.
#pragma once

#include <catch2/catch.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "report/text_layout.hpp"

namespace solotaxi::report::test {

/// The page as one line, so that a sentence is found wherever it was broken.
inline std::string unwrapped(const std::string& page) {
  std::istringstream words(page);
  std::string text;
  for (std::string word; words >> word;) text += (text.empty() ? "" : " ") + word;
  return text;
}

inline void check_width(const std::string& page) {
  std::istringstream lines(page);
  for (std::string line; std::getline(lines, line);) {
    CAPTURE(line);
    CHECK(display_width(line) <= kPageWidth);
  }
}

/// All of these stand on the page, in this order.
inline void check_order(const std::string& text, const std::vector<std::string>& said) {
  std::size_t from = 0;
  for (const std::string& words : said) {
    CAPTURE(words, text);
    const std::size_t at = text.find(words, from);
    CHECK(at != std::string::npos);
    if (at != std::string::npos) from = at + words.size();
  }
}

}  // namespace solotaxi::report::test
