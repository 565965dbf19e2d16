#include "solotaxi/io/vector_writer.hpp"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <mutex>
#include <utility>

#include "io/cannot_write.hpp"
#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

namespace fs = std::filesystem;

std::string ending_of(const fs::path& file) {
  std::string ending = file.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  return ending;
}

/// Keeps GDAL's messages off the terminal and holds the last one.
class QuietGdal {
 public:
  QuietGdal() {
    CPLErrorReset();
    CPLPushErrorHandler(CPLQuietErrorHandler);
  }
  ~QuietGdal() { CPLPopErrorHandler(); }
  QuietGdal(const QuietGdal&) = delete;
  QuietGdal& operator=(const QuietGdal&) = delete;
  [[nodiscard]] static bool failed() { return CPLGetLastErrorType() >= CE_Failure; }
  [[nodiscard]] static std::string message() {
    const std::string text = CPLGetLastErrorMsg();
    return text.empty() ? "the format's driver gave no reason" : text;
  }
};

/// Keeps the time of writing out of a GeoPackage, so that the same layers give the same bytes.
class FixedTime {
 public:
  FixedTime() { CPLSetThreadLocalConfigOption("OGR_CURRENT_DATE", "1970-01-01T00:00:00.000Z"); }
  ~FixedTime() { CPLSetThreadLocalConfigOption("OGR_CURRENT_DATE", nullptr); }
  FixedTime(const FixedTime&) = delete;
  FixedTime& operator=(const FixedTime&) = delete;
};

/// A file in memory that GDAL writes; gone with the object.
class MemoryFile {
 public:
  explicit MemoryFile(const std::string& ending) {
    static std::atomic<unsigned> count{0};
    path_ = "/vsimem/solotaxi-" + std::to_string(count++) + ending;
  }
  ~MemoryFile() { VSIUnlink(path_.c_str()); }
  MemoryFile(const MemoryFile&) = delete;
  MemoryFile& operator=(const MemoryFile&) = delete;
  [[nodiscard]] const char* path() const { return path_.c_str(); }
  [[nodiscard]] std::string bytes() const {
    vsi_l_offset size = 0;
    const GByte* data = VSIGetMemFileBuffer(path_.c_str(), &size, FALSE);
    return data == nullptr ? std::string{}
                           : std::string(reinterpret_cast<const char*>(data), static_cast<std::size_t>(size));
  }

 private:
  std::string path_;
};

/// Several layers as one, each feature saying in column "layer" which it came from.
FeatureLayer merged(const std::vector<FeatureLayer>& layers, const std::string& name) {
  FeatureLayer all;
  all.name = name;
  all.columns = {"layer"};
  if (!layers.empty()) all.description = layers.front().description;
  for (const FeatureLayer& layer : layers)
    for (const std::string& column : layer.columns)
      if (std::find(all.columns.begin(), all.columns.end(), column) == all.columns.end()) all.columns.push_back(column);
  all.typical.resize(all.columns.size());
  for (const FeatureLayer& layer : layers) {
    for (std::size_t c = 0; c < layer.columns.size() && c < layer.typical.size(); ++c) {
      const auto at = std::find(all.columns.begin(), all.columns.end(), layer.columns[c]);
      all.typical[static_cast<std::size_t>(at - all.columns.begin())] = layer.typical[c];
    }
    for (const Feature& feature : layer.features) {
      Feature& copy = all.features.emplace_back(Feature{feature.line, feature.height_m, {}, feature.area});
      copy.values.resize(all.columns.size());
      copy.values.front() = layer.name;
      for (std::size_t c = 0; c < layer.columns.size() && c < feature.values.size(); ++c) {
        const auto at = std::find(all.columns.begin(), all.columns.end(), layer.columns[c]);
        copy.values[static_cast<std::size_t>(at - all.columns.begin())] = feature.values[c];
      }
    }
  }
  return all;
}

/// Type of a column: the widest of its values and the typical one; text where all are null.
std::pair<OGRFieldType, OGRFieldSubType> column_type(const FeatureLayer& layer, std::size_t column) {
  bool text = false, real = false, whole = false, flag = false;
  const auto look = [&](const std::vector<Value>& values) {
    if (column >= values.size()) return;
    const Value& v = values[column];
    text = text || std::holds_alternative<std::string>(v);
    real = real || std::holds_alternative<double>(v);
    whole = whole || std::holds_alternative<std::int64_t>(v);
    flag = flag || std::holds_alternative<bool>(v);
  };
  look(layer.typical);
  for (const Feature& feature : layer.features) look(feature.values);
  if (text || !(real || whole || flag)) return {OFTString, OFSTNone};
  if (real) return {OFTReal, OFSTNone};
  if (whole) return {OFTInteger64, OFSTNone};
  return {OFTInteger, OFSTBoolean};
}

std::string valid_text(const std::string& text) {
  if (CPLIsUTF8(text.c_str(), -1)) return text;
  char* ascii = CPLForceToASCII(text.c_str(), -1, '?');
  std::string result = ascii;
  CPLFree(ascii);
  return result;
}

