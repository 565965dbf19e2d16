// Makes the demo field: data/demo/field.geojson and data/demo/elevation.tif.
//
//   make_demo_field FOLDER
//
// Everything here is invented: name, designators, layout and ground. The field lies in the open South Atlantic, far from
// any aerodrome. The same program gives the same bytes, so a test can tell whether the files in data/demo are its own.
#include <gdal_priv.h>
#include <ogr_spatialref.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <map>
#include <nlohmann/json.hpp>
#include <random>
#include <string>
#include <vector>

#include "solotaxi/geo/geodesic.hpp"

namespace {

using solotaxi::LocalXY;
using Json = nlohmann::ordered_json;
using Tags = std::map<std::string, std::string>;

constexpr double kOriginLat = -31.2, kOriginLon = -24.6;

// ---- the ground -----------------------------------------------------------------------------------------------------

double smooth_step(double t) {
  t = std::min(1.0, std::max(0.0, t));
  return t * t * (3.0 - 2.0 * t);
}

/// Level of the pavement [m]: a gentle plain, an apron that slopes 1.2 % up to the north, a western rise of about 1.2 %.
double pavement_level(double x, double y) {
  double z = 14.0 + 0.0008 * x;
  if (x > 1750) z += 0.012 * std::min(std::max(y - 520.0, 0.0), 420.0);
  if (x < 1400) z += 6.0 * smooth_step((y - 800.0) / 750.0);
  return z;
}

constexpr double kBridgeX = 2400.0, kDeckFrom = 330.0, kDeckTo = 390.0, kRamp = 120.0, kRampGrade = 0.02;

/// Height of taxiway K, which climbs a ramp of 2 % on each side of its bridge over a sunken road [m].
double bridge_taxiway_level(double y) {
  const double base = pavement_level(kBridgeX, std::min(y, kDeckFrom));
  const double top = kRamp * kRampGrade;
  if (y < kDeckFrom - kRamp || y > kDeckTo + kRamp) return base;
  if (y < kDeckFrom) return base + (y - (kDeckFrom - kRamp)) * kRampGrade;
  if (y > kDeckTo) return base + top - (y - kDeckTo) * kRampGrade;
  return base + top;
}

/// What a satellite would see: the pavement, the ramps' embankment, and the cutting of the road under the bridge.
double terrain(double x, double y) {
  if (y > kDeckFrom + 5 && y < kDeckTo - 5 && x > 1900 && x < 2900) return pavement_level(x, y) - 5.0;
  if (std::abs(x - kBridgeX) < 45.0 && y > kDeckFrom - kRamp && y < kDeckTo + kRamp) return bridge_taxiway_level(y);
  return pavement_level(x, y);
}

// ---- the drawing ----------------------------------------------------------------------------------------------------

struct Line {
  Tags tags;
  std::vector<LocalXY> points;
  bool surveyed = false;  // carries heights
};
struct Point {
  Tags tags;
  LocalXY at;
};

double distance_to_leg(LocalXY p, LocalXY a, LocalXY b) {
  const LocalXY ab = b - a, ap = p - a;
  const double len2 = ab.x_m * ab.x_m + ab.y_m * ab.y_m;
  const double t = std::min(1.0, std::max(0.0, (ap.x_m * ab.x_m + ap.y_m * ab.y_m) / len2));
  return solotaxi::distance_m(p, a + ab * t);
}

/// A polyline through the corners with each inner one rounded to the radius, in chords of about 6 degrees.
std::vector<LocalXY> rounded(const std::vector<LocalXY>& corners, double radius) {
  std::vector<LocalXY> out{corners.front()};
  const auto append = [&out](LocalXY p) {
    if (solotaxi::distance_m(out.back(), p) > 0.05) out.push_back(p);
  };
  for (std::size_t i = 1; i + 1 < corners.size(); ++i) {
    const double h1 = solotaxi::heading(corners[i - 1], corners[i]).value();
    const double turn = solotaxi::deflection(solotaxi::Radians{h1}, solotaxi::heading(corners[i], corners[i + 1])).value();
    const double tangent = radius * std::tan(std::abs(turn) / 2);
    const LocalXY along{std::sin(h1), std::cos(h1)};
    const double side = turn > 0 ? 1.0 : -1.0;
    const LocalXY start = corners[i] - along * tangent;
    const LocalXY centre = start + LocalXY{along.y_m, -along.x_m} * (side * radius);
    const int chords = std::max(2, static_cast<int>(std::ceil(std::abs(turn) / 0.105)));
    for (int k = 0; k <= chords; ++k) {
      const double h = h1 + turn * k / chords;
      append(centre + LocalXY{-std::cos(h), std::sin(h)} * (side * radius));
    }
  }
  append(corners.back());
  return out;
}

class Drawing {
 public:
  void line(const std::string& aeroway, const std::string& ref, std::vector<LocalXY> points, Tags more = {}, bool surveyed = false) {
    more["aeroway"] = aeroway;
    if (!ref.empty()) more["ref"] = ref;
    lines_.push_back({std::move(more), std::move(points), surveyed});
  }
  void taxiway(const std::string& ref, std::vector<LocalXY> points, Tags more = {}) { line("taxiway", ref, std::move(points), std::move(more)); }
  void taxilane(const std::string& ref, std::vector<LocalXY> points) { line("taxilane", ref, std::move(points)); }
  void stand(const std::string& ref, LocalXY on_lane, LocalXY stop) { line("parking_position", ref, {on_lane, stop}); }
  void hold(const std::string& ref, LocalXY at) {
    points_.push_back({{{"aeroway", "holding_position"}, {"holding_position:type", "runway"}, {"ref", ref}}, at});
  }

