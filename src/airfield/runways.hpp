// Whole runways from the pieces, rings and areas a map draws them as (rule 6 of real maps).
#pragma once

#include <vector>

#include "feature.hpp"
#include "solotaxi/airfield/interpret.hpp"

namespace solotaxi::airfield {

/// `features`: everything tagged as runway, lines and areas. `thresholds`: points tagged as landing thresholds.
[[nodiscard]] std::vector<Runway> assemble_runways(const std::vector<const Feature*>& features,
                                                   const std::vector<const Feature*>& thresholds,
                                                   const InterpretOptions& options, Findings& findings);

}  // namespace solotaxi::airfield
