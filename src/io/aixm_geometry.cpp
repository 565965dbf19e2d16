#include "io/aixm_geometry.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>

#include "io/aixm_message.hpp"
#include "solotaxi/airfield/tag_value.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/geo/geodesic.hpp"

namespace solotaxi::io {
namespace {

using airfield::RawVertex;
using Shape = airfield::RawFeature::Shape;

constexpr double kChord_deg = 5.0;           ///< of a circle: under 0.1 % of its radius off
constexpr double kWidestRadius_m = 10000.0;  ///< wider than any aerodrome

enum class AxisOrder { lat_lon, lon_lat };

class Geometry {
 public:
  explicit Geometry(const std::string& file) : file_(file) {}

  AixmGeometry run(const XmlElement& property) {
    for (const XmlElement& child : property.children) visit(child, std::nullopt, 2, std::nullopt);
    return std::move(out_);
  }

 private:
  [[noreturn]] void refuse(const XmlElement& at, const std::string& message, const std::string& hint = {}) const {
    throw data_error(message, Where{file_, at.line, at.name}, hint);
  }

  [[nodiscard]] AxisOrder order_of(const XmlElement& element, const std::string& name) const {
    if (name.find("CRS84") != std::string::npos) return AxisOrder::lon_lat;
    for (const char* latitude_first :
         {"EPSG::4326", "EPSG:4326", "EPSG/0/4326", "epsg.xml#4326", "EPSG::4979", "EPSG/0/4979"})
      if (name.ends_with(latitude_first)) return AxisOrder::lat_lon;
    refuse(element, "coordinates in \"" + name + "\" are not read",
           "aeronautical data is in WGS 84: urn:ogc:def:crs:EPSG::4326 or urn:ogc:def:crs:OGC:1.3:CRS84");
  }

  std::vector<RawVertex> positions(const XmlElement& element, std::optional<AxisOrder> order, int dimension,
                                   std::optional<double> height) const {
    if (!order)
      refuse(element, "coordinates without a reference system", "the geometry must have an srsName such as EPSG 4326");
    std::vector<double> numbers;
    const char *at = element.text.data(), *end = at + element.text.size();
    while (at != end) {
      while (at != end && (*at == ' ' || *at == '\n' || *at == '\t' || *at == '\r' || *at == ',')) ++at;
      if (at == end) break;
      double value = 0.0;
      const auto [next, fault] = std::from_chars(at + (*at == '+' ? 1 : 0), end, value);
      const bool ends_well = next == end || *next == ' ' || *next == '\n' || *next == '\t' || *next == '\r' || *next == ',';
      if (fault != std::errc{} || !std::isfinite(value) || !ends_well)
        refuse(element, "\"" + std::string(at, std::min(end, at + 20)) + "\" is no coordinate");
      numbers.push_back(value);
      at = next;
    }
    const auto step = static_cast<std::size_t>(dimension);
    if (numbers.empty() || numbers.size() % step != 0)
      refuse(element, "a position lacks a coordinate: " + std::to_string(numbers.size()) + " numbers for positions of " +
                          std::to_string(dimension));
    std::vector<RawVertex> row;
    for (std::size_t i = 0; i < numbers.size(); i += step) {
      RawVertex v;
      v.lat_deg = numbers[i + (*order == AxisOrder::lat_lon ? 0 : 1)];
      v.lon_deg = numbers[i + (*order == AxisOrder::lat_lon ? 1 : 0)];
      if (std::abs(v.lat_deg) > 90 || std::abs(v.lon_deg) > 180)
        refuse(element,
               "a coordinate is out of range: latitude " + std::to_string(v.lat_deg) + ", longitude " +
                   std::to_string(v.lon_deg),
               "check the reference system: EPSG 4326 has latitude first, CRS84 longitude first");
      v.height_m = dimension == 3 ? std::optional(numbers[i + 2]) : height;
      row.push_back(v);
    }
    return row;
  }

  /// Goes on with the curve or ring that is open, or begins a part.
  void add_row(std::vector<RawVertex> row, bool goes_on) {
    if (goes_on && open_ && out_.shape != Shape::point && !out_.parts.empty()) {
      auto& last = out_.parts.back();
      const bool repeats = last.back().lat_deg == row.front().lat_deg && last.back().lon_deg == row.front().lon_deg;
      last.insert(last.end(), row.begin() + (repeats ? 1 : 0), row.end());
    } else {
      out_.parts.push_back(std::move(row));
    }
    open_ = true;
  }

