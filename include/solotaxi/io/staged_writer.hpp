// A large text file written piece by piece beside its target, to take the target's place at the end.
#pragma once

#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>

#include "solotaxi/io/vector_writer.hpp"

namespace solotaxi::io {

class StagedWriter {
 public:
  /// Throws Error (data) where the file cannot be written.
  explicit StagedWriter(const std::filesystem::path& file);
  /// What is to be written next is appended here; `pass_on` writes it once enough has gathered.
  [[nodiscard]] std::string& text() { return text_; }
  /// Throws Error (data) where the disk does not take it.
  void pass_on() {
    if (text_.size() >= kPiece) write();
  }
  /// Everything is written; the file appears with the result's commit.
  [[nodiscard]] StagedFile finish();

 private:
  static constexpr std::size_t kPiece = std::size_t{1} << 18U;
  struct Closer {
    void operator()(std::FILE* f) const { std::fclose(f); }
  };
  void write();
  StagedFile staged_;
  std::unique_ptr<std::FILE, Closer> file_;
  std::string text_;
};

/// A whole number of 10^-decimals as text: (-12345, 3) is "-12.345".
void append_fixed(std::string& to, std::int64_t value, int decimals);

}  // namespace solotaxi::io
