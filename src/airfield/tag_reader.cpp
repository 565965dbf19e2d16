#include "tag_reader.hpp"

#include "solotaxi/airfield/tag_value.hpp"

namespace solotaxi::airfield {

void TagReader::refused(const std::string& key, Severity severity) const {
  findings_.push_back(finding_at("tag-not-understood", severity, feature_,
                                 key + "=\"" + feature_.tag(key) + "\" is not understood and left out"));
}

std::optional<Metres> TagReader::width(const std::string& key) const {
  if (feature_.tag(key).empty()) return std::nullopt;
  const auto value = parse_length(feature_.tag(key));
  if (value && value->value() > 0) return value;
  refused(key, Severity::caution);
  return std::nullopt;
}

std::optional<Metres> TagReader::height(const std::string& key) const {
  if (feature_.tag(key).empty()) return std::nullopt;
  const auto value = parse_length(feature_.tag(key));
  // Land lies between the Dead Sea shore and the highest summits.
  if (value && value->value() > -500 && value->value() < 9000) return value;
  refused(key, Severity::caution);
  return std::nullopt;
}

std::optional<MetresPerSecond> TagReader::speed(const std::string& key) const {
  if (feature_.tag(key).empty()) return std::nullopt;
  const auto value = parse_speed(feature_.tag(key));
  if (!value) refused(key, Severity::caution);
  return value;
}

std::optional<Kilograms> TagReader::mass(const std::string& key) const {
  if (feature_.tag(key).empty()) return std::nullopt;
  const auto value = parse_mass(feature_.tag(key));
  if (!value) refused(key, Severity::caution);
  return value;
}

std::optional<double> TagReader::grade(const std::string& key) const {
  if (feature_.tag(key).empty()) return std::nullopt;
  const auto value = parse_grade(feature_.tag(key));
  if (!value) refused(key, Severity::caution);
  return value;
}

int TagReader::layer() const {
  if (feature_.tag("layer").empty()) return 0;
  const auto value = parse_layer(feature_.tag("layer"));
  if (!value) refused("layer", Severity::caution);
  return value.value_or(0);
}

OneWay TagReader::one_way() const {
  const auto value = parse_one_way(feature_.tag("oneway"));
  if (!value) refused("oneway", Severity::caution);
  return value.value_or(OneWay::no);
}

bool TagReader::closed(const InterpretOptions& options) const {
  for (const char* key : {"closed", "disused", "abandoned"})
    if (is_set(feature_.tag(key))) {
      findings_.push_back(finding_at("closed-in-map", Severity::caution, feature_,
                                     std::string(key) + "=" + feature_.tag(key) + ": shut to every aircraft"));
      return true;
    }
  if (feature_.tag("access") == "no") {
    findings_.push_back(finding_at("access-no", Severity::caution, feature_,
                                   options.access_no_is_closed
                                       ? "access=no: shut, as asked"
                                       : "access=no: taken as open, since it often concerns the public only"));
    return options.access_no_is_closed;
  }
  return false;
}

}  // namespace solotaxi::airfield
