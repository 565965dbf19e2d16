// A large text file written piece by piece beside its target, to take the target's place at the end.
#pragma once

#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>

#include "solotaxi/io/staged_file.hpp"

namespace solotaxi::io {

class StagedWriter {
 public:
  /// Throws Error (data) where the file cannot be written.
  explicit StagedWriter(const std::filesystem::path& file);
  /// Goes on behind the first bytes of a file that stays if it is not finished (stage_partial).
  StagedWriter(const std::filesystem::path& file, std::uint64_t bytes);
  /// Throws Error (data) where the disk does not take it. Unbuffered: give it a good deal at a time.
  void write(std::string_view text);
  /// Written so far.
  [[nodiscard]] std::uint64_t bytes() const { return bytes_; }
  /// Whether it stays, if it is not finished, to be gone on with.
  void keep(bool kept) { staged_.keep(kept); }
  /// Everything is written; the file appears with the result's commit.
  [[nodiscard]] StagedFile finish();

 private:
  struct Closer {
    void operator()(std::FILE* f) const { std::fclose(f); }
  };
  void open(const std::filesystem::path& file);
  StagedFile staged_;
  std::unique_ptr<std::FILE, Closer> file_;
  std::uint64_t bytes_ = 0;
};

/// A whole number of 10^-decimals as text: (-12345, 3) is "-12.345".
void append_fixed(std::string& to, std::int64_t value, int decimals);

}  // namespace solotaxi::io
