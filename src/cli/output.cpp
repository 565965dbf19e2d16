#include "output.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <ostream>
#include <set>
#include <system_error>

#include "solotaxi/base/error.hpp"

namespace solotaxi::cli {

std::string ending_of(const std::string& file) {
  std::string ending = std::filesystem::path(file).extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  return ending;
}

std::vector<std::string> inputs_of(const FieldOptions& field) {
  std::vector<std::string> files = field.dems;
  files.insert(files.end(), field.surveys.begin(), field.surveys.end());
  files.insert(files.end(), field.notams.begin(), field.notams.end());
  files.push_back(field.map);
  if (field.mapping) files.push_back(*field.mapping);
  return files;
}

void check_outputs(const std::vector<NamedOutput>& outputs, const std::vector<std::string>& inputs) {
  const auto place = [](const std::string& file) {
    std::error_code ignored;
    return std::filesystem::weakly_canonical(std::filesystem::absolute(file, ignored), ignored);
  };
  std::set<std::filesystem::path> read, written;
  for (const std::string& file : inputs) read.insert(place(file));
  for (const auto& [option, file, endings] : outputs) {
    if (std::find(endings.begin(), endings.end(), ending_of(file)) == endings.end())
      throw Error(ErrorClass::usage, "no format is known by this ending", {file, {}, option},
                  fmt::format("this {} writes {}", option == "--out" ? "command" : "option", fmt::join(endings, ", ")));
    if (read.contains(place(file)))
      throw Error(ErrorClass::usage, "is an input and would be overwritten", {file, {}, option}, "choose another name");
    if (!written.insert(place(file)).second)
      throw Error(ErrorClass::usage, "is named twice", {file, {}, option}, "name each output once");
  }
}

void check_outputs(const std::vector<std::string>& files, const std::vector<std::string>& endings,
                   const std::vector<std::string>& inputs) {
  std::vector<NamedOutput> outputs;
  for (const std::string& file : files) outputs.push_back({"--out", file, endings});
  check_outputs(outputs, inputs);
}

void Outputs::release(std::ostream& out, const std::string& text) {
  out << text << std::flush;
  if (!out) throw data_error("standard output cannot be written", {}, "no file was written either");
  release_files();
}

void Outputs::release_files() {
  for (io::StagedFile& file : staged_) file.commit();
  staged_.clear();
}

}  // namespace solotaxi::cli
