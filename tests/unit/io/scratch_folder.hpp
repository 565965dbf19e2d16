// A folder of this test process alone, removed when it ends.
#pragma once

#include <cstdlib>
#include <filesystem>
#include <stdexcept>
#include <string>

namespace solotaxi::test {

struct ScratchFolder {
  ScratchFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "solotaxi-test-XXXXXX").string();
    if (!mkdtemp(name.data())) throw std::runtime_error("no folder for test files");
    path = name;
  }
  ~ScratchFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path, ignored);
  }
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  std::filesystem::path path;
};

}  // namespace solotaxi::test
