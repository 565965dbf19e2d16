// Everything a command gives: first made in full, then written.
#pragma once

#include <iosfwd>
#include <string>
#include <utility>
#include <vector>

#include "options.hpp"
#include "solotaxi/io/vector_writer.hpp"

namespace solotaxi::cli {

/// A file to be written, and the option that names it.
struct NamedOutput {
  std::string option, file;
  std::vector<std::string> endings;  ///< it may have, with the dot
};

/// Checks the names of output files before any work is done: known endings, no file twice, none that is read. Throws Error
/// (usage).
void check_outputs(const std::vector<NamedOutput>& outputs, const std::vector<std::string>& inputs);
/// The same for files of one option, --out.
void check_outputs(const std::vector<std::string>& files, const std::vector<std::string>& endings,
                   const std::vector<std::string>& inputs);

/// Files the field is read from.
[[nodiscard]] std::vector<std::string> inputs_of(const FieldOptions& field);

/// Ending of a file name in small letters, with the dot.
[[nodiscard]] std::string ending_of(const std::string& file);

/// Collects what is to be written; nothing appears under its own name before `release`.
class Outputs {
 public:
  void add_text(const std::string& file, const std::string& text) { staged_.push_back(io::stage_text(file, text)); }
  void add_layers(const std::string& file, const std::vector<io::FeatureLayer>& layers) {
    staged_.push_back(io::stage_layers(file, layers));
  }
  void add(io::StagedFile staged) { staged_.push_back(std::move(staged)); }
  /// Writes the text to standard output, then puts every file in its place. Throws Error (data).
  void release(std::ostream& out, const std::string& text);
  /// Puts every file in its place, without a text. Throws Error (data).
  void release_files();

 private:
  std::vector<io::StagedFile> staged_;
};

}  // namespace solotaxi::cli
