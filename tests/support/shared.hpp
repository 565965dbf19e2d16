// Real fields and reference tables outside the project. Tests that need one begin with
//   const auto file = shared_file("airports/LMML/aeroway.osm"); if (!file) return;
// and are reported as skipped where it is absent.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

namespace solotaxi::test {
/// Path of a file under the shared folder, or nothing after printing "[skipped]".
[[nodiscard]] std::optional<std::filesystem::path> shared_file(const std::string& relative);
}  // namespace solotaxi::test