  /// A circle, or an arc clockwise from its start angle to its end angle (from north), as chords of 5 degrees at most.
  std::vector<RawVertex> around(const XmlElement& e, std::optional<AxisOrder> order, int dimension,
                                std::optional<double> height) const {
    const XmlElement *centre = e.find("pos"), *radius = e.child("radius");
    if (centre == nullptr || radius == nullptr) refuse(e, "a circle or arc lacks its centre or radius");
    const RawVertex middle = positions(*centre, order, dimension, height).front();
    const auto number = [&](const XmlElement& of) {
      const auto value = airfield::parse_number(of.text);
      if (!value) refuse(of, "\"" + of.text + "\" is no number");
      return *value;
    };
    const std::string& unit = radius->attribute("uom");
    const double scale = unit == "m" || unit == "M" || unit.empty()         ? 1.0
                         : unit == "km" || unit == "KM"                     ? 1000.0
                         : unit == "[nmi_i]" || unit == "NM"                ? 1852.0
                         : unit == "ft" || unit == "[ft_i]" || unit == "FT" ? 0.3048
                                                                            : 0.0;
    const double metres = number(*radius) * scale;
    if (!(metres > 0.0 && metres < kWidestRadius_m))
      refuse(*radius, "a radius of " + radius->text + " " + unit + " is not read");
    const XmlElement *from = e.child("startAngle"), *to = e.child("endAngle");
    double start = 0.0, sweep = 360.0;
    if (from != nullptr && to != nullptr) {
      start = number(*from);
      sweep = std::fmod(number(*to) - start, 360.0);
      if (sweep <= 0.0) sweep += 360.0;
    }
    const int parts = std::max(1, static_cast<int>(std::ceil(sweep / kChord_deg)));
    std::vector<RawVertex> row;
    for (int i = 0; i <= parts; ++i) {
      const LatLon at = destination(LatLon::degrees(middle.lat_deg, middle.lon_deg),
                                    Radians::degrees(start + sweep * i / parts), Metres{metres});
      RawVertex v = middle;
      v.lat_deg = at.lat_deg();
      v.lon_deg = at.lon_deg();
      row.push_back(v);
    }
    if (from == nullptr) row.back() = row.front();
    return row;
  }

  void visit(const XmlElement& e, std::optional<AxisOrder> order, int dimension, std::optional<double> height) {
    if (const std::string& name = e.attribute("srsName"); !name.empty()) order = order_of(e, name);
    if (e.attribute("srsDimension") == "3") dimension = 3;
    if (e.attribute("srsDimension") == "2") dimension = 2;
    if (e.name == "ElevatedPoint" || e.name == "ElevatedCurve") {
      std::string refused;
      height = metres_of(e, "elevation", refused);
    }
    if (e.name == "exterior" || e.name == "Ring" || e.name == "LinearRing") out_.shape = Shape::area;
    if (e.name == "interior") {
      out_.has_holes = true;
      return;
    }
    const bool curve = e.name == "Curve" || e.name == "ElevatedCurve" || e.name == "LineString";
    if (curve && out_.shape == Shape::point) out_.shape = Shape::line;
    if (e.name == "CircleByCenterPoint" || e.name == "ArcByCenterPoint") {
      add_row(around(e, order, dimension, height), true);
      return;
    }
    if (e.name.starts_with("Arc") || e.name.starts_with("Circle") || e.name.ends_with("Spline") || e.name == "Bezier")
      out_.curved = true;
    if (e.name == "pos" || e.name == "posList") {
      add_row(positions(e, order, dimension, height), e.name == "pos" || joining_);
      return;
    }
    // The segments of one curve, and the curves of one ring, are one row.
    const bool whole = e.name == "Ring" || e.name == "LinearRing" || (curve && !joining_);
    if (whole) {
      open_ = false;
      joining_ = true;
    }
    for (const XmlElement& child : e.children) visit(child, order, dimension, height);
    if (!whole) return;
    joining_ = open_ = false;
    auto& row = out_.parts;
    if (out_.shape == Shape::area && !row.empty() &&
        (row.back().front().lat_deg != row.back().back().lat_deg ||
         row.back().front().lon_deg != row.back().back().lon_deg))
      row.back().push_back(row.back().front());
  }

  const std::string& file_;
  AixmGeometry out_;
  bool joining_ = false;  ///< inside a ring or curve
  bool open_ = false;     ///< the last part may be gone on with
};

}  // namespace

AixmGeometry aixm_geometry(const XmlElement& property, const std::string& file) { return Geometry(file).run(property); }

}  // namespace solotaxi::io
