// The program as a function, so that tests drive it without a process.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

namespace solotaxi::cli {

/// Runs the program on its arguments (without its name). Returns the exit status: 0, or 2 usage, 3 data, 4 no route.
int run(const std::vector<std::string>& args, std::istream& in, std::ostream& out, std::ostream& err);

}  // namespace solotaxi::cli
