// Files written whole or not at all.
//
// A file is first made in full, then written beside its target under a temporary name, and only then takes the target's
// place. Who writes several files stages them all before committing any, so that one that fails costs no other.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

namespace solotaxi::io {

/// A file written under a temporary name beside its target. Vanishes unless it is committed.
class StagedFile {
 public:
  StagedFile(StagedFile&& other) noexcept;
  StagedFile& operator=(StagedFile&&) = delete;
  StagedFile(const StagedFile&) = delete;
  StagedFile& operator=(const StagedFile&) = delete;
  ~StagedFile();
  /// Takes the target's place, replacing a file that is there. Throws Error (data) where it cannot.
  void commit();
  [[nodiscard]] const std::filesystem::path& target() const { return target_; }
  /// Where it is until then; for who adds to it.
  [[nodiscard]] const std::filesystem::path& temporary() const { return temporary_; }
  /// Stays under its temporary name if it is not committed, to be gone on with.
  void keep(bool kept) { kept_ = kept; }

 private:
  friend StagedFile stage_text(const std::filesystem::path& file, const std::string& text);
  friend StagedFile stage_partial(const std::filesystem::path& file, std::uint64_t bytes);
  StagedFile(std::filesystem::path target, std::filesystem::path temporary);
  std::filesystem::path target_, temporary_;
  bool kept_ = false;
};

/// Writes text; an existing file keeps its permissions, and a link is written through. Throws Error (data).
void write_text(const std::filesystem::path& file, const std::string& text);
/// The same up to the last step.
[[nodiscard]] StagedFile stage_text(const std::filesystem::path& file, const std::string& text);
/// Where a file that is written piece by piece is gone on with: its first bytes under the name FILE.partial. Throws Error
/// (data) where so many are not there.
[[nodiscard]] StagedFile stage_partial(const std::filesystem::path& file, std::uint64_t bytes);

}  // namespace solotaxi::io
