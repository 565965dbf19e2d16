// Raw maps drawn in metres for tests.
#pragma once

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "solotaxi/airfield/interpret.hpp"
#include "solotaxi/geo/geodesic.hpp"

namespace solotaxi::test {

using airfield::RawFeature;
using Tags = std::map<std::string, std::string>;
using Points = std::vector<LocalXY>;

class Sketch {
 public:
  explicit Sketch(LatLon origin = LatLon::degrees(-30.5, -20.25)) : frame(origin) { map.file = "sketch"; }

  Sketch& line(const std::string& id, const Points& points, Tags tags) {
    return add(id, RawFeature::Shape::line, points, std::move(tags));
  }
  Sketch& area(const std::string& id, Points points, Tags tags) {
    points.push_back(points.front());
    return add(id, RawFeature::Shape::area, points, std::move(tags));
  }
  Sketch& point(const std::string& id, LocalXY at, Tags tags) {
    return add(id, RawFeature::Shape::point, {at}, std::move(tags));
  }
  Sketch& taxiway(const std::string& id, const Points& points, Tags tags = {}) {
    tags.emplace("aeroway", "taxiway");
    return line(id, points, std::move(tags));
  }
  Sketch& runway(const std::string& id, const Points& points, Tags tags = {}) {
    tags.emplace("aeroway", "runway");
    return line(id, points, std::move(tags));
  }
  /// The least an aerodrome needs: a runway 09/27 of 2 km from the origin and a taxiway beside it.
  Sketch& least() {
    runway("way/1", {{0, 0}, {2000, 0}}, {{"ref", "09/27"}});
    return taxiway("way/2", {{0, 0}, {0, 200}, {2000, 200}, {2000, 0}});
  }
  [[nodiscard]] airfield::Airfield read(const airfield::InterpretOptions& options = {}) const {
    return airfield::interpret(map, options);
  }

  airfield::RawMap map;
  LocalFrame frame;

 private:
  Sketch& add(const std::string& id, RawFeature::Shape shape, const Points& points, Tags tags) {
    RawFeature feature{id, shape, {}, std::move(tags)};
    for (const LocalXY p : points) {
      const LatLon at = frame.to_geodetic(p);
      feature.vertices.push_back({at.lat_deg(), at.lon_deg(), std::nullopt, 0});
    }
    map.features.push_back(std::move(feature));
    return *this;
  }
};

inline std::size_t count(const Findings& findings, const std::string& code) {
  return static_cast<std::size_t>(
      std::count_if(findings.begin(), findings.end(), [&](const Finding& f) { return f.code == code; }));
}

inline bool has(const Findings& findings, const std::string& code, const std::string& id) {
  return std::any_of(findings.begin(), findings.end(), [&](const Finding& f) {
    return f.code == code && (f.where.id == id || f.text.find(id) != std::string::npos);
  });
}

inline double length_m(const std::vector<airfield::Vertex>& line) {
  double sum = 0;
  for (std::size_t i = 1; i < line.size(); ++i) sum += geodesic_length(line[i - 1].at, line[i].at).value();
  return sum;
}

}  // namespace solotaxi::test
