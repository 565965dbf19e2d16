// The one error of a file that cannot be written.
#pragma once

#include <filesystem>
#include <string>

#include "solotaxi/base/error.hpp"

namespace solotaxi::io::detail {

inline Error cannot_write(const std::filesystem::path& file, const std::string& why) {
  return data_error("cannot be written: " + why, {file.string(), {}, {}}, "nothing was written there");
}

}  // namespace solotaxi::io::detail
