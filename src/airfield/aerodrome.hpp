// The aerodrome a map is about, and which features are its own (several aerodromes in one file, rule 13 of real maps).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "feature.hpp"
#include "solotaxi/airfield/interpret.hpp"

namespace solotaxi::airfield {

struct Aerodrome {
  std::vector<const Feature*> features;  ///< one, or several of the same aerodrome (its node and its area)
  std::string name, ident;
};

/// Every aerodrome of the map, in order of the map. Heliports, disused aerodromes and those of another kind of craft are
/// left out with a finding.
[[nodiscard]] std::vector<Aerodrome> find_aerodromes(const std::vector<Feature>& features, Findings& findings);

/// The one asked for, or the only one; nothing where the map has none (a finding). Throws Error (data) where several are
/// there and none is asked for, or the one asked for is not among them.
[[nodiscard]] std::optional<std::size_t> choose_aerodrome(const std::vector<Aerodrome>& aerodromes,
                                                          const std::optional<std::string>& asked, Findings& findings);

/// The features that belong to the chosen aerodrome: with a vertex inside its area; not inside another's area and nearest
/// to it, within 2 km of its area or 6 km of its point. What lies beyond is left out with a finding.
[[nodiscard]] std::vector<const Feature*> features_of(const std::vector<Feature>& features,
                                                      const std::vector<Aerodrome>& aerodromes, std::size_t chosen,
                                                      Findings& findings);

}  // namespace solotaxi::airfield
