// The program as a function, so that tests drive it without a process.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

namespace solotaxi::cli {

/// Runs the program on its arguments (without its name). Results go to `out` and the files named by --out; a failure gives
/// one line on `err`, "solotaxi: file:line: feature: message (hint)", and no file. Returns the exit status: 0, or 2 usage,
/// 3 data, 4 no route (1 would be a fault of the program itself). `in` is not read by the commands there are.
int run(const std::vector<std::string>& args, std::istream& in, std::ostream& out, std::ostream& err);

}  // namespace solotaxi::cli
