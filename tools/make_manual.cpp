// Writes the manual pages and the shell completion into a folder: make_manual FOLDER
#include <CLI/CLI.hpp>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <string>

#include "cli/build_facts.hpp"
#include "cli/manual.hpp"
#include "cli/options.hpp"

namespace {

namespace cli = solotaxi::cli;

bool write(const std::filesystem::path& file, const std::string& text) {
  std::ofstream out(file, std::ios::binary);
  out << text << std::flush;
  if (!out) std::cerr << "make_manual: " << file.string() << " cannot be written\n";
  return static_cast<bool>(out);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "usage: make_manual FOLDER\n";
    return 2;
  }
  const std::filesystem::path folder = argv[1];
  std::filesystem::create_directories(folder);
  cli::Options options;
  const auto app = cli::define_options(options, "");
  const std::string version = cli::project_version();
  bool done = write(folder / "solotaxi.1", cli::program_manual(*app, version));
  for (const CLI::App* command : app->get_subcommands([](const CLI::App*) { return true; }))
    done &= write(folder / ("solotaxi-" + command->get_name() + ".1"), cli::command_manual(*app, *command, version));
  done &= write(folder / "solotaxi.bash", cli::bash_completion(*app));
  return done ? 0 : 3;
}
