#include "solotaxi/io/staged_writer.hpp"

#include <array>
#include <cerrno>
#include <charconv>
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
  const auto rest = value < 0 ? std::uint64_t{0} - static_cast<std::uint64_t>(value) : static_cast<std::uint64_t>(value);
  const char* const end = std::to_chars(digits.data(), digits.data() + digits.size(), rest).ptr;
  const auto count = static_cast<std::size_t>(end - digits.data()), behind = static_cast<std::size_t>(decimals);
  if (value < 0) to += '-';
  if (count <= behind) {
    to += "0.";
    to.append(behind - count, '0');
    to.append(digits.data(), count);
    return;
  }
  to.append(digits.data(), count - behind);
  if (behind == 0) return;
  to += '.';
  to.append(end - behind, behind);
}

}  // namespace solotaxi::io