void set_value(OGRFeature& row, int column, const Value& value) {
  if (const auto* text = std::get_if<std::string>(&value)) {
    row.SetField(column, valid_text(*text).c_str());
  } else if (const auto* real = std::get_if<double>(&value)) {
    if (std::isfinite(*real))
      row.SetField(column, *real);
    else
      row.SetFieldNull(column);
  } else if (const auto* whole = std::get_if<std::int64_t>(&value)) {
    row.SetField(column, static_cast<GIntBig>(*whole));
  } else if (const auto* flag = std::get_if<bool>(&value)) {
    row.SetField(column, *flag ? 1 : 0);
  } else {
    row.SetFieldNull(column);
  }
}

bool has_heights(const Feature& feature) {
  return feature.height_m.size() == feature.line.size() && !feature.line.empty() &&
         std::all_of(feature.height_m.begin(), feature.height_m.end(), [](double h) { return std::isfinite(h); });
}

OGRGeometryUniquePtr geometry_of(const Feature& feature) {
  const bool heights = has_heights(feature);
  if (feature.line.empty()) return nullptr;
  if (feature.line.size() == 1) {
    const LatLon at = feature.line.front();
    return OGRGeometryUniquePtr(heights ? new OGRPoint(at.lon_deg(), at.lat_deg(), feature.height_m.front())
                                        : new OGRPoint(at.lon_deg(), at.lat_deg()));
  }
  auto line = std::make_unique<OGRLineString>();
  for (std::size_t i = 0; i < feature.line.size(); ++i) {
    const LatLon at = feature.line[i];
    if (heights)
      line->addPoint(at.lon_deg(), at.lat_deg(), feature.height_m[i]);
    else
      line->addPoint(at.lon_deg(), at.lat_deg());
  }
  if (feature.area) {
    auto ring = std::make_unique<OGRLinearRing>();
    ring->addSubLineString(line.get());
    ring->closeRings();
    auto polygon = std::make_unique<OGRPolygon>();
    polygon->addRingDirectly(ring.release());
    return OGRGeometryUniquePtr(polygon.release());
  }
  return OGRGeometryUniquePtr(line.release());
}

OGRwkbGeometryType geometry_type(const FeatureLayer& layer) {
  bool points = false, lines = false, areas = false, heights = false;
  for (const Feature& feature : layer.features) {
    points = points || feature.line.size() == 1;
    lines = lines || (feature.line.size() > 1 && !feature.area);
    areas = areas || feature.area;
    heights = heights || has_heights(feature);
  }
  const int kinds = (points ? 1 : 0) + (lines ? 1 : 0) + (areas ? 1 : 0);
  const OGRwkbGeometryType flat = kinds != 1 ? wkbUnknown : points ? wkbPoint : lines ? wkbLineString : wkbPolygon;
  return heights ? OGR_GT_SetZ(flat) : flat;
}

void add_layer(GDALDataset& dataset, const FeatureLayer& layer, CSLConstList options) {
  OGRSpatialReference wgs84;
  wgs84.SetWellKnownGeogCS("WGS84");
  wgs84.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
  OGRLayer* table = dataset.CreateLayer(layer.name.c_str(), &wgs84, geometry_type(layer), const_cast<char**>(options));
  if (table == nullptr) throw data_error(QuietGdal::message());
  for (std::size_t c = 0; c < layer.columns.size(); ++c) {
    const auto [type, subtype] = column_type(layer, c);
    OGRFieldDefn field(layer.columns[c].c_str(), type);
    field.SetSubType(subtype);
    if (table->CreateField(&field) != OGRERR_NONE) throw data_error(QuietGdal::message());
  }
  for (const Feature& feature : layer.features) {
    const OGRFeatureUniquePtr row(OGRFeature::CreateFeature(table->GetLayerDefn()));
    for (std::size_t c = 0; c < layer.columns.size(); ++c)
      set_value(*row, table->GetLayerDefn()->GetFieldIndex(layer.columns[c].c_str()),
                c < feature.values.size() ? feature.values[c] : Value{});
    row->SetGeometryDirectly(geometry_of(feature).release());
    if (table->CreateFeature(row.get()) != OGRERR_NONE) throw data_error(QuietGdal::message());
  }
}

