// Reading maps: OSM XML and PBF through libosmium, every vector format of GDAL in any CRS through GDAL.
//
// Files ending .osm, .osm.gz, .osm.bz2, .pbf, or whose content says so, are OpenStreetMap files; everything else goes to
// GDAL, where a layer must have an aeroway attribute (by itself, packed in other_tags, or by the mapping) and a coordinate
// reference system.
//
// Findings of reading, by code:
//   curve-as-chords          a true curve taken as short straight pieces
//   features-not-aeroway, layer-not-read   what a vector file holds beside the aerodrome
//   format-warning           a warning of the format's driver
//   geometry-not-read, several-parts       geometries that are no single point, line or polygon
//   heights-all-zero         third coordinates that are all 0 count as none
//   mapping-unused, mapping-value-unknown  the mapping names what the map has not, or not all values
//   node-without-position, object-lost     too little of an object is in the file
//   object-repeated          the same id more than once; the newest version counts
//   packed-tags-damaged      a column of packed tags that cannot be taken apart
//   relation-incomplete, relation-without-area
//   tag-not-understood       a node's ele that cannot be read
//   text-not-utf8            read as ISO 8859-1
//   way-clipped              nodes of a way are not in the file: it is cut there
#pragma once

#include <filesystem>
#include <optional>

#include "solotaxi/airfield/raw_map.hpp"

namespace solotaxi::io {

/// Reads a map file into raw features with OpenStreetMap's tag names. `mapping` is a TOML file that gives attribute names
/// of another schema (data/mapping/example.toml explains its sections). Files need not be sorted; missing nodes, duplicate
/// objects and features it cannot take become findings. Throws Error (data) naming the file for one that is missing or
/// damaged.
[[nodiscard]] airfield::RawMap read_map(const std::filesystem::path& file,
                                        const std::optional<std::filesystem::path>& mapping = std::nullopt);

}  // namespace solotaxi::io
