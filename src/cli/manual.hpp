// Manual pages and shell completion, made from the one definition of the command line (options.hpp).
#pragma once

#include <string>

namespace CLI {
class App;
}

namespace solotaxi::cli {

/// The page of the program, in the man(7) macros: what it is for, its commands, places, exit status, cautions.
[[nodiscard]] std::string program_manual(const CLI::App& app, const std::string& version);
/// The page of one of its commands, with every option.
[[nodiscard]] std::string command_manual(const CLI::App& app, const CLI::App& command, const std::string& version);

/// A bash script that completes commands, options, the words an option may be, built-in aircraft, the kinds of places, and
/// file names.
[[nodiscard]] std::string bash_completion(const CLI::App& app);

}  // namespace solotaxi::cli