/// Styles as QGIS keeps and finds them in a GeoPackage: one row a layer, its default.
void add_styles(GDALDataset& dataset, const std::vector<FeatureLayer>& layers) {
  if (std::none_of(layers.begin(), layers.end(), [](const FeatureLayer& l) { return !l.style_qml.empty(); })) return;
  CPLStringList options;
  options.SetNameValue("FID", "id");
  OGRLayer* table = dataset.CreateLayer("layer_styles", nullptr, wkbNone, options.List());
  if (table == nullptr) throw data_error(QuietGdal::message());
  constexpr int kName = 256, kShort = 30;
  const auto column = [&](const char* name, OGRFieldType type, int width = 0, OGRFieldSubType subtype = OFSTNone) {
    OGRFieldDefn field(name, type);
    field.SetWidth(width);
    field.SetSubType(subtype);
    if (table->CreateField(&field) != OGRERR_NONE) throw data_error(QuietGdal::message());
  };
  for (const char* name : {"f_table_catalog", "f_table_schema", "f_table_name", "f_geometry_column"})
    column(name, OFTString, kName);
  column("styleName", OFTString, kShort);
  column("styleQML", OFTString);
  column("styleSLD", OFTString);
  column("useAsDefault", OFTInteger, 0, OFSTBoolean);
  column("description", OFTString);
  column("owner", OFTString, kShort);
  column("ui", OFTString, kShort);
  column("update_time", OFTDateTime);
  for (const FeatureLayer& layer : layers) {
    if (layer.style_qml.empty()) continue;
    OGRLayer* styled = dataset.GetLayerByName(layer.name.c_str());
    if (styled == nullptr) throw data_error(QuietGdal::message());
    const OGRFeatureUniquePtr row(OGRFeature::CreateFeature(table->GetLayerDefn()));
    for (const char* name : {"f_table_catalog", "f_table_schema", "styleSLD", "owner"}) row->SetField(name, "");
    row->SetField("f_table_name", layer.name.c_str());
    row->SetField("f_geometry_column", styled->GetGeometryColumn());
    row->SetField("styleName", layer.name.c_str());
    row->SetField("styleQML", layer.style_qml.c_str());
    row->SetField("useAsDefault", 1);
    row->SetField("description", layer.description.c_str());
    row->SetField("update_time", "1970/01/01 00:00:00+00");
    if (table->CreateFeature(row.get()) != OGRERR_NONE) throw data_error(QuietGdal::message());
  }
}

/// The whole file as bytes; errors have no file named yet.
std::string encode(const fs::path& file, const std::vector<FeatureLayer>& layers) {
  static std::once_flag registered;
  std::call_once(registered, [] { GDALAllRegister(); });
  const std::string ending = ending_of(file);
  const QuietGdal quiet;
  const FixedTime fixed_time;
  const MemoryFile memory(ending);
  const char* driver_name = ending == ".geojson" ? "GeoJSON" : ending == ".gpkg" ? "GPKG" : "LIBKML";
  GDALDriver* driver = GetGDALDriverManager()->GetDriverByName(driver_name);
  if (driver == nullptr && ending == ".kml") driver = GetGDALDriverManager()->GetDriverByName("KML");
  if (driver == nullptr)
    throw data_error("this GDAL cannot write " + ending + " files", {}, "use another ending or install GDAL's drivers");
  GDALDatasetUniquePtr dataset(driver->Create(memory.path(), 0, 0, 0, GDT_Unknown, nullptr));
  if (dataset == nullptr) throw data_error(QuietGdal::message());
  const auto add = [&](const FeatureLayer& layer) {
    CPLStringList options;
    if (ending == ".geojson") {
      options.SetNameValue("RFC7946", "YES");
      options.SetNameValue("COORDINATE_PRECISION", "9");
      options.SetNameValue("WRITE_NAME", "NO");  // RFC 7946 knows no name of a collection
    }
    if (!layer.description.empty()) options.SetNameValue("DESCRIPTION", layer.description.c_str());
    add_layer(*dataset, layer, options.List());
  };
  const bool at_once = ending == ".gpkg" && dataset->StartTransaction() == OGRERR_NONE;  // else each row is a transaction
  if (ending == ".gpkg" || layers.size() == 1) {
    for (const FeatureLayer& layer : layers) add(layer);
    if (ending == ".gpkg") add_styles(*dataset, layers);
  } else {
    add(merged(layers, file.stem().string()));
  }
  if (at_once && dataset->CommitTransaction() != OGRERR_NONE) throw data_error(QuietGdal::message());
  dataset.reset();
  if (QuietGdal::failed()) throw data_error(QuietGdal::message());
  std::string bytes = memory.bytes();
  if (bytes.empty()) throw data_error("the format's driver wrote nothing");
  return bytes;
}

}  // namespace

const std::vector<std::string>& layer_endings() {
  static const std::vector<std::string> endings{".geojson", ".gpkg", ".kml"};
  return endings;
}

StagedFile stage_layers(const fs::path& file, const std::vector<FeatureLayer>& layers) {
  const std::vector<std::string>& known = layer_endings();
  if (std::find(known.begin(), known.end(), ending_of(file)) == known.end())
    throw Error(ErrorClass::usage, "no format is known by this ending", {file.string(), {}, {}},
                "endings that can be written: .geojson, .gpkg, .kml");
  std::string bytes;
  try {
    bytes = encode(file, layers);
  } catch (const Error& error) {
    throw detail::cannot_write(file, error.message());
  }
  return stage_text(file, bytes);
}

void write_layers(const fs::path& file, const std::vector<FeatureLayer>& layers) { stage_layers(file, layers).commit(); }

}  // namespace solotaxi::io
