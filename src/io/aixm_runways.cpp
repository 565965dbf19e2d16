#include "io/aixm_runways.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace solotaxi::io {
namespace {

using airfield::RawVertex;
using Shape = airfield::RawFeature::Shape;

/// Centreline points this near are one, surveyed for two directions [m]; assumed.
constexpr double kSamePoint_m = 0.5;
/// Heights of one point this far apart disagree [m]: the accuracy runway elevations are published to.
constexpr double kSameHeight_m = 0.25;
/// A centreline point this far off the line between the outermost two is none of this runway [m]; assumed.
constexpr double kOffAxis_m = 10.0;

struct Point {
  RawVertex vertex;
  LocalXY xy;
  double at_m = 0.0;
  const AixmEntry* entry = nullptr;
};

class Runways {
 public:
  Runways(AixmModel& model, airfield::RawMap& map) : model_(model), map_(map) {}

  std::vector<airfield::PlanarLine> run() {
    for (const AixmEntry& runway : model_.all("Runway")) add(runway);
    return std::move(lines_);
  }

 private:
  void add(const AixmEntry& runway) {
    const std::string name = runway.slice->value("designator");
    const auto ends = directions(runway);
    const bool other = runway.slice->value("type") == "FATO";
    // Asked even where the runway is of no use, so that NOTAMs about it are told of.
    airfield::RawFeature feature{runway.id(), Shape::line, {}, {{"aeroway", "runway"}, {"ref", name}}};
    shut(ends, feature);
    if (other) {
      model_.add_finding("aixm-runway-not-for-aeroplanes", Severity::note, runway.id(),
                         name + " is a final approach and take-off area for helicopters, left out");
      return;
    }
    if (const auto width = model_.metres(runway, *runway.slice, "nominalWidth"))
      feature.tags["width"] = fmt::format("{:.6g}", *width);
    if (runway.slice->value("abandoned") == "YES") feature.tags["closed"] = "abandoned";
    std::vector<Point> points = centreline(ends);
    if (points.size() < 2) {
      model_.add_finding("aixm-runway-without-points", Severity::serious, runway.id(),
                         "runway " + name + " has fewer than two centreline points, left out");
      return;
    }
    for (const Point& p : in_order(runway, points)) feature.vertices.push_back(p.vertex);
    lines_.push_back(model_.plane(feature.vertices));
    map_.features.push_back(std::move(feature));
    add_thresholds(ends);
  }

  std::vector<const AixmEntry*> directions(const AixmEntry& runway) const {
    std::vector<const AixmEntry*> found;
    for (const AixmEntry& direction : model_.all("RunwayDirection"))
      for (const std::string& uuid : links_of(*direction.slice, "usedRunway"))
        if (uuid == runway.feature->uuid) found.push_back(&direction);
    return found;
  }

  /// Both ends closed close the runway; anything less shuts take-offs or landings that way. A limit by wingspan or mass
  /// shuts, as the aircraft is not known here.
  void shut(const std::vector<const AixmEntry*>& ends, airfield::RawFeature& feature) {
    std::size_t closed = 0;
    std::string no_take_off, no_landing;
    for (const AixmEntry* end : ends) {
      const std::string designator = end->slice->value("designator");
      const Availability& off = model_.availability(*end, Operation::take_off, "take-off on runway " + designator);
      const Availability& on = model_.availability(*end, Operation::landing, "landing on runway " + designator);
      const auto whole = [](const Availability& a) {
        return std::find(a.reasons.begin(), a.reasons.end(), "closed") != a.reasons.end();
      };
      if (whole(off) && whole(on)) ++closed;
      const auto list = [&](std::string& to, bool limits) {
        if (limits) to += (to.empty() ? "" : ";") + designator;
      };
      list(no_take_off, off.limits());
      list(no_landing, on.limits());
    }
    if (!ends.empty() && closed == ends.size()) {
      feature.tags["closed"] = "yes";
      return;
    }
    if (!no_take_off.empty()) feature.tags["no_take_off"] = no_take_off;
    if (!no_landing.empty()) feature.tags["no_landing"] = no_landing;
  }

