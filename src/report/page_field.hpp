// The field as a page's map draws it, quietly, under whatever the map tells. SVG in metres of the field's plane, y
// downward, north up; lines keep their width on the screen, marks their size ("mk": the script scales them anew). Not
// public.
#pragma once

#include <algorithm>
#include <cmath>
#include <set>
#include <string>
#include <vector>

#include "solotaxi/network/network.hpp"

namespace solotaxi::report {

/// Part of the map's plane.
struct MapBox {
  double left = HUGE_VAL, top = HUGE_VAL, right = -HUGE_VAL, bottom = -HUGE_VAL;
  void add(LocalXY p);
  [[nodiscard]] bool meets(const MapBox& other) const;
  [[nodiscard]] bool holds(LocalXY p) const;
  [[nodiscard]] MapBox wider(double by) const { return {left - by, top - by, right + by, bottom + by}; }
  /// With room about it for signs.
  [[nodiscard]] MapBox framed() const;
  [[nodiscard]] double larger() const { return std::max(right - left, bottom - top); }
  /// Metres a pixel before the script has seen the screen: 1,000 px wide, 520 px high.
  [[nodiscard]] double scale() const { return std::max((right - left) / 1000.0, (bottom - top) / 520.0); }
  /// Value of a viewBox.
  [[nodiscard]] std::string view() const;
};

/// "x y" in the map's plane.
[[nodiscard]] std::string map_coordinate(LocalXY p);
/// "M…L…" of a line simplified to so much; "" where it has no two points.
[[nodiscard]] std::string map_path(const std::vector<LocalXY>& line, double tolerance_m);
/// Value of a mark's transform.
[[nodiscard]] std::string map_placed(LocalXY p, double scale);

/// Runway pavement, bridges and centrelines that meet the box.
[[nodiscard]] std::string map_field(const network::Network& network, const MapBox& around);
/// A label's mark, so many pixels above its place; "" for no text. `style`: "own", "rwy", "other", "stand".
[[nodiscard]] std::string map_label(LocalXY at, double scale, const std::string& style, const std::string& text,
                                    int above = 0);
/// Labels of runway ends, taxiways (but those of `told` already) and stands inside the box; those of stands so many pixels
/// above them.
[[nodiscard]] std::string map_labels(const network::Network& network, const MapBox& around, double scale,
                                     const std::set<std::string>& told, int above_stand = 0);

}  // namespace solotaxi::report
