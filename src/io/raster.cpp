#include "solotaxi/io/raster.hpp"

#include <cpl_error.h>
#include <fmt/format.h>
#include <gdal_priv.h>
#include <ogr_spatialref.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <mutex>
#include <unordered_map>
#include <unordered_set>
#include <vector>

#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

constexpr int kTile = 64;                // pixels a side
constexpr std::size_t kTilesKept = 256;  // 64 × 64 × 8 bytes each: 8 MiB at most
constexpr double kZero = 0.01;           // m

/// Keeps GDAL from printing while it lives; the last message stays readable until then.
class QuietRasters {
 public:
  QuietRasters() {
    CPLPushErrorHandler(CPLQuietErrorHandler);
    CPLErrorReset();
  }
  ~QuietRasters() { CPLPopErrorHandler(); }
  QuietRasters(const QuietRasters&) = delete;
  QuietRasters& operator=(const QuietRasters&) = delete;
  static std::string said() {
    const char* message = CPLGetLastErrorMsg();
    return message != nullptr && *message != '\0' ? std::string(": ") + message : std::string();
  }
};

struct TransformDeleter {
  void operator()(OGRCoordinateTransformation* t) const { OGRCoordinateTransformation::DestroyCT(t); }
};
using Transform = std::unique_ptr<OGRCoordinateTransformation, TransformDeleter>;