  /// Where a line ends on another, or a holding position lies on one, both get a vertex there.
  void share_vertices() {
    std::vector<LocalXY> wanted;
    for (const Line& l : lines_) wanted.insert(wanted.end(), {l.points.front(), l.points.back()});
    for (const Point& p : points_) wanted.push_back(p.at);
    for (Line& l : lines_)
      for (const LocalXY& w : wanted) insert_vertex(l.points, w);
  }

  [[nodiscard]] Json geojson(const solotaxi::LocalFrame& frame) const {
    Json features = Json::array();
    int id = 0;
    const auto position = [&](LocalXY p, bool with_height) {
      const solotaxi::LatLon at = frame.to_geodetic(p);
      Json c = {std::round(at.lon_deg() * 1e8) / 1e8, std::round(at.lat_deg() * 1e8) / 1e8};
      if (with_height) c.push_back(std::round(bridge_taxiway_level(p.y_m) * 100) / 100);
      return c;
    };
    const auto add = [&](const Tags& tags, Json geometry) {
      Json properties = {{"id", "demo/" + std::to_string(++id)}};
      for (const auto& [k, v] : tags) properties[k] = v;
      features.push_back({{"type", "Feature"}, {"properties", std::move(properties)}, {"geometry", std::move(geometry)}});
    };
    Json ring = Json::array();
    for (const LocalXY p : {LocalXY{-400, -300}, {3500, -300}, {3500, 1200}, {1400, 2000}, {-400, 2000}, {-400, -300}})
      ring.push_back(position(p, false));
    add({{"aeroway", "aerodrome"}, {"name", "Tarrow Bank"}, {"icao", "XQTB"}, {"ele", "14"}},
        {{"type", "Polygon"}, {"coordinates", Json::array({ring})}});
    for (const Line& l : lines_) {
      Json coordinates = Json::array();
      for (const LocalXY& p : l.points) coordinates.push_back(position(p, l.surveyed));
      add(l.tags, {{"type", "LineString"}, {"coordinates", std::move(coordinates)}});
    }
    for (const Point& p : points_) add(p.tags, {{"type", "Point"}, {"coordinates", position(p.at, false)}});
    return {{"type", "FeatureCollection"}, {"features", std::move(features)}};
  }

