#include "solotaxi/io/staged_writer.hpp"

#include <array>
#include <cerrno>
#include <cstring>
#include <utility>

#include "solotaxi/base/error.hpp"

namespace solotaxi::io {

StagedWriter::StagedWriter(const std::filesystem::path& file) : staged_(stage_text(file, "")) { open(file); }

StagedWriter::StagedWriter(const std::filesystem::path& file, std::uint64_t bytes)
    : staged_(stage_partial(file, bytes)), bytes_(bytes) {
  open(file);
}

void StagedWriter::open(const std::filesystem::path& file) {
  file_.reset(std::fopen(staged_.temporary().c_str(), "ab"));
  if (!file_) throw data_error("cannot be written", Where{file.string(), {}, {}});
  std::setvbuf(file_.get(), nullptr, _IONBF, 0);
}

void StagedWriter::write(std::string_view text) {
  errno = 0;
  if (std::fwrite(text.data(), 1, text.size(), file_.get()) != text.size())
    throw data_error(std::string("cannot be written: ") + std::strerror(errno), Where{staged_.target().string(), {}, {}});
  bytes_ += text.size();
}

StagedFile StagedWriter::finish() {
  if (std::fclose(file_.release()) != 0)
    throw data_error("cannot be written: the disk took only a part", Where{staged_.target().string(), {}, {}});
  return std::move(staged_);
}

void append_fixed(std::string& to, std::int64_t value, int decimals) {
  std::array<char, 24> digits{};
  std::size_t at = digits.size();
  auto rest = value < 0 ? std::uint64_t{0} - static_cast<std::uint64_t>(value) : static_cast<std::uint64_t>(value);
  for (int k = 0; rest > 0 || k <= decimals; ++k) {
    if (k == decimals && decimals > 0) digits[--at] = '.';
    digits[--at] = static_cast<char>('0' + rest % 10);
    rest /= 10;
  }
  if (value < 0) digits[--at] = '-';
  to.append(digits.data() + at, digits.size() - at);
}

}  // namespace solotaxi::io
