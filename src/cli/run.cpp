#include "solotaxi/cli/run.hpp"

#include <cpl_error.h>
#include <fmt/format.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <iostream>
#include <memory>
#include <new>
#include <ostream>
#include <sstream>

#include "answer.hpp"
#include "build_facts.hpp"
#include "commands.hpp"
#include "options.hpp"
#include "report/text_layout.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::cli {
namespace {

/// GDAL and PROJ say what is wrong through our errors, not on the terminal.
class QuietLibraries {
 public:
  QuietLibraries() : before_(CPLSetErrorHandler(CPLQuietErrorHandler)) {}
  ~QuietLibraries() { CPLSetErrorHandler(before_); }
  QuietLibraries(const QuietLibraries&) = delete;
  QuietLibraries& operator=(const QuietLibraries&) = delete;

 private:
  CPLErrorHandler before_;
};

std::vector<std::string> command_names(const CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; }))
    names.push_back(command->get_name());
  return names;
}

/// Reads the arguments; true where there is a command to run, false where help or the version was asked for and given.
bool parse(CLI::App& app, const std::vector<std::string>& args, std::ostream& out) {
  const std::vector<std::string> names = command_names(app);
  const std::string hint = fmt::format("commands: {}; solotaxi --help", fmt::join(names, ", "));
  if (args.empty()) throw usage_error("a command is missing", hint);
  if (!args.front().starts_with('-') && std::find(names.begin(), names.end(), args.front()) == names.end())
    throw usage_error(fmt::format("\"{}\" is no command", args.front()), hint);
  std::vector<std::string> reversed(args.rbegin(), args.rend());  // as CLI11 takes them
  try {
    app.parse(std::move(reversed));
    return true;
  } catch (const CLI::CallForHelp&) {
    out << app.help() << std::flush;
  } catch (const CLI::CallForVersion&) {
    out << app.version() << '\n' << std::flush;
  } catch (const CLI::ParseError& error) {
    const std::string command = app.get_subcommands().empty() ? "" : " " + app.get_subcommands().front()->get_name();
    std::string message = error.what();
    constexpr std::string_view kMany = ": At Most 1 required but received ";
    if (const auto at = message.find(kMany); at != std::string::npos)
      message =
          fmt::format("{}: is given {} times; once is meant", message.substr(0, at), message.substr(at + kMany.size()));
    throw usage_error(message, fmt::format("solotaxi{} --help lists the options", command));
  }
  if (!out) throw data_error("standard output cannot be written");
  return false;
}

/// Runs what was parsed.
void dispatch(const CLI::App& app, const Options& options, const Loader& load, std::ostream& out, std::ostream* progress) {
  if (app.got_subcommand("check"))
    check_command(options.check, load, out);
  else if (app.got_subcommand("route"))
    route_command(options.route, load, out);
  else if (app.got_subcommand("plan"))
    plan_command(options.plan, load, out);
  else if (app.got_subcommand("estimate"))
    estimate_command(options.estimate, out, progress);
  else if (app.got_subcommand("merge"))
    merge_command(options.merge, out);
  else if (app.got_subcommand("convert"))
    convert_command(options.convert, out);
  else if (app.got_subcommand("preview"))
    preview_command(options.preview, load, out);
  else
    screen_command(options.screen, load, out);
}

int fail(std::ostream& err, int status, const std::string& line) {
  err << "solotaxi: " << report::printable(line) << '\n' << std::flush;
  return status;
}

}  // namespace

void answer(const std::vector<std::string>& args, const Loader& load, std::ostream& out, std::ostream* progress) {
  Options options;
  const auto app = define_options(options, build_facts());
  if (parse(*app, args, out)) dispatch(*app, options, load, out, progress);
}

FieldOptions field_options(const std::vector<std::string>& args) {
  Options options;
  const auto app = define_options(options, "");
  std::vector<std::string> check{"check"};
  check.insert(check.end(), args.begin(), args.end());
  std::ostringstream help;
  if (!parse(*app, check, help)) throw usage_error("help is no part of a field");
  return options.check.field;
}

int run(const std::vector<std::string>& args, std::istream& /*in*/, std::ostream& out, std::ostream& err) {
  constexpr int kInternalFault = 1, kSignalled = 128;  // the latter as shells tell it
  const QuietLibraries quiet;
  try {
    answer(args, [](const FieldOptions& field) { return std::make_shared<const network::Network>(load_network(field)); }, out,
           err.rdbuf() == std::cerr.rdbuf() && ::isatty(STDERR_FILENO) ? &err : nullptr);
    return 0;
  } catch (const Stopped& stopped) {
    return fail(err, kSignalled + stopped.signal, stopped.message);
  } catch (const Error& error) {
    return fail(err, static_cast<int>(error.error_class()), error.one_line());
  } catch (const std::filesystem::filesystem_error& error) {
    return fail(err, static_cast<int>(ErrorClass::data),
                fmt::format("{}: {}", error.path1().string(), error.code().message()));
  } catch (const std::bad_alloc&) {
    return fail(err, static_cast<int>(ErrorClass::data), "there is not enough memory for this map");
  } catch (const std::exception&) {
    // Not the user's fault; what() would mean nothing to them.
    return fail(err, kInternalFault, "stopped by a fault of its own; please report it with the map and the command line");
  }
}

}  // namespace solotaxi::cli
