// GML geometry of AIXM: points, curves and surfaces as rows of WGS 84 vertices.
#pragma once

#include <string>
#include <vector>

#include "io/xml.hpp"
#include "solotaxi/airfield/raw_map.hpp"

namespace solotaxi::io {

/// Geometry below an element; rows of vertices without heights.
struct AixmGeometry {
  airfield::RawFeature::Shape shape = airfield::RawFeature::Shape::point;
  std::vector<std::vector<airfield::RawVertex>> parts;  ///< a point each, curves, outer rings (closed)
  bool curved = false;     ///< splines, or arcs given by points, are in it: these points are taken
  bool has_holes = false;  ///< inner rings, left out
};

/// The geometry of a property such as extent or location, in degrees. The order of the coordinates is the reference
/// system's: EPSG 4326 (as URN, URL or with its prefix) latitude first, CRS84 longitude first. Circles and arcs by their
/// centre become chords. Third coordinates and elevations beside the geometry (ElevatedPoint, ElevatedCurve;
/// metres or feet) become heights. Throws Error (data) with the line for a coordinate that is no number, an odd count of
/// them, a missing or another reference system.
[[nodiscard]] AixmGeometry aixm_geometry(const XmlElement& property, const std::string& file);

}  // namespace solotaxi::io