 private:
  static void insert_vertex(std::vector<LocalXY>& line, LocalXY p) {
    for (const LocalXY& v : line)
      if (solotaxi::distance_m(v, p) < 0.05) return;
    for (std::size_t i = 1; i < line.size(); ++i)
      if (distance_to_leg(p, line[i - 1], line[i]) < 0.05) {
        line.insert(line.begin() + static_cast<std::ptrdiff_t>(i), p);
        return;
      }
  }
  std::vector<Line> lines_;
  std::vector<Point> points_;
};

LocalXY along(LocalXY from, double heading_deg, double way) {
  const double h = heading_deg * std::numbers::pi / 180;
  return from + LocalXY{std::sin(h), std::cos(h)} * way;
}

void draw_runways(Drawing& d) {
  d.line("runway", "09/27", {{0, 0}, {2800, 0}}, {{"width", "45"}, {"surface", "asphalt"}});
  d.line("runway", "09/27", {{2800, 0}, {3000, 0}}, {{"width", "45"}, {"surface", "asphalt"}, {"runway", "displaced_threshold"}});
  const LocalXY north_west{600, 1700};
  d.line("runway", "14/32", {north_west, along(north_west, 140, 1800)}, {{"width", "30"}, {"surface", "asphalt"}});
}

/// Parallel taxiway A with its entries and exits, and the ways to the second runway.
void draw_taxiways(Drawing& d) {
  const Tags wide = {{"width", "23"}};
  d.taxiway("A", {{55, 180}, {2945, 180}}, wide);
  d.taxiway("A1", rounded({{55, 180}, {0, 180}, {0, 0}}, 55), wide);
  d.taxiway("A2", {{260, 180}, {260, 0}}, wide);
  d.taxiway("C", {{1500, 180}, {1500, 0}}, wide);
  d.taxiway("A8", {{2740, 180}, {2740, 0}}, wide);
  d.taxiway("A9", rounded({{2945, 180}, {3000, 180}, {3000, 0}}, 55), wide);
  // Rapid exits: 30 degrees off the centreline on a wide curve.
  d.taxiway("B", rounded({{1700, 0}, {1847.37, 0}, {2159.14, 180}}, 550), {{"oneway", "yes"}});
  d.taxiway("D", rounded({{1150, 0}, {1002.63, 0}, {690.86, 180}}, 550), {{"oneway", "yes"}});
  d.hold("A1", {0, 90});
  d.hold("A2", {260, 90});
  d.hold("C1", {1500, 90});
  d.hold("A8", {2740, 90});
  d.hold("A9", {3000, 90});

  // K climbs over the sunken road; E goes round at grade.
  std::vector<LocalXY> south, deck, north;
  for (double y = 180; y <= kDeckFrom; y += 30) south.push_back({kBridgeX, y});
  deck = {{kBridgeX, kDeckFrom}, {kBridgeX, kDeckTo}};
  for (double y = kDeckTo; y <= 510; y += 30) north.push_back({kBridgeX, y});
  d.line("taxiway", "K", south, wide, true);
  d.line("taxiway", "K", deck, {{"width", "23"}, {"bridge", "yes"}, {"layer", "1"}}, true);
  d.line("taxiway", "K", north, wide, true);
  d.taxiway("K", {{kBridgeX, 510}, {kBridgeX, 600}}, wide);
  d.taxiway("E", rounded({{1850, 180}, {1850, 600}, {1900, 600}}, 40), wide);
  d.taxiway("E", rounded({{1770, 180}, {1850, 180}, {1850, 260}}, 80));
  d.taxiway("F", rounded({{2945, 180}, {3080, 180}, {3080, 600}, {2950, 600}}, 60), wide);

  // Second runway: P to its south-east end, G across it, J along it up the western rise to its north-west end.
  const LocalXY north_west{600, 1700}, south_east = along(north_west, 140, 1800);
  const LocalXY p_hold = {south_east.x_m, 231};
  d.taxiway("P", {{south_east.x_m, 180}, p_hold, south_east}, {{"width", "18"}});
  d.hold("P1", p_hold);
  const double g_x = 600 + (1700 - 800) * std::tan(40 * std::numbers::pi / 180);  // where y = 800 meets the runway
  d.taxiway("G", {{1900, 800}, {g_x + 120, 800}, {g_x, 800}, {g_x - 120, 800}, {300, 800}}, wide);
  d.hold("G2", {g_x + 120, 800});
  d.hold("G1", {g_x - 120, 800});
  d.taxiway("G", rounded({{360, 800}, {300, 800}, {300, 860}}, 60));
  d.taxiway("H", {{300, 180}, {300, 800}}, wide);
  d.taxiway("H", rounded({{300, 740}, {300, 800}, {360, 800}}, 60));
  d.taxiway("J", rounded({{300, 800}, {300, 1000}, {440, 1200}, {440, 1565}, {600, 1700}}, 45), {{"width", "18"}});
  const LocalXY j_hold = along({440, 1565}, solotaxi::heading({440, 1565}, north_west).in_degrees(), 95);
  d.hold("J1", j_hold);
}

/// The main apron, sloping up to the north, and a small one in the west: 43 stands.
void draw_aprons(Drawing& d) {
  d.taxilane("M", {{1900, 600}, {2950, 600}});
  d.taxilane("N", {{1900, 800}, {2928, 800}});
  d.taxilane("Q", rounded({{1900, 600}, {1900, 800}}, 40));
  d.taxilane("R", {{2415, 600}, {2415, 800}});
  d.taxilane("S", rounded({{2928, 600}, {2950, 600}, {2950, 800}, {2928, 800}}, 22));
  int ref = 1;
  for (int i = 0; i < 12; ++i, ++ref) {
    const double x = 1960 + i * 80 + (i > 5 ? 30 : 0);
    d.stand(std::to_string(ref), {x, 600}, {x, 650});
  }
  for (int i = 0; i < 12; ++i) {
    const double x = 1960 + i * 80 + (i > 5 ? 30 : 0);
    d.stand(std::to_string(21 + i), {x, 800}, {x, 750});
  }
  for (int i = 0; i < 14; ++i) {
    const double x = 1940 + i * 72;
    d.stand(std::to_string(41 + i), {x, 800}, {x, 852});
  }
  d.taxilane("W", rounded({{300, 460}, {140, 460}, {140, 740}, {300, 740}}, 25));
  for (int i = 0; i < 5; ++i) {
    const double y = 510 + i * 45.0;
    d.stand("W" + std::to_string(i + 1), {140, y}, {100, y});
  }
}

// ---- the raster -----------------------------------------------------------------------------------------------------

/// Standard normal numbers by Box and Muller, the same with every standard library.
class Normal {
 public:
  double operator()() {
    const double u = (static_cast<double>(engine_()) + 1.0) / 4294967297.0, v = static_cast<double>(engine_()) / 4294967296.0;
    return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * v);
  }

