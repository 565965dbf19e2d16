#include "solotaxi/io/raster.hpp"

#include <fmt/core.h>
#include <gdal_priv.h>
#include <ogr_spatialref.h>

#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
#include <functional>
#include <limits>
#include <numbers>

#include "solotaxi/base/error.hpp"
#include "solotaxi/geo/geodesic.hpp"
#include "support/shared.hpp"

using namespace solotaxi;
using namespace solotaxi::io;
using State = HeightSample::State;

namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

/// A GeoTIFF in memory, removed at the end of the test.
class MemoryRaster {
 public:
  struct Spec {
    int width = 20, height = 20;
    std::array<double, 6> geotransform{-30.0, 0.001, 0.0, -12.0, 0.0, -0.001};
    int epsg = 4326;                                                                 // 0: none
    std::function<double(double, double)> at = [](double, double) { return 50.0; };  // by column and row of the centre
    std::optional<double> nodata;
    double scale = 1.0, offset = 0.0;
    std::string unit;
    GDALDataType type = GDT_Float64;
    bool georeferenced = true;
  };

  explicit MemoryRaster(const Spec& spec, const std::string& name = "dem") : path_("/vsimem/" + name + ".tif") {
    GDALAllRegister();
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GTiff");
    GDALDatasetUniquePtr data(driver->Create(path_.c_str(), spec.width, spec.height, 1, spec.type, nullptr));
    REQUIRE(data);
    if (spec.georeferenced) {
      std::array<double, 6> gt = spec.geotransform;
      data->SetGeoTransform(gt.data());
    }
    if (spec.epsg != 0) {
      OGRSpatialReference srs;
      srs.importFromEPSG(spec.epsg);
      data->SetSpatialRef(&srs);
    }
    GDALRasterBand* band = data->GetRasterBand(1);
    if (spec.nodata) band->SetNoDataValue(*spec.nodata);
    if (spec.scale != 1.0) band->SetScale(spec.scale);
    if (spec.offset != 0.0) band->SetOffset(spec.offset);
    if (!spec.unit.empty()) band->SetUnitType(spec.unit.c_str());
    std::vector<double> row(static_cast<std::size_t>(spec.width));
    for (int y = 0; y < spec.height; ++y) {
      for (int x = 0; x < spec.width; ++x) row[static_cast<std::size_t>(x)] = spec.at(x, y);
      REQUIRE(band->RasterIO(GF_Write, 0, y, spec.width, 1, row.data(), spec.width, 1, GDT_Float64, 0, 0, nullptr) ==
              CE_None);
    }
  }
  ~MemoryRaster() { VSIUnlink(path_.c_str()); }
  MemoryRaster(const MemoryRaster&) = delete;
  MemoryRaster& operator=(const MemoryRaster&) = delete;
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  std::string path_;
};

std::string raster_refusal(const std::filesystem::path& file) {
  try {
    (void)open_raster(file);
  } catch (const Error& error) {
    CHECK(error.error_class() == ErrorClass::data);
    CHECK(error.where().file == file.string());
    return error.message();
  }
  FAIL("no error for " << file);
  return {};
}

/// Spherical Mercator of EPSG:3857 [EPSG guidance note 7-2, method 1024; from memory].
std::pair<double, double> web_mercator(LatLon at) {
  constexpr double kRadius = 6378137.0;
  const double lat = Radians::degrees(at.lat_deg()).value();
  return {kRadius * Radians::degrees(at.lon_deg()).value(),
          kRadius * std::log(std::tan(std::numbers::pi / 4.0 + lat / 2.0))};
}

}  // namespace

TEST_CASE("heights are bilinear between pixel centres", "[raster]") {
  // Pixel (x, y) holds 10 x + y + x y: bilinear interpolation of this surface is exact everywhere.
  MemoryRaster::Spec spec;
  spec.at = [](double x, double y) { return 10.0 * x + y + x * y; };
  const MemoryRaster file(spec);
  const auto raster = open_raster(file.path());
  for (const auto& [x, y] : {std::pair{0.0, 0.0}, {3.5, 4.25}, {18.999, 18.5}, {19.0, 19.0}, {7.0, 2.9}}) {
    const LatLon at = LatLon::degrees(-12.0 - 0.001 * (y + 0.5), -30.0 + 0.001 * (x + 0.5));
    const auto z = raster->height_at(at);
    if (x == 19.0) continue;  // the outermost centre itself is a matter of rounding
    REQUIRE(z);
    CHECK(*z == Approx(10.0 * x + y + x * y).margin(1e-6));
  }
  CHECK_FALSE(raster->height_at(LatLon::degrees(-12.0001, -29.99)));  // beyond the outermost centres
  CHECK_FALSE(raster->height_at(LatLon::degrees(12.01, -29.99)));     // the other hemisphere
  CHECK_FALSE(raster->height_at(LatLon::degrees(-12.01, 29.99)));
  CHECK(raster->sample_at(LatLon::degrees(12.01, 29.99)).state == State::outside);
  CHECK(raster->step().value() == 1.0);  // whole metres
}

