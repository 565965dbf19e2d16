#include "solotaxi/io/staged_file.hpp"

#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <system_error>
#include <utility>

#include "io/cannot_write.hpp"

namespace solotaxi::io {

namespace fs = std::filesystem;
using detail::cannot_write;

StagedFile::StagedFile(fs::path target, fs::path temporary)
    : target_(std::move(target)), temporary_(std::move(temporary)) {}

StagedFile::StagedFile(StagedFile&& other) noexcept
    : target_(std::move(other.target_)), temporary_(std::exchange(other.temporary_, fs::path{})), kept_(other.kept_) {}

StagedFile::~StagedFile() {
  std::error_code ignored;
  if (!temporary_.empty() && !kept_) fs::remove(temporary_, ignored);
}

void StagedFile::commit() {
  if (temporary_.empty()) return;
  std::error_code failure;
  fs::rename(temporary_, target_, failure);
  if (failure) throw cannot_write(target_, failure.message());
  temporary_.clear();
}

namespace {

/// The file that is really written to (a link is written through, not replaced), which must be one that may be.
fs::path target_of(const fs::path& file) {
  std::error_code failure;
  fs::path target = fs::is_symlink(fs::symlink_status(file, failure)) ? fs::weakly_canonical(file, failure) : file;
  if (failure && target.empty()) target = file;
  const fs::file_status there = fs::status(target, failure);
  if (fs::exists(there)) {
    if (!fs::is_regular_file(there))
      throw cannot_write(file, fs::is_directory(there) ? "it is a directory" : "it is no file");
    if (::access(target.c_str(), W_OK) != 0) throw cannot_write(file, std::strerror(errno));
  }
  return target;
}

}  // namespace

StagedFile stage_partial(const fs::path& file, std::uint64_t bytes) {
  const fs::path target = target_of(file);
  fs::path temporary = target;
  temporary += ".partial";
  std::error_code failure;
  if (bytes == 0) {
    errno = 0;
    const std::ofstream made(temporary, std::ios::binary | std::ios::trunc);
    if (!made) throw cannot_write(file, errno != 0 ? std::strerror(errno) : "it cannot be opened");
  } else if (fs::file_size(temporary, failure) < bytes || failure) {
    throw data_error("has lost what was written to it before", {temporary.string(), {}, {}},
                     "begin anew, without --resume");
  }
  fs::resize_file(temporary, bytes, failure);
  if (failure) throw cannot_write(file, failure.message());
  return {target, temporary};
}

StagedFile stage_text(const fs::path& file, const std::string& text) {
  static std::atomic<unsigned> count{0};
  std::error_code failure;
  const fs::path target = target_of(file);
  const fs::file_status there = fs::status(target, failure);
  fs::path temporary = target;
  temporary.replace_filename("." + target.filename().string() + "." + std::to_string(::getpid()) + "-" +
                             std::to_string(count++) + ".part");
  StagedFile staged(target, temporary);
  errno = 0;
  std::ofstream out(temporary, std::ios::binary | std::ios::trunc);
  if (!out) throw cannot_write(file, errno != 0 ? std::strerror(errno) : "it cannot be opened");
  out.write(text.data(), static_cast<std::streamsize>(text.size()));
  out.close();
  if (!out) throw cannot_write(file, errno != 0 ? std::strerror(errno) : "the disk took only a part");
  if (fs::exists(there)) fs::permissions(temporary, there.permissions(), failure);
  return staged;
}

void write_text(const fs::path& file, const std::string& text) { stage_text(file, text).commit(); }

}  // namespace solotaxi::io
