#include "option_kinds.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <sstream>

namespace solotaxi::cli {

CLI::Validator between(double least, double most, const std::string& unit) {
  return CLI::Validator(
      [=](std::string& text) -> std::string {
        double value = 0.0;
        const char* first = text.data() + (text.starts_with('+') ? 1 : 0);
        const auto [end, fault] = std::from_chars(first, text.data() + text.size(), value);
        const std::string range = fmt::format("{} to {} {}", least, most, unit);
        if (fault != std::errc{} || end != text.data() + text.size())
          return fmt::format("\"{}\" is no number; allowed are {}", text, range);
        if (!(value >= least && value <= most)) return fmt::format("{} is out of range {}", text, range);
        return {};
      },
      "");
}

CLI::Validator whole(std::uint64_t least, std::uint64_t most) {
  return CLI::Validator(
      [=](std::string& text) -> std::string {
        std::uint64_t value = 0;
        const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
        const std::string range = fmt::format("{} to {}", least, most);
        if (fault != std::errc{} || end != text.data() + text.size())
          return fmt::format("\"{}\" is no whole number from {}", text, range);
        if (value < least || value > most) return fmt::format("{} is out of range {}", text, range);
        return {};
      },
      "");
}

CLI::Validator one_of(const std::vector<std::string>& words) {
  return CLI::Validator(
      [=](std::string& text) -> std::string {
        if (std::find(words.begin(), words.end(), text) != words.end()) return {};
        return fmt::format("\"{}\" is not one of {}", text, fmt::join(words, ", "));
      },
      "", fmt::format("{}", fmt::join(words, "|")));
}

std::vector<std::string> words_of(const CLI::Option& option) {
  const CLI::Validator* validator = nullptr;
  try {
    validator = const_cast<CLI::Option&>(option).get_validator(0);  // CLI11 has it for options that may be changed alone
  } catch (const CLI::OptionNotFound&) {
    return {};
  }
  std::vector<std::string> words;
  std::istringstream names(validator->get_name());
  for (std::string word; std::getline(names, word, '|');) words.push_back(word);
  return words;
}

CLI::Option* repeated(CLI::App& command, const std::string& name, std::vector<std::string>& values,
                      const std::string& about) {
  return command.add_option(name, values, about)
      ->allow_extra_args(false)
      ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
}

CLI::Option* add_air(CLI::App& command, QuestionOptions& options) {
  command.add_option("--oat", options.oat_c, "outside air temperature, -60 to 60 °C (15)")
      ->check(between(-60, 60, "°C"))
      ->type_name("C");
  return command.add_option("--qnh", options.qnh_hpa, "QNH, 850 to 1090 hPa (1013.25)")
      ->check(between(850, 1090, "hPa"))
      ->type_name("HPA");
}

void add_ground(CLI::App& command, QuestionOptions& options) {
  command.add_option("--surface", options.surface, "dry, wet or contaminated (dry)")
      ->check(one_of({"dry", "wet", "contaminated"}))
      ->type_name("WORD");
  command
      .add_option("--unknown-grade", options.unknown_grade_pct,
                  "uphill grade that verdicts assume where none is known, 0 to 7.5 % (3)")
      ->check(between(0, 7.5, "%"))
      ->type_name("PCT");
}

}  // namespace solotaxi::cli