TEST_CASE("degrees run through all four hemispheres and from 0 to 360", "[raster]") {
  for (const double lat : {-33.9, 51.5})
    for (const double lon : {-70.7, 151.2}) {
      for (const double turn : {0.0, 360.0}) {
        if (turn > 0.0 && lon > 0.0) continue;
        MemoryRaster::Spec spec;
        spec.geotransform = {lon + turn, 0.001, 0.0, lat, 0.0, -0.001};
        spec.at = [](double x, double y) { return 100.0 + x - 2.0 * y; };
        const MemoryRaster file(spec);
        const auto z = open_raster(file.path())->height_at(LatLon::degrees(lat - 0.0062, lon + 0.0047));
        REQUIRE(z);
        CHECK(*z == Approx(100.0 + 4.2 - 2.0 * 5.7).margin(1e-6));
      }
    }
}

TEST_CASE("UTM and rotated georeferences are read on the ground where they lie", "[raster]") {
  // UTM zone 32 south; the central meridian at easting 500 km is 9 degrees east by definition of the projection.
  MemoryRaster::Spec spec;
  spec.epsg = 32732;
  const double c = std::cos(0.4), s = std::sin(0.4);
  spec.geotransform = {500000.0, 25.0 * c, 25.0 * s, 8000000.0, 25.0 * s, -25.0 * c};
  spec.width = spec.height = 60;
  spec.at = [](double x, double y) { return 5.0 * x + 3.0 * y; };
  const MemoryRaster file(spec);
  const auto raster = open_raster(file.path());
  OGRSpatialReference utm, wgs84;
  utm.importFromEPSG(32732);
  wgs84.importFromEPSG(4326);
  wgs84.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  const std::unique_ptr<OGRCoordinateTransformation> back(OGRCreateCoordinateTransformation(&utm, &wgs84));
  const double x = 20.3, y = 31.8;
  double east = 500000.0 + 25.0 * (c * (x + 0.5) + s * (y + 0.5)),
         north = 8000000.0 + 25.0 * (s * (x + 0.5) - c * (y + 0.5));
  REQUIRE(back->Transform(1, &east, &north));
  const auto z = raster->height_at(LatLon::degrees(north, east));
  REQUIRE(z);
  CHECK(*z == Approx(5.0 * x + 3.0 * y).margin(1e-4));
  CHECK(raster->spacing().value() == Approx(25.0 / 0.9996).epsilon(1e-3));  // UTM's scale at its meridian is 0.9996
}

TEST_CASE("pixels of Web Mercator are measured on the ground", "[raster]") {
  // At latitude 60 the Mercator scale is 1/cos 60° = 2, so 30 m of the map are about 15 m on the ground.
  const LatLon middle = LatLon::degrees(60.0, -20.0);
  const auto [x0, y0] = web_mercator(middle);
  MemoryRaster::Spec spec;
  spec.epsg = 3857;
  spec.geotransform = {x0 - 300.0, 30.0, 0.0, y0 + 300.0, 0.0, -30.0};
  spec.at = [](double x, double y) { return x + 100.0 * y; };
  const MemoryRaster file(spec);
  const auto raster = open_raster(file.path());
  CHECK(raster->spacing().value() == Approx(15.0).epsilon(0.005));
  CHECK(raster->spacing_at(middle).value() == Approx(15.0).epsilon(0.005));
  const auto z = raster->height_at(middle);
  REQUIRE(z);
  CHECK(*z == Approx(9.5 + 100.0 * 9.5).margin(1e-5));
}

TEST_CASE("voids give no height, nor does a place beside one", "[raster]") {
  MemoryRaster::Spec spec;
  spec.at = [](double x, double y) {
    return x == 5 && y == 5 ? -9999.0 : x == 12 && y == 12 ? kNan : x == 16 && y == 4 ? -32768.0 : 50.5;
  };
  for (const bool declared : {true, false}) {
    if (declared)
      spec.nodata = -9999.0;
    else
      spec.nodata.reset();
    const MemoryRaster file(spec);
    const auto raster = open_raster(file.path());
    const auto state = [&](double x, double y) {
      return raster->sample_at(LatLon::degrees(-12.0 - 0.001 * (y + 0.5), -30.0 + 0.001 * (x + 0.5))).state;
    };
    CHECK(state(5.4, 5.4) == State::in_void);
    CHECK(state(4.2, 5.9) == State::in_void);
    CHECK(state(12.4, 11.4) == State::in_void);
    CHECK(state(16.4, 3.4) == State::in_void);  // no ground lies at -32768 m, declared or not
    CHECK(state(6.2, 5.4) == State::height);
    CHECK(state(14.0, 14.0) == State::height);
    CHECK(raster->step().value() == 0.0);
  }
}

