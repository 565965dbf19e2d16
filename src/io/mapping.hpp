// Schema mapping files: attribute names and values of another schema in terms of the tags we read.
#pragma once

#include <filesystem>
#include <map>
#include <set>
#include <string>

#include "solotaxi/base/finding.hpp"

namespace solotaxi::io {

using Tags = std::map<std::string, std::string>;

class Mapping {
 public:
  Mapping() = default;
  /// Throws Error (data) with file and line for a file that is missing or damaged, and for an unknown key, tag or type.
  explicit Mapping(const std::filesystem::path& file);

  /// Renames attributes, translates values, adds units and what the layer's name says. Attributes not renamed stay.
  [[nodiscard]] Tags apply(Tags attributes, const std::string& layer) const;
  /// The layer a feature counts to: its own word for it where the mapping names such an attribute, else `layer`.
  [[nodiscard]] std::string layer_of(const Tags& attributes, const std::string& layer) const;
  /// The attribute that says so, or "".
  [[nodiscard]] const std::string& layer_attribute() const { return layer_attribute_; }
  /// Whether an attribute of this name may say what a feature is.
  [[nodiscard]] bool names_kind(std::string_view attribute) const;
  /// Whether every feature of the layer has an `aeroway` tag by the layer's name.
  [[nodiscard]] bool layer_has_kind(const std::string& layer) const;
  /// Attributes and layers of the mapping the map did not have, values that no table translates.
  [[nodiscard]] Findings findings() const;

 private:
  std::map<std::string, std::string> rename_;
  std::map<std::string, std::map<std::string, std::string>> values_;
  std::map<std::string, Tags> layers_;     ///< by layer_key
  std::map<std::string, Tags> rename_in_;  ///< by layer_key: attribute → tag
  std::map<std::string, Tags> kinds_in_;   ///< by layer_key: value of aeroway → value
  Tags units_;                             ///< by tag
  std::string layer_attribute_, layer_prefix_;
  [[nodiscard]] std::string layer_key(std::string layer) const;
  mutable std::set<std::string> used_;
  mutable std::set<std::pair<std::string, std::string>> untranslated_;
};

}  // namespace solotaxi::io
