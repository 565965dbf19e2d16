// Conditions of AIXM usages (ConditionCombination) asked of an aeroplane.
#pragma once

#include <optional>
#include <set>
#include <string>

#include "io/truth.hpp"
#include "io/xml.hpp"
#include "solotaxi/base/instant.hpp"

namespace solotaxi::io {

struct Aeroplane {
  double wingspan_m = 0.0, mass_kg = 0.0;
};

/// Whether a `selection` or `subCondition` is met; `unknown` gets what could not be decided, in words.
[[nodiscard]] Truth meets(const XmlElement& condition, const Aeroplane& aeroplane, std::optional<Instant> at,
                          std::set<std::string>& unknown);

/// Wingspans [m] and masses [kg] at which an answer may change, anywhere below an element.
struct Thresholds {
  std::set<double> wingspans_m, masses_kg;
};
void add_thresholds(const XmlElement& element, Thresholds& thresholds);

}  // namespace solotaxi::io