TEST_CASE("scale, offset and feet are applied", "[raster]") {
  MemoryRaster::Spec spec;
  spec.at = [](double, double) { return 1234.0; };
  spec.scale = 0.1, spec.offset = 20.0, spec.type = GDT_Int16;
  const LatLon at = LatLon::degrees(-12.01, -29.99);
  {
    const MemoryRaster file(spec);
    const auto raster = open_raster(file.path());
    CHECK(raster->height_at(at).value() == Approx(143.4));
    CHECK(raster->step().value() == Approx(0.1));
  }
  spec.unit = "ft";
  {
    const MemoryRaster file(spec);
    const auto raster = open_raster(file.path());
    CHECK(raster->height_at(at).value() == Approx(143.4 * 0.3048));  // the international foot is 0.3048 m exactly
    CHECK_THAT(raster->name(), Catch::Contains("ft"));
  }
  spec.unit = "US survey foot";
  {
    const MemoryRaster file(spec);
    CHECK(open_raster(file.path())->height_at(at).value() == Approx(143.4 * 1200.0 / 3937.0));
  }
  spec.unit = "kelvin";
  const MemoryRaster file(spec);
  CHECK_THAT(raster_refusal(file.path()), Catch::Contains("kelvin"));
}

TEST_CASE("zero is told apart beside a place", "[raster]") {
  MemoryRaster::Spec spec;
  spec.at = [](double x, double) { return x < 5 ? 0.0 : 80.25; };
  const MemoryRaster file(spec);
  const auto raster = open_raster(file.path());
  CHECK(raster->sample_at(LatLon::degrees(-12.01, -29.9949)).beside_zero);
  CHECK_FALSE(raster->sample_at(LatLon::degrees(-12.01, -29.99)).beside_zero);
}

TEST_CASE("rasters that cannot serve are refused with their reason", "[raster]") {
  CHECK_THAT(raster_refusal("no such raster.tif"), Catch::Contains("no such file"));
  MemoryRaster::Spec spec;
  spec.epsg = 0;
  {
    const MemoryRaster file(spec);
    CHECK_THAT(raster_refusal(file.path()), Catch::Contains("coordinate reference system"));
  }
  spec.epsg = 4326, spec.georeferenced = false;
  {
    const MemoryRaster file(spec);
    CHECK_THAT(raster_refusal(file.path()), Catch::Contains("georeference"));
  }
  spec.georeferenced = true;
  spec.at = [](double, double) { return -9999.0; };
  spec.nodata = -9999.0, spec.width = 200, spec.height = 150;
  {
    const MemoryRaster file(spec);
    CHECK_THAT(raster_refusal(file.path()), Catch::Contains("void throughout"));
  }
  spec.at = [](double x, double y) { return x == 199 && y == 149 ? 7.0 : -9999.0; };
  {
    const MemoryRaster file(spec);
    CHECK_NOTHROW(open_raster(file.path()));  // one pixel suffices
    CHECK_THROWS_AS(open_raster(file.path(), {{0.0, 0.9, 100.0}, {}}), Error);
    CHECK_THROWS_AS(open_raster(file.path(), {{2.0, 0.9, 100.0}, kNan}), Error);
  }
}

TEST_CASE("damaged and foreign files are refused", "[raster]") {
  const std::string path = "/vsimem/damaged.tif";
  const auto write = [&](const std::string& bytes) {
    VSILFILE* out = VSIFOpenL(path.c_str(), "wb");
    REQUIRE(out != nullptr);
    REQUIRE(VSIFWriteL(bytes.data(), 1, bytes.size(), out) == bytes.size());
    VSIFCloseL(out);
  };
  write("this is no raster");
  CHECK_THAT(raster_refusal(path), Catch::Contains("not a raster"));
  std::string whole;
  {
    MemoryRaster::Spec spec;
    spec.width = spec.height = 300;
    const MemoryRaster file(spec);
    vsi_l_offset size = 0;
    const GByte* bytes = VSIGetMemFileBuffer(file.path().c_str(), &size, FALSE);
    REQUIRE(bytes != nullptr);
    whole.assign(bytes, bytes + size);
  }
  write(whole.substr(0, whole.size() / 8));
  CHECK_FALSE(raster_refusal(path).empty());
  VSIUnlink(path.c_str());
}

