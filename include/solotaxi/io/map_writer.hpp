// A raw map as a table of features that read_map reads as the same map: from any format that is read to GeoJSON or
// GeoPackage with OpenStreetMap's tag names.
#pragma once

#include <vector>

#include "solotaxi/airfield/raw_map.hpp"
#include "solotaxi/io/vector_writer.hpp"

namespace solotaxi::io {

/// One layer, "map": a column feature_id, one for each tag that is read, and the others packed in other_tags. Heights of
/// vertices are third coordinates. Findings, one for each kind of loss: conversion-heights (a line with heights on some of
/// its vertices only has none any more), conversion-height-tags (heights of `ele` tags count as surveyed ones),
/// conversion-left-out (features without a position). Node ids are not kept: equal positions are one vertex. Throws Error
/// (data) with the feature's id for a position that is none.
[[nodiscard]] FeatureLayer map_layer(const airfield::RawMap& map, Findings& findings);

}  // namespace solotaxi::io
