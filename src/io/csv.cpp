#include "solotaxi/io/csv.hpp"

#include <algorithm>

namespace solotaxi::io {

void CsvRows::begin(const CsvBlock& block) {
  begin(block.text, true, block.from);
  too_long_ = block.too_long;
}

void CsvRows::begin(std::string_view text, bool ended, const CsvPlace& from) {
  text_ = text;
  at_ = 0;
  ended_ = ended;
  too_long_ = false;
  rows_ = from.rows;
  line_ = row_line_ = from.line;
}

/// Reads a field whose opening quote stands at `at`, which comes to stand behind it. False: more is needed.
bool CsvRows::scan_quoted(std::size_t& at, bool& damaged) {
  const std::size_t to = text_.size();
  quote_line_ = line_ + breaks_;
  const std::size_t first = ++at;
  bool doubled = false;
  for (;; ++at) {
    if (at == to) return false;
    if (text_[at] == '\n') ++breaks_;
    if (text_[at] != '"') continue;
    if (at + 1 == to && !ended_) return false;
    if (at + 1 == to || text_[at + 1] != '"') break;
    doubled = true;
    ++at;
  }
  if (doubled) doubled_.push_back(fields_.size());
  fields_.push_back(text_.substr(first, at - first));
  ++at;
  quote_line_ = 0;
  while (at < to && text_[at] != separator_ && text_[at] != '\n' && text_[at] != '\r') damaged = true, ++at;
  return true;
}

/// Doubled quotes become one.
void CsvRows::undouble() {
  std::size_t most = 0;
  for (const std::size_t k : doubled_) most += fields_[k].size();
  undoubled_.clear();
  undoubled_.reserve(most);  // so that it stays where it is
  for (const std::size_t k : doubled_) {
    const std::size_t first = undoubled_.size();
    for (std::size_t i = 0; i < fields_[k].size(); ++i) {
      undoubled_ += fields_[k][i];
      if (fields_[k][i] == '"') ++i;
    }
    fields_[k] = std::string_view(undoubled_).substr(first);
  }
}

/// Takes one row apart from at_ on.
CsvRows::Scan CsvRows::scan() {
  fields_.clear();
  doubled_.clear();
  breaks_ = 0;
  quote_line_ = 0;
  bool damaged = false;
  std::size_t at = at_;
  const char* const text = text_.data();
  const std::size_t to = text_.size();
  for (;;) {
    if (at < to && text[at] == '"') {
      if (!scan_quoted(at, damaged)) return Scan::more;
    } else {
      const std::size_t first = at;
      while (at < to && text[at] != separator_ && text[at] != '\n') {
        damaged = damaged || text[at] == '"';
        ++at;
      }
      std::size_t last = at;
      if (last > first && text[last - 1] == '\r' && (at == to || text[at] == '\n')) --last;
      fields_.emplace_back(text + first, last - first);
    }
    if (at < to && text[at] == '\r') ++at;
    if (at == to) {
      if (!ended_) return Scan::more;
      break;
    }
    if (text[at] == '\n') {
      ++at;
      ++breaks_;
      break;
    }
    if (text[at] != separator_) {  // a lone CR behind a quote
      damaged = true;
      continue;
    }
    ++at;
  }
  at_ = at;
  return damaged ? Scan::damaged : Scan::whole;
}

void CsvRows::skip_empty_lines() {
  const auto ends_line = [&] {
    return text_[at_] == '\n' || (text_[at_] == '\r' && at_ + 1 < text_.size() && text_[at_ + 1] == '\n');
  };
  while (at_ < text_.size() && ends_line()) line_ += text_[at_++] == '\n' ? 1U : 0U;
}

CsvRow CsvRows::next() {
  if (too_long_) {
    too_long_ = false;
    ++rows_;
    return CsvRow::too_long;
  }
  skip_empty_lines();
  if (at_ == text_.size()) return CsvRow::end;
  row_line_ = line_;
  const std::size_t begin = at_;
  const Scan found = scan();
  if (found == Scan::more) return CsvRow::end;  // for who looks how far whole rows go
  ++rows_;
  line_ += breaks_;
  if (at_ - begin > kLongestRow) return CsvRow::too_long;
  if (!doubled_.empty()) undouble();
  return found == Scan::damaged ? CsvRow::damaged : CsvRow::row;
}

CsvReader::Row CsvReader::next() {
  for (;;) {
    const Row row = rows_.next();
    if (row != Row::end || !blocks_.next(block_)) return row;
    rows_.begin(block_);
  }
}

void append_csv(std::string& to, std::string_view field) {
  const auto asks_for_quotes = [](char c) { return c == ',' || c == '"' || c == '\r' || c == '\n'; };
  if (std::none_of(field.begin(), field.end(), asks_for_quotes)) {
    to += field;
    return;
  }
  to += '"';
  for (const char c : field) {
    if (c == '"') to += '"';
    to += c;
  }
  to += '"';
}

}  // namespace solotaxi::io
