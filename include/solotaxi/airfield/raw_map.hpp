// A map as a reader found it: features with tags, nothing believed yet.
//
// Readers (io/map_file.hpp) fill this; airfield/interpret.hpp turns it into an Airfield. Tag names are OpenStreetMap's
// (aeroway, ref, name, ele, width, ...); readers of other schemas translate theirs first.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "solotaxi/base/finding.hpp"

namespace solotaxi::airfield {

/// An unchecked vertex; lat and lon may be NaN or out of range.
struct RawVertex {
  double lat_deg = 0.0;
  double lon_deg = 0.0;
  std::optional<double> height_m;  ///< third coordinate or `ele` of the node
  std::int64_t ref = 0;            ///< id of the shared node where the format has one (OSM), else 0
  bool height_is_tag = false;      ///< the height is an `ele` tag, not a third coordinate
};

struct RawFeature {
  enum class Shape { point, line, area };
  std::string id;  ///< "way/15921616", "node/…", "relation/…"; other formats "layer/fid"
  Shape shape = Shape::line;
  /// point: one; line: in order, a closed ring repeats its first vertex; area: the outer ring, closed.
  std::vector<RawVertex> vertices;
  std::map<std::string, std::string> tags;

  /// Value of a tag or "".
  [[nodiscard]] const std::string& tag(const std::string& key) const;
};

struct RawMap {
  std::string file;
  std::vector<RawFeature> features;
  Findings findings;  ///< what the reader repaired or could not take
};

}  // namespace solotaxi::airfield
