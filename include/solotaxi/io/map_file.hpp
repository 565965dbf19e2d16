// Reading maps: OSM XML and PBF through libosmium, AIXM 5.1 messages and folders of them, every vector format of GDAL in
// any CRS through GDAL.
//
// Files ending .osm, .osm.gz, .osm.bz2, .pbf, or whose content says so, are OpenStreetMap files; XML with the root
// AIXMBasicMessage, and folders that hold such files, are AIXM; everything else goes to GDAL, where a layer must have an
// aeroway attribute (by itself, packed in other_tags, or by the mapping) and a coordinate reference system.
//
// Findings of reading, by code:
//   aixm-heights-disagree    two centreline points of one place
//   aixm-hole-left-out       of an area
//   aixm-line-by-name        a guidance line linked to no taxiway is taken as one of its name
//   aixm-line-on-runway      the marking of a runway, left out
//   aixm-link-missing        a link to a feature that is not in the data
//   aixm-not-read, aixm-not-valid, aixm-without-geometry   features without use, not valid at the time, without a place
//   aixm-permanent-change-not-applied, aixm-temporary-change-in-map   time slices that are no baselines
//   aixm-point-off-runway, aixm-runway-without-points, aixm-runway-not-for-aeroplanes
//   aixm-status, aixm-value-not-understood
//   aixm-taxiway-without-line   serious where a NOTAM is about it
//   curve-as-chords          a true curve taken as short straight pieces
//   features-not-aeroway, layer-not-read   what a vector file holds beside the aerodrome
//   format-warning           a warning of the format's driver
//   geometry-not-read, several-parts       geometries that are no single point, line or polygon
//   heights-all-zero         third coordinates that are all 0 count as none
//   mapping-unused, mapping-value-unknown  the mapping names what the map has not, or not all values
//   notam-applied (serious), notam-without-effect, notam-not-in-force, notam-not-applied (serious)   one for each NOTAM
//   node-without-position, object-lost     too little of an object is in the file
//   object-repeated          the same id more than once; the newest version counts
//   packed-tags-damaged      a column of packed tags that cannot be taken apart
//   relation-incomplete, relation-without-area
//   time-not-used            the format knows no times of validity
//   tag-not-understood       a node's ele that cannot be read
//   text-not-utf8            read as ISO 8859-1
//   way-clipped              nodes of a way are not in the file: it is cut there
#pragma once

#include <filesystem>
#include <optional>
#include <vector>

#include "solotaxi/airfield/raw_map.hpp"
#include "solotaxi/base/instant.hpp"

namespace solotaxi::io {

struct MapOptions {
  /// TOML file that gives attribute names of another schema (data/mapping/example.toml explains its sections).
  std::optional<std::filesystem::path> mapping = {};
  /// AIXM: what is valid then; without it the latest baselines are read.
  std::optional<Instant> at = {};
  /// Digital NOTAMs (AIXM 5.1 messages with events and TEMPDELTA time slices) to apply; `at` is then needed.
  std::vector<std::filesystem::path> notams = {};
};

/// Reads a map file into raw features with OpenStreetMap's tag names. Files need not be sorted; missing nodes, duplicate
/// objects and features it cannot take become findings. Throws Error (data) naming the file for one that is missing or
/// damaged (XML: with the line), and Error (usage) for NOTAMs without a time.
[[nodiscard]] airfield::RawMap read_map(const std::filesystem::path& file, const MapOptions& options = {});

/// What is to be said of a time and NOTAMs where the format can use neither: each NOTAM is told as not applied. Reads them;
/// throws as read_map does.
[[nodiscard]] Findings unused_time_findings(const MapOptions& options);

}  // namespace solotaxi::io