TEST_CASE("a huge raster is read only where it is asked", "[raster]") {
  // 40,000 by 40,000 pixels, 6.4 GB if it were read: sparse, with one tile written.
  const std::string path = "/vsimem/huge.tif";
  GDALAllRegister();
  {
    const char* options[] = {"TILED=YES", "SPARSE_OK=TRUE", "BIGTIFF=YES", nullptr};
    GDALDatasetUniquePtr data(GetGDALDriverManager()->GetDriverByName("GTiff")->Create(
        path.c_str(), 40000, 40000, 1, GDT_Float32, const_cast<char**>(options)));
    REQUIRE(data);
    std::array<double, 6> gt{-10.0, 0.00025, 0.0, 5.0, 0.0, -0.00025};
    data->SetGeoTransform(gt.data());
    OGRSpatialReference srs;
    srs.importFromEPSG(4326);
    data->SetSpatialRef(&srs);
    std::vector<float> block(256 * 256, 77.5F);
    REQUIRE(data->GetRasterBand(1)->RasterIO(GF_Write, 20224, 20224, 256, 256, block.data(), 256, 256, GDT_Float32, 0, 0,
                                             nullptr) == CE_None);
  }
  const GIntBig before = GDALGetCacheUsed64();
  const auto raster = open_raster(path);
  CHECK(raster->height_at(LatLon::degrees(5.0 - 0.00025 * 20300.5, -10.0 + 0.00025 * 20300.5)).value() == 77.5);
  CHECK(GDALGetCacheUsed64() - before < 8 * 1024 * 1024);
  VSIUnlink(path.c_str());
}

TEST_CASE("a surveyed profile is met as closely as the raster allows", "[raster][real]") {
  // Surveyed heights along a hillside of 10 % (© swisstopo [S:SWISSTOPO]) against 13 m pixels: bilinear differs by 0.32 m
  // in the mean and 0.68 m in the root mean square, computed independently.
  const auto file = test::shared_file("dem/beggingen_3857.tif");
  const auto profile = test::shared_file("dem/beggingen_profile.csv");
  if (!file || !profile) return;
  const auto raster = open_raster(*file);
  std::ifstream in(*profile);
  double lon = 0.0, lat = 0.0, z = 0.0, sum = 0.0, squares = 0.0;
  char comma = ',';
  int n = 0;
  while (in >> lon >> comma >> lat >> comma >> z) {
    const auto read = raster->height_at(LatLon::degrees(lat, lon));
    REQUIRE(read);
    sum += *read - z;
    squares += (*read - z) * (*read - z);
    ++n;
  }
  fmt::print("profile of {} points: bias {:.3f} m, root mean square {:.3f} m\n", n, sum / n, std::sqrt(squares / n));
  CHECK(n >= 88);
  CHECK(std::abs(sum / n) == Approx(0.32).margin(0.03));
  CHECK(std::sqrt(squares / n) == Approx(0.68).margin(0.03));
  // 19.109 m of the map at latitude 47.75: 19.109 cos(47.75°) = 12.85 m.
  CHECK(raster->spacing().value() == Approx(12.85).margin(0.06));
}

TEST_CASE("the same heights in degrees and in Web Mercator agree", "[raster][real]") {
  const auto mercator = test::shared_file("dem/EDXH_3857.tif");
  const auto degrees = test::shared_file("dem/EDXH_4326.tif");
  if (!mercator || !degrees) return;
  const auto a = open_raster(*mercator), b = open_raster(*degrees);
  // Both were resampled from one source, so they differ a little at quays and dunes; a shift of half a pixel (6 m) either
  // way must make it worse.
  const auto difference = [&](double east_m, double north_m) {
    double squares = 0.0;
    int n = 0;
    for (double lat = 54.180; lat <= 54.190; lat += 0.0002)
      for (double lon = 7.900; lon <= 7.925; lon += 0.0004) {
        const auto za = a->height_at(LatLon::degrees(lat + north_m / 111300.0, lon + east_m / 65200.0));
        const auto zb = b->height_at(LatLon::degrees(lat, lon));
        REQUIRE(za);
        REQUIRE(zb);
        squares += (*za - *zb) * (*za - *zb);
        ++n;
      }
    return std::sqrt(squares / n);
  };
  const double here = difference(0.0, 0.0);
  fmt::print(
      "two projections: root mean square {:.3f} m, shifted by 6 m east {:.3f}, west {:.3f}, north {:.3f}, south {:.3f}\n",
      here, difference(6.0, 0.0), difference(-6.0, 0.0), difference(0.0, 6.0), difference(0.0, -6.0));
  CHECK(here < 0.2);
  for (const double shift : {-6.0, 6.0}) {
    CHECK(difference(shift, 0.0) > 1.3 * here);
    CHECK(difference(0.0, shift) > 1.3 * here);
  }
}
