#include "support/shared.hpp"

#include <iostream>

namespace solotaxi::test {

std::optional<std::filesystem::path> shared_file(const std::string& relative) {
  std::filesystem::path file = std::filesystem::path(SOLOTAXI_SHARED) / relative;
  if (std::filesystem::exists(file)) return file;
  std::cout << "[skipped] " << relative << " is not here\n";
  return std::nullopt;
}

}  // namespace solotaxi::test