  std::optional<Point> point_of(const AixmEntry& entry) {
    const AixmGeometry g = model_.geometry(entry, "location");
    if (g.parts.empty()) {
      model_.add_finding("aixm-without-geometry", Severity::caution, entry.id(), "has no location, left out");
      return std::nullopt;
    }
    Point p;
    p.vertex = g.parts.front().front();
    p.xy = model_.plane({p.vertex}).front();
    p.entry = &entry;
    return p;
  }

  std::vector<Point> centreline(const std::vector<const AixmEntry*>& ends) {
    std::vector<Point> points;
    for (const AixmEntry& entry : model_.all("RunwayCentrelinePoint"))
      for (const std::string& uuid : links_of(*entry.slice, "onRunway"))
        if (std::any_of(ends.begin(), ends.end(), [&](const AixmEntry* e) { return e->feature->uuid == uuid; }))
          if (auto p = point_of(entry)) points.push_back(std::move(*p));
    return points;
  }

  /// Along the line between the two outermost points, one for each place.
  std::vector<Point> in_order(const AixmEntry& runway, std::vector<Point> points) {
    std::pair<std::size_t, std::size_t> outer{0, 1};
    double longest = -1.0;
    for (std::size_t i = 0; i < points.size(); ++i)
      for (std::size_t j = i + 1; j < points.size(); ++j)
        if (const double d = distance_m(points[i].xy, points[j].xy); d > longest) {
          longest = d;
          outer = {i, j};
        }
    const LocalXY from = points[outer.first].xy, along = (points[outer.second].xy - from) * (1.0 / std::max(longest, 1e-9));
    for (Point& p : points) p.at_m = (p.xy - from).x_m * along.x_m + (p.xy - from).y_m * along.y_m;
    std::stable_sort(points.begin(), points.end(), [](const Point& a, const Point& b) { return a.at_m < b.at_m; });
    std::vector<Point> line;
    for (const Point& p : points) {
      const LocalXY off = p.xy - from;
      if (std::abs(off.x_m * along.y_m - off.y_m * along.x_m) > kOffAxis_m) {
        model_.add_finding("aixm-point-off-runway", Severity::caution, p.entry->id(),
                           "a centreline point lies beside its runway, left out");
        continue;
      }
      if (line.empty() || distance_m(line.back().xy, p.xy) > kSamePoint_m) {
        line.push_back(p);
        continue;
      }
      auto& kept = line.back().vertex.height_m;
      if (!kept) kept = p.vertex.height_m;
      if (kept && p.vertex.height_m && std::abs(*kept - *p.vertex.height_m) > kSameHeight_m)
        model_.add_finding(
            "aixm-heights-disagree", Severity::caution, p.entry->id(),
            fmt::format("{:.2f} m here, {:.2f} m by {}, which lies at the same place of runway {}; the latter "
                        "is used",
                        *p.vertex.height_m, *kept, line.back().entry->id(), runway.slice->value("designator")));
    }
    return line;
  }

  void add_thresholds(const std::vector<const AixmEntry*>& ends) {
    for (const AixmEntry& entry : model_.all("RunwayCentrelinePoint")) {
      if (entry.slice->value("role") != "DISTHR") continue;
      for (const AixmEntry* end : ends)
        for (const std::string& uuid : links_of(*entry.slice, "onRunway"))
          if (uuid == end->feature->uuid)
            if (const auto p = point_of(entry))
              map_.features.push_back({entry.id(),
                                       Shape::point,
                                       {p->vertex},
                                       {{"aeroway", "threshold"}, {"ref", end->slice->value("designator")}}});
    }
  }

  AixmModel& model_;
  airfield::RawMap& map_;
  std::vector<airfield::PlanarLine> lines_;
};

}  // namespace

std::vector<airfield::PlanarLine> add_aixm_runways(AixmModel& model, airfield::RawMap& map) {
  return Runways(model, map).run();
}

}  // namespace solotaxi::io
