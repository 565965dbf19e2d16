// Reads the tags of one feature as quantities; what cannot be read becomes a finding and no value.
#pragma once

#include "feature.hpp"
#include "solotaxi/airfield/interpret.hpp"

namespace solotaxi::airfield {

class TagReader {
 public:
  TagReader(const Feature& feature, Findings& findings) : feature_(feature), findings_(findings) {}

  /// A length above zero.
  [[nodiscard]] std::optional<Metres> width(const std::string& key) const;
  /// A height, of either sign.
  [[nodiscard]] std::optional<Metres> height(const std::string& key) const;
  [[nodiscard]] std::optional<MetresPerSecond> speed(const std::string& key) const;
  [[nodiscard]] std::optional<Kilograms> mass(const std::string& key) const;
  [[nodiscard]] std::optional<double> grade(const std::string& key) const;
  [[nodiscard]] int layer() const;
  [[nodiscard]] OneWay one_way() const;
  /// closed=yes, a value that says disused, or access=no where the options shut such lines.
  [[nodiscard]] bool closed(const InterpretOptions& options) const;

 private:
  void refused(const std::string& key, Severity severity) const;
  const Feature& feature_;
  Findings& findings_;
};

}  // namespace solotaxi::airfield
