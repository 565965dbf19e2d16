#include "solotaxi/io/csv.hpp"

#include <cerrno>
#include <cstring>

#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

constexpr std::size_t kBuffer = 2 * CsvReader::kLongestRow;

}  // namespace

CsvReader::CsvReader(const std::filesystem::path& file, char separator)
    : path_(file), file_(std::fopen(file.c_str(), "rb")), separator_(separator), buffer_(kBuffer + 1) {
  std::error_code ignored;
  if (!file_ || std::filesystem::is_directory(file, ignored))
    throw data_error("cannot be read", Where{file.string(), {}, {}}, "check the path; it must be a file of rows");
  std::setvbuf(file_.get(), nullptr, _IONBF, 0);
  refill();
  if (to_ >= 3 && std::memcmp(buffer_.data(), "\xEF\xBB\xBF", 3) == 0) from_ = 3;
}

void CsvReader::refill() {
  std::memmove(buffer_.data(), buffer_.data() + from_, to_ - from_);
  to_ -= from_;
  from_ = 0;
  errno = 0;
  const std::size_t got = std::fread(buffer_.data() + to_, 1, kBuffer - to_, file_.get());
  if (std::ferror(file_.get()) != 0)
    throw data_error(std::string("cannot be read on: ") + std::strerror(errno),
                     Where{path_.string(), static_cast<long>(line_), {}});
  ended_ = got < kBuffer - to_;
  to_ += got;
}

/// Reads a field whose opening quote stands at `at`, which comes to stand behind it. False: more is needed.
bool CsvReader::scan_quoted(std::size_t& at, bool& damaged) {
  quote_line_ = line_ + breaks_;
  const std::size_t first = ++at;
  bool doubled = false;
  for (;; ++at) {
    if (at == to_) return false;
    if (buffer_[at] == '\n') ++breaks_;
    if (buffer_[at] != '"') continue;
    if (at + 1 == to_ && !ended_) return false;
    if (at + 1 == to_ || buffer_[at + 1] != '"') break;
    doubled = true;
    ++at;
  }
  if (doubled) doubled_.push_back(fields_.size());
  fields_.emplace_back(buffer_.data() + first, at - first);
  ++at;
  quote_line_ = 0;
  while (at < to_ && buffer_[at] != separator_ && buffer_[at] != '\n' && buffer_[at] != '\r') damaged = true, ++at;
  return true;
}

/// Doubled quotes become one, in place.
void CsvReader::undouble() {
  for (const std::size_t k : doubled_) {
    char* const first = buffer_.data() + (fields_[k].data() - buffer_.data());
    char* put = first;
    for (std::size_t i = 0; i < fields_[k].size(); ++i) {
      *put++ = first[i];
      if (first[i] == '"') ++i;
    }
    fields_[k] = {first, static_cast<std::size_t>(put - first)};
  }
}

/// Takes one row apart from from_ on.
CsvReader::Scan CsvReader::scan() {
  fields_.clear();
  doubled_.clear();
  breaks_ = 0;
  quote_line_ = 0;
  bool damaged = false;
  std::size_t at = from_;
  const char* const text = buffer_.data();
  for (;;) {
    if (at < to_ && text[at] == '"') {
      if (!scan_quoted(at, damaged)) return Scan::more;
    } else {
      const std::size_t first = at;
      while (at < to_ && text[at] != separator_ && text[at] != '\n') {
        damaged = damaged || text[at] == '"';
        ++at;
      }
      std::size_t last = at;
      if (last > first && text[last - 1] == '\r' && (at == to_ || text[at] == '\n')) --last;
      fields_.emplace_back(text + first, last - first);
    }
    if (at < to_ && text[at] == '\r') ++at;
    if (at == to_) {
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
  from_ = at;
  return damaged ? Scan::damaged : Scan::whole;
}

/// Passes over the row that begins at from_ and is longer than what may be kept.
void CsvReader::skip_row() {
  bool quoted = false, field_begins = true;
  std::uint64_t opened = 0;
  for (;;) {
    for (; from_ < to_; ++from_) {
      const char c = buffer_[from_];
      if (c == '\n') ++line_;
      if (c == '"' && (quoted || field_begins)) {
        quoted = !quoted;
        if (quoted) opened = line_;
      } else if (c == '\n' && !quoted) {
        ++from_;
        return;
      }
      field_begins = c == separator_ || (c == '"' && !quoted);  // a doubled quote opens again
    }
    if (ended_) break;
    refill();
  }
  if (quoted)
    throw data_error("a quote is not closed before the end of the file",
                     Where{path_.string(), static_cast<long>(opened), {}}, "close it, or double quotes that are text");
}

CsvReader::Row CsvReader::next() {
  for (;;) {
    const auto ends_line = [&] {
      return buffer_[from_] == '\n' || (buffer_[from_] == '\r' && from_ + 1 < to_ && buffer_[from_ + 1] == '\n');
    };
    while (from_ < to_ && ends_line()) line_ += buffer_[from_++] == '\n' ? 1U : 0U;
    if (to_ - from_ <= kLongestRow && !ended_) {
      refill();
      continue;
    }
    if (from_ == to_) return Row::end;
    row_line_ = line_;
    const std::size_t begin = from_;
    const Scan found = scan();
    ++rows_;
    if (found == Scan::more) {
      if (ended_)
        throw data_error("a quote is not closed before the end of the file",
                         Where{path_.string(), static_cast<long>(quote_line_), {}},
                         "close it, or double quotes that are text");
      skip_row();
      return Row::too_long;
    }
    line_ += breaks_;
    if (from_ - begin > kLongestRow) return Row::too_long;
    undouble();
    return found == Scan::damaged ? Row::damaged : Row::row;
  }
}

void append_csv(std::string& to, std::string_view field) {
  if (field.find_first_of(",\"\r\n") == std::string_view::npos) {
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
