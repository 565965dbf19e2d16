#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "manual.hpp"
#include "option_kinds.hpp"
#include "solotaxi/io/aircraft_file.hpp"

namespace solotaxi::cli {
namespace {

constexpr const char* kPlaceKinds = "stand: runway: hold: node:";

/// What may follow an option: words to choose from; nothing: a file name.
std::string values_of(const CLI::Option& option) {
  if (const std::vector<std::string> words = words_of(option); !words.empty()) return fmt::format("{}", fmt::join(words, " "));
  if (option.get_type_name().starts_with("PLACE")) return kPlaceKinds;
  if (option.get_type_name() == "FILE|NAME") return fmt::format("{}", fmt::join(io::aircraft_names(), " "));
  return {};
}

// Readline breaks words at ":", so what stands before it there is taken off the candidates again.
constexpr std::string_view kTail = R"(  COMPREPLY=($(compgen -W "$words" -- "$current"))
  if [[ $files ]]; then
    compopt -o filenames 2>/dev/null
    while IFS= read -r found; do COMPREPLY+=("$found"); done < <(compgen -f -- "$current")
  fi
  if [[ ${#COMPREPLY[@]} -eq 1 && ${COMPREPLY[0]} == *: ]]; then compopt -o nospace 2>/dev/null; fi
}
complete -F _solotaxi solotaxi
)";

}  // namespace

std::string bash_completion(const CLI::App& app) {
  const auto commands = app.get_subcommands([](const CLI::App*) { return true; });
  std::vector<std::string> names{"--help", "--version"};
  for (const CLI::App* command : commands) names.push_back(command->get_name());
  std::string out = fmt::format(
      "# Completion of solotaxi in bash, made from its options.\n"
      "_solotaxi() {{\n"
      "  local current=${{COMP_WORDS[COMP_CWORD]}} previous=${{COMP_WORDS[COMP_CWORD - 1]}} words= files= found\n"
      "  COMPREPLY=()\n"
      "  if [[ $current == : || $previous == : ]]; then return; fi  # behind the kind of a place\n"
      "  if ((COMP_CWORD == 1)); then\n"
      "    words=\"{}\"\n"
      "  else\n"
      "    case ${{COMP_WORDS[1]}} in\n",
      fmt::join(names, " "));
  for (const CLI::App* command : commands) {
    std::string options, values;
    for (const CLI::Option* option : command->get_options()) {
      if (!option->nonpositional()) continue;
      const std::string name = "--" + option->get_lnames().front();
      options += (options.empty() ? "" : " ") + name;
      if (option->get_type_size() == 0) continue;  // takes nothing
      const std::string words = values_of(*option);
      const bool file = words.empty() || option->get_type_name() == "FILE|NAME";
      values += fmt::format("          {}) {}{};;\n", name, words.empty() ? "" : fmt::format("words=\"{}\" ", words),
                            file ? "files=1 " : "");
    }
    out += fmt::format(
        "      {})\n        case $previous in\n{}"
        "          *) if [[ $current == -* ]]; then words=\"{}\"; else files=1; fi ;;\n        esac ;;\n",
        command->get_name(), values, options);
  }
  return out + "    esac\n  fi\n" + std::string(kTail);
}

}  // namespace solotaxi::cli