 private:
  std::mt19937 engine_{1};
};

/// 1 arc second pixels of terrain with noise as open rasters have: 0.5 m from pixel to pixel and 0.7 m over about 100 m.
void write_raster(const std::filesystem::path& file, const solotaxi::LocalFrame& frame) {
  constexpr double kPixel = 1.0 / 3600.0;
  constexpr int kWidth = 160, kHeight = 96;
  const double west = kOriginLon - 18 * kPixel, north = kOriginLat + 74 * kPixel;
  Normal normal;
  std::vector<double> white(static_cast<std::size_t>(kWidth + 6) * (kHeight + 6));
  for (double& w : white) w = normal();
  std::vector<float> z(static_cast<std::size_t>(kWidth) * kHeight);
  for (int r = 0; r < kHeight; ++r)
    for (int c = 0; c < kWidth; ++c) {
      double sum = 0, squares = 0;
      for (int i = -3; i <= 3; ++i)
        for (int j = -3; j <= 3; ++j) {
          const double w = std::exp(-(i * i + j * j) / 4.0);
          sum += w * white[static_cast<std::size_t>((r + i + 3) * (kWidth + 6) + c + j + 3)];
          squares += w * w;
        }
      const LocalXY p = frame.to_local(solotaxi::LatLon::degrees(north - (r + 0.5) * kPixel, west + (c + 0.5) * kPixel));
      const double noisy = terrain(p.x_m, p.y_m) + 0.7 * sum / std::sqrt(squares) + 0.5 * normal();
      z[static_cast<std::size_t>(r * kWidth + c)] = static_cast<float>(std::round(noisy * 100) / 100);
    }
  GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GTiff");
  char** create = CSLSetNameValue(nullptr, "COMPRESS", "DEFLATE");
  GDALDatasetUniquePtr out(driver->Create(file.c_str(), kWidth, kHeight, 1, GDT_Float32, create));
  CSLDestroy(create);
  if (!out) throw std::runtime_error("cannot write " + file.string());
  double transform[6] = {west, kPixel, 0, north, 0, -kPixel};
  OGRSpatialReference wgs84;
  wgs84.importFromEPSG(4326);
  out->SetGeoTransform(transform);
  out->SetSpatialRef(&wgs84);
  GDALRasterBand* band = out->GetRasterBand(1);
  band->SetNoDataValue(-9999);
  band->SetUnitType("m");
  if (band->RasterIO(GF_Write, 0, 0, kWidth, kHeight, z.data(), kWidth, kHeight, GDT_Float32, 0, 0) != CE_None)
    throw std::runtime_error("cannot write " + file.string());
}

}  // namespace

int main(int argc, char** argv) try {
  if (argc != 2) {
    std::cerr << "usage: make_demo_field FOLDER\n";
    return 2;
  }
  const std::filesystem::path folder = argv[1];
  std::filesystem::create_directories(folder);
  GDALAllRegister();
  const solotaxi::LocalFrame frame(solotaxi::LatLon::degrees(kOriginLat, kOriginLon));
  Drawing drawing;
  draw_runways(drawing);
  draw_taxiways(drawing);
  draw_aprons(drawing);
  drawing.share_vertices();
  const Json field = drawing.geojson(frame);
  std::ofstream out(folder / "field.geojson");
  out << "{\"type\":\"FeatureCollection\",\"features\":[\n";
  const char* separator = "";
  for (const auto& feature : field["features"]) {
    out << separator << feature.dump();
    separator = ",\n";
  }
  out << "\n]}\n";
  write_raster(folder / "elevation.tif", frame);
  return out ? 0 : 3;
} catch (const std::exception& e) {
  std::cerr << "make_demo_field: " << e.what() << '\n';
  return 3;
}
