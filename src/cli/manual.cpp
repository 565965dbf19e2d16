#include "manual.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <utility>
#include <vector>

namespace solotaxi::cli {
namespace {

using Entry = std::pair<const char*, const char*>;

constexpr std::array<Entry, 6> kPlaces{{
    {"stand:12", "a parking stand; stand:3#551504298 picks one of several of that name"},
    {"runway:08L", "departure: full length from that end; arrival: landing on that runway, leaving at the best exit"},
    {"runway:08L@A2", "entering, or leaving, at A2"},
    {"hold:A1", "a holding position; one without a name of its own goes by its taxiway's"},
    {"node:57", "a node of the network, as check --out network.gpkg numbers them"},
    {"35.8512,14.4771", "the nearest point of the network within 60 m, latitude first"},
}};

constexpr std::array<Entry, 5> kStatus{{
    {"0", "done"},
    {"1", "a fault of the program itself"},
    {"2", "usage: the command line is wrong"},
    {"3", "data: a file is missing or damaged, or lacks what is asked for or needed"},
    {"4", "no route"},
}};

constexpr const char* kCaution =
    "A planning aid, not for navigation. The operator's procedures, the aircraft flight manual, air traffic control and local "
    "rules decide. Map data may be wrong, out of date or incomplete.";

/// Text as the macros take it: hyphens that are typed, no line that looks like a macro.
std::string escaped(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c == '\\')
      out += "\\e";
    else if (c == '-')
      out += "\\-";
    else if ((c == '.' || c == '\'') && (out.empty() || out.back() == '\n'))
      out += std::string("\\&") + c;
    else
      out += c;
  }
  return out;
}

std::string quoted(std::string text) {
  text = escaped(text);
  for (std::size_t at = 0; (at = text.find('"', at)) != std::string::npos; at += 4) text.replace(at, 1, "\\(dq");
  return '"' + text + '"';
}

std::string upper(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
  return text;
}

std::string heading(const std::string& page, const std::string& about, const std::string& version) {
  return fmt::format(".TH {} 1 \"\" {} \"User Commands\"\n.SH NAME\n{} \\- {}\n", quoted(upper(page)),
                     quoted("solotaxi " + version), escaped(page), escaped(about));
}

std::string entry(const std::string& term, const std::string& about) {
  return fmt::format(".TP\n.B {}\n{}\n", escaped(term), escaped(about));
}

template <class Entries>
std::string section(const char* title, const Entries& entries) {
  std::string out = fmt::format(".SH {}\n", title);
  for (const auto& [term, about] : entries) out += entry(term, about);
  return out;
}

std::string caution() { return fmt::format(".SH CAUTIONS\n{}\n", escaped(kCaution)); }

/// The first letter small: the description stands behind the name.
std::string as_name_line(std::string text) {
  if (text.size() > 1 && !std::isupper(static_cast<unsigned char>(text[1])))
    text[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(text[0])));
  return text;
}

std::vector<const CLI::App*> commands_of(const CLI::App& app) {
  return app.get_subcommands([](const CLI::App*) { return true; });
}

std::string option_entry(const CLI::Option& option) {
  const std::string type = option.get_type_size() == 0 ? "" : option.get_type_name();
  std::string term = ".B " + escaped(option.get_name());
  if (!type.empty()) term = fmt::format(".BI {} {}", quoted(option.get_name() + " "), quoted(type));
  return fmt::format(".TP\n{}\n{}{}\n", term, escaped(option.get_description()), option.get_required() ? " (required)" : "");
}

}  // namespace

std::string program_manual(const CLI::App& app, const std::string& version) {
  std::string out = heading("solotaxi", "one-engine taxi routes from open map data", version);
  out += ".SH SYNOPSIS\n.B solotaxi\n.I COMMAND\n.RI [ OPTION ]...\n.br\n.B solotaxi \\-\\-version\n";
  out += fmt::format(".SH DESCRIPTION\n{}\n",
                     escaped("Turns open map data of an airport into a weighted taxi network and answers how an aircraft with "
                             "an engine left off taxis from here to there: the way, its time and fuel, which parts need every "
                             "engine and why, and where to start or stop the others."));
  out += ".SH COMMANDS\n";
  for (const CLI::App* command : commands_of(app)) out += entry(command->get_name(), command->get_description() + '.');
  out += section("PLACES", kPlaces);
  out += section("EXIT STATUS", kStatus);
  out += caution();
  out += ".SH SEE ALSO\n";
  const auto commands = commands_of(app);
  for (const CLI::App* command : commands)
    out += fmt::format(".BR solotaxi\\-{} (1){}\n", escaped(command->get_name()), command == commands.back() ? "" : ",");
  return out;
}

std::string command_manual(const CLI::App& /*app*/, const CLI::App& command, const std::string& version) {
  const std::string page = "solotaxi-" + command.get_name();
  std::string out = heading(page, as_name_line(command.get_description()), version);
  out += fmt::format(".SH SYNOPSIS\n.B solotaxi {}\n", escaped(command.get_name()));
  for (const CLI::Option* option : command.get_options()) {
    if (option->get_positional())
      out += fmt::format(".I {}\n", escaped(option->get_name()));
    else if (option->get_required())
      out += fmt::format(".BI {} {}\n", quoted(option->get_name() + " "), quoted(option->get_type_name()));
  }
  out += ".RI [ OPTION ]...\n.SH OPTIONS\n";
  for (const CLI::Option* option : command.get_options()) out += option_entry(*option);
  out += section("PLACES", kPlaces);
  out += section("EXIT STATUS", kStatus);
  return out + caution() + ".SH SEE ALSO\n.BR solotaxi (1)\n";
}

}  // namespace solotaxi::cli
