// The program: everything it does is in solotaxi::cli::run.
#include <csignal>
#include <iostream>
#include <string>
#include <vector>

#include "solotaxi/cli/run.hpp"

int main(int argc, char** argv) {
  // A reader that goes away is an error to report and clean up after, not a reason to die on the spot.
  std::signal(SIGPIPE, SIG_IGN);
  std::ios::sync_with_stdio(false);
  const std::vector<std::string> args(argv + (argc > 0 ? 1 : 0), argv + argc);
  return solotaxi::cli::run(args, std::cin, std::cout, std::cerr);
}
