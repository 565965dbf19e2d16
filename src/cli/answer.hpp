// A command line answered with a network from wherever the caller has it; `run` (solotaxi/cli/run.hpp) is this with errors told.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "field.hpp"

namespace solotaxi::cli {

/// `args` without the program's name. Throws Error; nothing is written then. `progress`: where a long run tells how far it is,
/// or nothing.
void answer(const std::vector<std::string>& args, const Loader& load, std::ostream& out, std::ostream* progress);

/// What the arguments MAP [OPTION]... tell of a field. Throws Error (usage) as `check` does.
[[nodiscard]] FieldOptions field_options(const std::vector<std::string>& args);

}  // namespace solotaxi::cli
