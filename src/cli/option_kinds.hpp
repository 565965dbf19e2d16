// What options of several commands are made of.
#pragma once

#include <CLI/CLI.hpp>
#include <cstdint>
#include <string>
#include <vector>

#include "options.hpp"

namespace solotaxi::cli {

/// A number from least to most, named with its unit where it is not.
[[nodiscard]] CLI::Validator between(double least, double most, const std::string& unit);
/// A whole number from least to most.
[[nodiscard]] CLI::Validator whole(std::uint64_t least, std::uint64_t most);
[[nodiscard]] CLI::Validator one_of(const std::vector<std::string>& words);
/// The words an option made with `one_of` may have; none of another.
[[nodiscard]] std::vector<std::string> words_of(const CLI::Option& option);
/// An option that may be given several times, each time with one value.
CLI::Option* repeated(CLI::App& command, const std::string& name, std::vector<std::string>& values,
                      const std::string& about);

/// --oat and --qnh; the latter is returned.
CLI::Option* add_air(CLI::App& command, QuestionOptions& options);
/// --surface and --unknown-grade
void add_ground(CLI::App& command, QuestionOptions& options);

/// The command estimate.
void add_estimate(CLI::App& app, EstimateOptions& options);
/// The command merge.
void add_merge(CLI::App& app, MergeOptions& options);

}  // namespace solotaxi::cli