/// Metres per unit of the band's heights; throws for a unit that is no length we know.
double unit_of(GDALRasterBand& band, const std::string& file) {
  const char* stated = band.GetUnitType();
  std::string unit = stated != nullptr ? stated : "";
  std::transform(unit.begin(), unit.end(), unit.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  if (unit.empty() || unit == "m" || unit == "metre" || unit == "meter" || unit == "metres" || unit == "meters") return 1.0;
  if (unit == "ft" || unit == "foot" || unit == "feet" || unit == "international foot") return 0.3048;
  // US survey foot: 1200/3937 m exactly [US Mendenhall order of 1893].
  if (unit == "us survey foot" || unit == "us survey feet" || unit == "ftus" || unit == "us-ft" || unit == "foot_us")
    return 1200.0 / 3937.0;
  if (unit == "cm" || unit == "centimetre" || unit == "centimeter") return 0.01;
  if (unit == "dm" || unit == "decimetre" || unit == "decimeter") return 0.1;
  throw data_error("band 1 is in \"" + std::string(stated) + "\", which is not a height unit known here", {file, {}, {}},
                   "give a raster of heights in metres or feet");
}

class GdalRaster final : public Raster {
 public:
  GdalRaster(const std::filesystem::path& path, const RasterOptions& options);

  [[nodiscard]] terrain::Readings readings(std::span<const LatLon> places, Metres reach) const override;
  [[nodiscard]] terrain::SourceKind kind() const override { return terrain::SourceKind::raster; }
  [[nodiscard]] HeightSample sample_at(LatLon at) const override;
  [[nodiscard]] Metres spacing() const override { return spacing_; }
  [[nodiscard]] Metres spacing_at(LatLon at) const override;
  [[nodiscard]] terrain::NoiseModel noise() const override { return noise_; }
  [[nodiscard]] terrain::VerticalDatum datum() const override { return datum_; }
  [[nodiscard]] std::string name() const override { return name_; }
  [[nodiscard]] Metres step() const override {
    const std::lock_guard lock(mutex_);
    return Metres{whole_ && any_ ? std::abs(scale_) : 0.0};
  }
  [[nodiscard]] std::string extent() const override { return extent_; }

 private:
  struct Pixel {
    double x = 0.0, y = 0.0;  // pixel centres at whole numbers
  };
  struct Tile {
    std::vector<double> height;  // NaN in a void
  };

  [[nodiscard]] std::optional<Pixel> pixel_of(LatLon at, double margin = 0.0) const;
  [[nodiscard]] std::optional<LatLon> position_of(Pixel pixel) const;
  [[nodiscard]] Metres spacing_about(Pixel pixel) const;
  [[nodiscard]] double pixel_height(int x, int y) const;
  [[nodiscard]] Tile read_tile(int tile_x, int tile_y) const;
  void open_georeference();
  void require_heights() const;
  void describe_extent();
  void read_datum(const OGRSpatialReference& stated);

  std::string file_, name_, extent_;
  terrain::NoiseModel noise_;
  terrain::VerticalDatum datum_;
  Metres spacing_;
  GDALDatasetUniquePtr data_;
  GDALRasterBand* band_ = nullptr;
  GDALRasterBand* mask_ = nullptr;
  int width_ = 0, height_ = 0;
  std::array<double, 6> forward_{}, inverse_{};
  double scale_ = 1.0, offset_ = 0.0;  // raw value to metres
  bool geographic_ = false;
  bool no_transform_ = false;  // longitude and latitude on WGS 84 already
  Transform to_raster_, to_wgs84_;

  // GDAL data sets and the tile cache serve one thread at a time.
  mutable std::mutex mutex_;
  mutable std::unordered_map<std::uint64_t, Tile> tiles_;
  mutable std::uint64_t last_key_ = ~std::uint64_t{0};
  mutable const Tile* last_ = nullptr;
  mutable bool whole_ = true, any_ = false;
};

GdalRaster::GdalRaster(const std::filesystem::path& path, const RasterOptions& options)
    : file_(path.string()), name_(path.filename().string()), noise_(options.noise) {
  if (!(noise_.sigma_m > 0.0 && std::isfinite(noise_.sigma_m)))
    throw usage_error(fmt::format("the noise of a raster must be a positive number of metres, not {}", noise_.sigma_m));
  const double lift = options.offset_m.value_or(0.0);
  if (!std::isfinite(lift)) throw usage_error("the offset of a raster's heights must be a number of metres");
  const QuietRasters quiet;
  GDALAllRegister();
  data_.reset(GDALDataset::Open(file_.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR));
  if (!data_) {
    std::error_code ignored;
    if (!file_.starts_with("/vsi") && !std::filesystem::exists(path, ignored))
      throw data_error("there is no such file", {file_, {}, {}});
    throw data_error("not a raster that can be read" + QuietRasters::said(), {file_, {}, {}},
                     "any raster format of GDAL will do");
  }
  if (data_->GetRasterCount() < 1) throw data_error("the raster has no band", {file_, {}, {}});
  band_ = data_->GetRasterBand(1);
  width_ = data_->GetRasterXSize();
  height_ = data_->GetRasterYSize();
  if (width_ < 2 || height_ < 2)
    throw data_error(fmt::format("a raster of {} by {} pixels gives no surface", width_, height_), {file_, {}, {}});
  const GDALColorInterp colour = band_->GetColorInterpretation();
  if (GDALDataTypeIsComplex(band_->GetRasterDataType()) != 0 || colour == GCI_RedBand || colour == GCI_PaletteIndex)
    throw data_error("the raster is an image, not heights", {file_, {}, {}}, "give an elevation raster");
  if ((band_->GetMaskFlags() & GMF_ALL_VALID) == 0) mask_ = band_->GetMaskBand();
  const double unit = unit_of(*band_, file_);
  scale_ = band_->GetScale() * unit;
  offset_ = band_->GetOffset() * unit + lift;
  datum_.offset_given = options.offset_m.has_value();
  if (scale_ == 0.0 || !std::isfinite(scale_) || !std::isfinite(offset_))
    throw data_error("the scale or offset of band 1 is not a usable number", {file_, {}, {}});
  if (unit != 1.0) name_ += fmt::format(" ({}, converted to metres)", band_->GetUnitType());
  open_georeference();
  spacing_ = spacing_about({0.5 * (width_ - 1), 0.5 * (height_ - 1)});
  if (!(spacing_.value() > 0.0))
    throw data_error("the georeference of the raster does not lead to a place on the Earth", {file_, {}, {}});
  describe_extent();
  require_heights();
}

void GdalRaster::open_georeference() {
  const OGRSpatialReference* stated = data_->GetSpatialRef();
  if (stated == nullptr || stated->IsEmpty())
    throw data_error("the raster states no coordinate reference system", {file_, {}, {}},
                     "add one with gdal_translate -a_srs");
  if (data_->GetGeoTransform(forward_.data()) != CE_None)
    throw data_error("the raster states no georeference", {file_, {}, {}},
                     "add one with gdalwarp or gdal_translate -a_ullr");
  if (GDALInvGeoTransform(forward_.data(), inverse_.data()) == 0)
    throw data_error("the georeference of the raster cannot be inverted", {file_, {}, {}});
  OGRSpatialReference raster(*stated);
  raster.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  read_datum(raster);
  if (raster.IsCompound() != 0) raster.StripVertical();
  geographic_ = raster.IsGeographic() != 0;
  OGRSpatialReference wgs84;
  wgs84.SetWellKnownGeogCS("WGS84");
  wgs84.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  no_transform_ = geographic_ && raster.IsSame(&wgs84) != 0;
  if (no_transform_) return;
  to_raster_.reset(OGRCreateCoordinateTransformation(&wgs84, &raster));
  to_wgs84_.reset(OGRCreateCoordinateTransformation(&raster, &wgs84));
  if (!to_raster_ || !to_wgs84_)
    throw data_error("the raster's coordinate reference system cannot be used" + QuietRasters::said(), {file_, {}, {}},
                     "reproject it with gdalwarp -t_srs EPSG:4326");
}

std::optional<GdalRaster::Pixel> GdalRaster::pixel_of(LatLon at, double margin) const {
  double x = at.lon_deg(), y = at.lat_deg();
  if (!no_transform_ && to_raster_->Transform(1, &x, &y) == FALSE) return std::nullopt;
  const auto to_pixel = [&](double east) {
    return Pixel{inverse_[0] + inverse_[1] * east + inverse_[2] * y - 0.5,
                 inverse_[3] + inverse_[4] * east + inverse_[5] * y - 0.5};
  };
  // Rasters of degrees may run 0 to 360 or over the antimeridian.
  for (const double turn : {0.0, 360.0, -360.0}) {
    const Pixel p = to_pixel(x + turn);
    if (p.x >= -margin && p.y >= -margin && p.x <= width_ - 1 + margin && p.y <= height_ - 1 + margin) return p;
    if (!geographic_) break;
  }
  return std::nullopt;
}

std::optional<LatLon> GdalRaster::position_of(Pixel pixel) const {
  double x = forward_[0] + forward_[1] * (pixel.x + 0.5) + forward_[2] * (pixel.y + 0.5);
  double y = forward_[3] + forward_[4] * (pixel.x + 0.5) + forward_[5] * (pixel.y + 0.5);
  if (!no_transform_ && to_wgs84_->Transform(1, &x, &y) == FALSE) return std::nullopt;
  if (!std::isfinite(x) || !(std::abs(y) <= 90.0)) return std::nullopt;
  return LatLon::degrees(y, std::abs(x) <= 180.0 ? x : std::remainder(x, 360.0));
}

/// Side of the square of a pixel's area on the ground; 0 off the Earth.
Metres GdalRaster::spacing_about(Pixel pixel) const {
  const auto here = position_of(pixel), right = position_of({pixel.x + 1.0, pixel.y}),
             below = position_of({pixel.x, pixel.y + 1.0});
  if (!here || !right || !below) return Metres{0.0};
  const LocalFrame frame(*here);
  const LocalXY a = frame.to_local(*right), b = frame.to_local(*below);
  return Metres{std::sqrt(std::abs(a.x_m * b.y_m - a.y_m * b.x_m))};
}

Metres GdalRaster::spacing_at(LatLon at) const {
  const std::lock_guard lock(mutex_);
  const QuietRasters quiet;
  const std::optional<Pixel> pixel = pixel_of(at);
  const Metres here = pixel ? spacing_about(*pixel) : Metres{0.0};
  return here.value() > 0.0 ? here : spacing_;
}

void GdalRaster::describe_extent() {
  double south = 90.0, north = -90.0, west = 180.0, east = -180.0;
  for (const double fx : {0.0, 0.5, 1.0})
    for (const double fy : {0.0, 0.5, 1.0})
      if (const auto at = position_of({fx * (width_ - 1), fy * (height_ - 1)})) {
        south = std::min(south, at->lat_deg()), north = std::max(north, at->lat_deg());
        west = std::min(west, at->lon_deg()), east = std::max(east, at->lon_deg());
      }
  extent_ = fmt::format("latitude {:.4f} to {:.4f}, longitude {:.4f} to {:.4f}", south, north, west, east);
}

/// One look for a pixel that is not void, from the middle outwards in reading order: at once on any ordinary raster.
void GdalRaster::require_heights() const {
  const int columns = (width_ + kTile - 1) / kTile, rows = (height_ + kTile - 1) / kTile;
  const auto has_height = [&](int x, int y) {
    const Tile tile = read_tile(x, y);
    return std::any_of(tile.height.begin(), tile.height.end(), [](double z) { return !std::isnan(z); });
  };
  bool found = has_height(columns / 2, rows / 2);
  for (int y = 0; y < rows && !found; ++y)
    for (int x = 0; x < columns && !found; ++x) found = has_height(x, y);
  whole_ = true, any_ = false;  // only what the caller asks for counts
  if (!found) throw data_error("the raster is void throughout", {file_, {}, {}});
}

GdalRaster::Tile GdalRaster::read_tile(int tile_x, int tile_y) const {
  const int x0 = tile_x * kTile, y0 = tile_y * kTile;
  const int nx = std::min(kTile, width_ - x0), ny = std::min(kTile, height_ - y0);
  constexpr std::size_t kPixels = std::size_t{kTile} * kTile;
  Tile tile{std::vector<double>(kPixels, std::numeric_limits<double>::quiet_NaN())};
  std::vector<unsigned char> valid(kPixels, 255);
  CPLErr status =
      band_->RasterIO(GF_Read, x0, y0, nx, ny, tile.height.data(), nx, ny, GDT_Float64, 0, kTile * GSpacing{8}, nullptr);
  if (status == CE_None && mask_ != nullptr)
    status = mask_->RasterIO(GF_Read, x0, y0, nx, ny, valid.data(), nx, ny, GDT_Byte, 0, GSpacing{kTile}, nullptr);
  if (status != CE_None)
    throw data_error(fmt::format("the raster is damaged near column {}, row {}", x0, y0) + QuietRasters::said(),
                     {file_, {}, {}}, "fetch the file again");
  for (std::size_t k = 0; k < kPixels; ++k) {
    double& z = tile.height[k];
    const double raw = z;
    z = offset_ + scale_ * raw;
    // Heights no ground has are voids nobody declared (-9999, -32768, 3.4e38).
    if (valid[k] == 0 || !(z >= terrain::kLowestGround && z <= terrain::kHighestGround)) {
      z = std::numeric_limits<double>::quiet_NaN();
      continue;
    }
    any_ = true;
    if (raw != std::nearbyint(raw)) whole_ = false;
  }
  return tile;
}

double GdalRaster::pixel_height(int x, int y) const {
  const int tile_x = x / kTile, tile_y = y / kTile;
  const std::uint64_t key = (static_cast<std::uint64_t>(tile_y) << 32U) | static_cast<std::uint64_t>(tile_x);
  if (key != last_key_) {
    auto found = tiles_.find(key);
    if (found == tiles_.end()) {
      Tile tile = read_tile(tile_x, tile_y);
      if (tiles_.size() >= kTilesKept) tiles_.clear();
      found = tiles_.emplace(key, std::move(tile)).first;
    }
    last_key_ = key;
    last_ = &found->second;
  }
  return last_->height[static_cast<std::size_t>(y % kTile) * kTile + static_cast<std::size_t>(x % kTile)];
}

HeightSample GdalRaster::sample_at(LatLon at) const {
  const std::lock_guard lock(mutex_);
  const QuietRasters quiet;
  const std::optional<Pixel> pixel = pixel_of(at);
  if (!pixel) return {};
  const int x = std::min(static_cast<int>(pixel->x), width_ - 2), y = std::min(static_cast<int>(pixel->y), height_ - 2);
  const double fx = pixel->x - x, fy = pixel->y - y;
  HeightSample sample{HeightSample::State::height, 0.0, false};
  for (const auto& [dx, dy, weight] : {std::tuple{0, 0, (1.0 - fx) * (1.0 - fy)}, std::tuple{1, 0, fx * (1.0 - fy)},
                                       std::tuple{0, 1, (1.0 - fx) * fy}, std::tuple{1, 1, fx * fy}}) {
    if (weight == 0.0) continue;  // on a line of pixel centres the others have no say
    const double z = pixel_height(x + dx, y + dy);
    if (std::isnan(z)) return {HeightSample::State::in_void, std::numeric_limits<double>::quiet_NaN(), false};
    sample.height_m += weight * z;
    if (std::abs(z) < kZero) sample.beside_zero = true;
  }
  return sample;
}

/// Each pixel once: the pixels about the first place, then those the next one adds.
terrain::Readings GdalRaster::readings(std::span<const LatLon> places, Metres reach) const {
  constexpr double kHalf = 0.5;  // a pixel reaches so far beyond its centre
  const std::lock_guard lock(mutex_);
  const QuietRasters quiet;
  terrain::Readings out;
  out.inside.assign(places.size(), 0);
  std::unordered_set<std::uint64_t> seen;
  const std::optional<Pixel> middle = places.empty() ? std::nullopt : pixel_of(places[places.size() / 2], kHalf);
  const double spacing = middle ? spacing_about(*middle).value() : spacing_.value();
  // Pixels of degrees are narrower than high away from the equator: twice the reach in pixels of mean size covers both.
  const double span = 2.0 * reach.value() / (spacing > 0.0 ? spacing : spacing_.value()) + 1.0;
  for (std::size_t i = 0; i < places.size(); ++i) {
    const std::optional<Pixel> pixel = pixel_of(places[i], span);
    if (!pixel) continue;
    if (pixel->x >= -kHalf && pixel->y >= -kHalf && pixel->x <= width_ - kHalf && pixel->y <= height_ - kHalf)
      out.inside[i] = 1;
    const auto first = [&](double v) { return std::max(0, static_cast<int>(std::ceil(v - span))); };
    const auto last = [&](double v, int size) { return std::min(size - 1, static_cast<int>(std::floor(v + span))); };
    for (int y = first(pixel->y); y <= last(pixel->y, height_); ++y)
      for (int x = first(pixel->x); x <= last(pixel->x, width_); ++x) {
        if (!seen.insert((static_cast<std::uint64_t>(y) << 32U) | static_cast<std::uint64_t>(x)).second) continue;
        if (const auto at = position_of({static_cast<double>(x), static_cast<double>(y)}))
          out.list.push_back({*at, pixel_height(x, y), 0.0});
      }
  }
  return out;
}

void GdalRaster::read_datum(const OGRSpatialReference& stated) {
  using Kind = terrain::VerticalDatum::Kind;
  if (stated.IsCompound() == 0 && stated.IsVertical() == 0) {
    if (stated.IsGeographic() != 0 && stated.GetAxesCount() == 3)
      datum_ = {Kind::ellipsoid, stated.GetName(), datum_.offset_given};
    return;
  }
  const char* name = stated.GetAttrValue("VERT_CS");
  if (name == nullptr) name = stated.GetAttrValue("VERT_DATUM");
  datum_.name = name != nullptr ? name : "";
  std::string lower = datum_.name;
  std::transform(lower.begin(), lower.end(), lower.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  datum_.kind = lower.find("ellips") != std::string::npos ? Kind::ellipsoid : Kind::geoid;
}

}  // namespace

std::unique_ptr<Raster> open_raster(const std::filesystem::path& file, const RasterOptions& options) {
  return std::make_unique<GdalRaster>(file, options);
}

}  // namespace solotaxi::io
