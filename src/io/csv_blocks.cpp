// Where a file may be cut: between rows, which without quotes is behind any line break.
#include <algorithm>
#include <cerrno>
#include <cstring>

#include "solotaxi/io/csv.hpp"

namespace solotaxi::io {
namespace {

constexpr std::size_t kPiece = std::size_t{1} << 18U;
constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";

}  // namespace

CsvBlocks::CsvBlocks(const std::filesystem::path& file, char separator)
    : path_(file), file_(std::fopen(file.c_str(), "rb")), separator_(separator), rows_(separator) {
  std::error_code ignored;
  if (!file_ || std::filesystem::is_directory(file, ignored))
    throw data_error("cannot be read", Where{file.string(), {}, {}}, "check the path; it must be a file of rows");
  std::setvbuf(file_.get(), nullptr, _IONBF, 0);
  read(carry_);
  if (carry_.starts_with(kByteOrderMark)) {
    carry_.erase(0, kByteOrderMark.size());
    place_.byte = kByteOrderMark.size();
  }
}

void CsvBlocks::go_to(const CsvPlace& place) {
  if (::fseeko(file_.get(), static_cast<off_t>(place.byte), SEEK_SET) != 0)
    throw data_error("cannot be gone on in", Where{path_.string(), {}, {}}, "it must be a file, not a pipe");
  carry_.clear();
  ended_ = false;
  place_ = place;
}

void CsvBlocks::keep_to(std::uint64_t from, std::uint64_t to) {
  first_ = from;
  last_ = to;
}

/// Appends a piece.
void CsvBlocks::read(std::string& to) {
  const std::size_t before = to.size();
  to.resize(before + kPiece);
  errno = 0;
  const std::size_t got = std::fread(to.data() + before, 1, kPiece, file_.get());
  if (std::ferror(file_.get()) != 0)
    throw data_error(std::string("cannot be read on: ") + std::strerror(errno),
                     Where{path_.string(), static_cast<long>(place_.line), {}});
  to.resize(before + got);
  ended_ = got < kPiece;
}

/// How far from the text's begin whole rows go that begin before `before`, in the text's own count.
CsvPlace CsvBlocks::cut_plain(std::string_view text, std::uint64_t before) const {
  std::size_t end = text.size();
  if (before < text.size()) {
    const std::size_t first_break = text.find('\n', before > 0 ? before - 1 : 0);
    if (first_break != std::string_view::npos) end = first_break + 1;
  }
  if (end == text.size() && !ended_) end = text.rfind('\n') + 1;  // 0 where there is none
  CsvPlace out{end, 0, 0};
  for (std::size_t at = 0; at < end;) {
    const void* found = std::memchr(text.data() + at, '\n', end - at);
    const std::size_t last =
        found == nullptr ? end : static_cast<std::size_t>(static_cast<const char*>(found) - text.data());
    const bool empty = found != nullptr && (last == at || (last == at + 1 && text[at] == '\r'));
    out.rows += empty ? 0U : 1U;
    out.line += found != nullptr ? 1U : 0U;
    at = last + 1;
  }
  return out;
}

CsvPlace CsvBlocks::cut(std::string_view text, std::uint64_t before, bool one) {
  if (!one && std::memchr(text.data(), '"', text.size()) == nullptr) return cut_plain(text, before);
  rows_.begin(text, ended_, {0, 0, place_.line});
  std::size_t whole = 0;
  CsvPlace out{0, 0, place_.line};
  for (;;) {
    rows_.skip_empty_lines();
    out.line = rows_.line_;
    whole = rows_.at_;
    if (whole >= before || whole == text.size() || (one && out.rows > 0)) break;
    if (rows_.scan() == CsvRows::Scan::more) {
      if (ended_ && whole == 0) throw open_quote(rows_.quote_line_);
      break;  // the rows before it are told first
    }
    rows_.line_ += rows_.breaks_;
    ++out.rows;
  }
  out.byte = whole;
  out.line -= place_.line;
  return out;
}

Error CsvBlocks::open_quote(std::uint64_t line) const {
  return data_error("a quote is not closed before the end of the file", Where{path_.string(), static_cast<long>(line), {}},
                    "close it, or double quotes that are text");
}

bool CsvBlocks::take(CsvBlock& to, bool one) {
  for (;;) {
    to.text.assign(carry_);
    to.from = place_;
    to.too_long = false;
    if (place_.byte >= last_) return false;
    for (;;) {
      const bool ours = place_.byte >= first_;
      const CsvPlace whole = cut(to.text, (ours ? last_ : first_) - place_.byte, one);
      if (whole.byte > 0 && (!one || whole.rows > 0)) {
        carry_.assign(to.text, whole.byte);
        to.text.resize(whole.byte);
        place_ = {place_.byte + whole.byte, place_.rows + whole.rows, place_.line + whole.line};
        to.to = place_;
        if (ours) return true;
        break;
      }
      if (ended_) return false;
      if (to.text.size() > kLongestRow) {
        skip_row(to.text);
        to.to = place_;
        to.too_long = true;
        if (ours) return true;
        break;
      }
      read(to.text);
    }
  }
}

/// Passes over the row that the text begins and that is longer than what may be kept; what is read behind it is carried.
void CsvBlocks::skip_row(std::string& text) {
  bool quoted = false, field_begins = true;
  std::uint64_t opened = 0;
  for (;;) {
    for (std::size_t at = 0; at < text.size(); ++at) {
      const char c = text[at];
      if (c == '\n') ++place_.line;
      if (c == '"' && (quoted || field_begins)) {
        quoted = !quoted;
        if (quoted) opened = place_.line;
      } else if (c == '\n' && !quoted) {
        place_.byte += at + 1;
        ++place_.rows;
        carry_.assign(text, at + 1);
        text.clear();
        return;
      }
      field_begins = c == separator_ || (c == '"' && !quoted);  // a doubled quote opens again
    }
    place_.byte += text.size();
    text.clear();
    if (ended_) break;
    read(text);
  }
  if (quoted) throw open_quote(opened);
  ++place_.rows;
  carry_.clear();
}

}  // namespace solotaxi::io
