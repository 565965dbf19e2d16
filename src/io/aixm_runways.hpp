// Runways of AIXM: a line through the surveyed centreline points of both directions.
#pragma once

#include "io/aixm_model.hpp"

namespace solotaxi::io {

/// Adds runways and displaced thresholds to the map; returns the runways' lines in the model's plane.
std::vector<airfield::PlanarLine> add_aixm_runways(AixmModel& model, airfield::RawMap& map);

}  // namespace solotaxi::io
