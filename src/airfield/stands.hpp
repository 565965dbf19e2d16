// Stands, gates and holding positions (rules 9 and 10 of real maps).
#pragma once

#include <vector>

#include "feature.hpp"
#include "solotaxi/airfield/interpret.hpp"

namespace solotaxi::airfield {

/// Adds a stand for every parking position given as point or area, after those of stand lines are in `field`; gates only
/// where there is no stand at all.
void add_stands(Airfield& field, const std::vector<const Feature*>& parking, const std::vector<const Feature*>& gates,
                const InterpretOptions& options);

/// Tells every stand the name of the apron it lies on; of several that hold it the smallest. Needs the field's frame.
void name_aprons(Airfield& field, const std::vector<const Feature*>& aprons);

void add_holding_positions(Airfield& field, const std::vector<const Feature*>& holding);

/// `ref`, else `name`; blanks and control characters within are one blank, at its ends none.
[[nodiscard]] std::string name_of(const Feature& feature);

}  // namespace solotaxi::airfield
