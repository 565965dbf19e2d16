// What this program was built of.
#pragma once

#include <string>

namespace solotaxi::cli {

/// "0.1.0"
[[nodiscard]] std::string project_version();

/// Version and revision, kind of build and compiler, versions of the libraries: those that are loaded, of header-only ones
/// those it was compiled with. Lines of "what: value" under "solotaxi 0.1.0".
[[nodiscard]] std::string build_facts();

}  // namespace solotaxi::cli
