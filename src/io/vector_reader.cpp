#include "vector_reader.hpp"

#include <fmt/format.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <mutex>
#include <regex>

#include "named_nodes.hpp"
#include "solotaxi/base/error.hpp"
#include "vector_attributes.hpp"

namespace solotaxi::io {
namespace {

using airfield::RawFeature;
using airfield::RawVertex;
using Shape = RawFeature::Shape;

/// Collects what GDAL says instead of letting it print.
class GdalMessages {
 public:
  GdalMessages() { CPLPushErrorHandlerEx(&GdalMessages::take, this); }
  ~GdalMessages() { CPLPopErrorHandler(); }
  GdalMessages(const GdalMessages&) = delete;
  GdalMessages& operator=(const GdalMessages&) = delete;
  std::string failure;  ///< the first, "" where there was none
  std::vector<std::string> warnings;

 private:
  static void CPL_STDCALL take(CPLErr severity, CPLErrorNum, const char* text) {
    auto& self = *static_cast<GdalMessages*>(CPLGetErrorHandlerUserData());
    if (severity >= CE_Failure && self.failure.empty()) self.failure = text;
    if (severity == CE_Warning && self.warnings.size() < 20) self.warnings.emplace_back(text);
  }
};

bool is_kind_attribute(std::string_view name) { return name == "aeroway" || name.ends_with(":aeroway"); }

class VectorReading {
 public:
  VectorReading(const std::filesystem::path& file, const Mapping& mapping) : file_(file.string()), mapping_(mapping) {
    map_.file = file_;
  }

  airfield::RawMap run() {
    static std::once_flag once;
    std::call_once(once, [] { GDALAllRegister(); });
    GdalMessages messages;
    const GDALDatasetUniquePtr data(GDALDataset::Open(file_.c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY));
    if (!data)
      throw data_error(
          "no map format that can be read, or damaged" + (messages.failure.empty() ? "" : ": " + messages.failure), where(),
          "OpenStreetMap XML or PBF, GeoJSON, GeoPackage, Shapefile and others are read");
    if (EQUAL(data->GetDriverName(), "GeoJSON")) refuse_unknown_reference(messages);
    shapefile_ = EQUAL(data->GetDriverName(), "ESRI Shapefile");
    for (OGRLayer* layer : data->GetLayers()) read_layer(*layer);
    tie_named_nodes(map_);
    if (!messages.failure.empty())
      throw data_error("the file is damaged: " + messages.failure, where(), "fetch or export it again");
    for (const std::string& warning : messages.warnings)
      add_finding("format-warning", Severity::caution, "", "reading the file gave the warning: " + warning);
    return std::move(map_);
  }

 private:
  /// GDAL takes WGS 84 in place of a coordinate reference system it does not know, and does not always say so.
  void refuse_unknown_reference(const GdalMessages& messages) const {
    std::string head(1 << 16, '\0');
    std::ifstream in(file_, std::ios::binary);
    in.read(head.data(), static_cast<std::streamsize>(head.size()));
    head.resize(static_cast<std::size_t>(in.gcount()));
    head.resize(std::min(head.size(), head.find("\"features\"")));
    static const std::regex kNamed(R"re("crs"\s*:\s*\{[^{}]*\{[^{}]*"name"\s*:\s*"([^"]*)")re");
    std::smatch found;
    const bool named = std::regex_search(head, found, kNamed);
    const char* const options[] = {"ALLOW_NETWORK_ACCESS=NO", "ALLOW_FILE_ACCESS=NO", nullptr};
    const bool unknown = named && OGRSpatialReference().SetFromUserInput(found.str(1).c_str(), options) != OGRERR_NONE;
    if (unknown || messages.failure.starts_with("PROJ: proj_create"))
      throw data_error("its coordinate reference system " + (named ? "\"" + found.str(1) + "\" " : "") + "is not known",
                       where(), "name it by an EPSG code that exists, or export the file in WGS 84 (EPSG:4326)");
  }

  Where where(const std::string& feature = {}) const { return Where{file_, std::nullopt, feature}; }

  void add_finding(const char* code, Severity severity, const std::string& id, std::string text) {
    map_.findings.push_back(finding_about(code, severity, id, std::move(text)));
  }

  std::string attribute_name(const OGRFieldDefn& field) const {
    const std::string name = field.GetNameRef();
    return shapefile_ ? full_name(name) : name;
  }

  void read_layer(OGRLayer& layer) {
    const std::string name = layer.GetName();
    if (layer.GetGeomType() == wkbNone) return;
    OGRFeatureDefn& definition = *layer.GetLayerDefn();
    bool of_use = mapping_.layer_has_kind(name);
    for (int i = 0; i < definition.GetFieldCount(); ++i) {
      const std::string attribute = attribute_name(*definition.GetFieldDefn(i));
      of_use = of_use || is_kind_attribute(attribute) || is_packed_column(attribute) ||
               mapping_.names_kind(definition.GetFieldDefn(i)->GetNameRef());
    }
    if (!of_use) {
      add_finding("layer-not-read", Severity::note, name,
                  "layer \"" + name + "\" has no aeroway attribute and is not read");
      return;
    }
    prepare_transformation(layer, name);
    const std::size_t first = map_.features.size();
    std::size_t others = 0;
    for (const auto& feature : layer) read_feature(*feature, name, others);
    if (others > 0)
      add_finding("features-not-aeroway", Severity::note, name,
                  fmt::format("features of layer \"{}\" without an aeroway tag, left out: {}", name, others));
    drop_zero_heights(first, name);
  }

  void prepare_transformation(OGRLayer& layer, const std::string& name) {
    const OGRSpatialReference* reference = layer.GetSpatialRef();
    const char* hint = "give the file its coordinate reference system, for example with a .prj file or when exporting it";
    if (!reference || reference->IsLocal() ||
        std::string_view(reference->GetName() ? reference->GetName() : "").starts_with("Undefined"))
      throw data_error("layer \"" + name + "\" has no coordinate reference system", where(), hint);
    OGRSpatialReference source(*reference);
    height_unit_m_ = source.IsCompound() ? source.GetTargetLinearUnits("COMPD_CS|VERT_CS", nullptr) : 1.0;
    if (!(height_unit_m_ > 0)) height_unit_m_ = 1.0;
    source.StripVertical();
    source.DemoteTo2D(nullptr);
    source.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    OGRSpatialReference wgs84;
    wgs84.SetWellKnownGeogCS("WGS84");
    wgs84.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    transformation_.reset();
    if (source.IsSame(&wgs84)) return;
    transformation_.reset(OGRCreateCoordinateTransformation(&source, &wgs84));
    if (!transformation_)
      throw data_error("layer \"" + name + "\": its coordinates cannot be turned into latitude and longitude", where(),
                       hint);
  }

  std::optional<Tags> attributes_of(const OGRFeature& feature, const std::string& id_if_bad) {
    Tags attributes, packed;
    for (int i = 0; i < feature.GetFieldCount(); ++i) {
      if (!feature.IsFieldSetAndNotNull(i)) continue;
      const OGRFieldDefn& field = *feature.GetFieldDefnRef(i);
      std::string name = attribute_name(field), value = feature.GetFieldAsString(i);
      if (field.GetSubType() == OFSTBoolean) value = feature.GetFieldAsInteger(i) ? "yes" : "no";
      if (value.empty()) continue;
      if (is_packed_column(name)) {
        if (auto tags = parse_packed_tags(value)) {
          packed.merge(*tags);
          continue;
        }
        add_finding("packed-tags-damaged", Severity::caution, id_if_bad,
                    "column " + name + " cannot be taken apart: " + value);
        continue;
      }
      attributes.emplace(std::move(name), std::move(value));
    }
    attributes.merge(packed);
    return attributes;
  }

  void read_feature(const OGRFeature& feature, const std::string& layer, std::size_t& others) {
    const std::string fid = layer + "/" + std::to_string(feature.GetFID());
    const auto attributes = attributes_of(feature, fid);
    Tags tags = mapping_.apply(*attributes, layer);
    if (std::none_of(tags.begin(), tags.end(), [](const auto& tag) { return is_kind_attribute(tag.first); })) {
      ++others;
      return;
    }
    const OGRGeometry* geometry = feature.GetGeometryRef();
    const OGRwkbGeometryType type = geometry ? wkbFlatten(geometry->getGeometryType()) : wkbUnknown;
    const bool point = type == wkbPoint || type == wkbMultiPoint, line = type == wkbLineString;
    std::string id = osm_id(*attributes, point ? "node" : line ? "way" : "relation");
    if (const auto given = tags.find("feature_id"); given != tags.end()) id = given->second;
    if (id.empty()) id = fid;
    // Names of columns that only carry the id are no tags.
    for (const char* key : {"@id", "@type", "osm_id", "osm_way_id", "feature_id"}) tags.erase(key);
    if (!geometry || geometry->IsEmpty()) {
      map_.features.push_back({id, Shape::line, {}, std::move(tags)});  // reported when it is interpreted
      return;
    }
    std::unique_ptr<OGRGeometry> straight;
    if (geometry->hasCurveGeometry()) {
      straight.reset(geometry->getLinearGeometry());
      geometry = straight.get();
      add_finding("curve-as-chords", Severity::note, id, "a true curve is taken as a chain of short straight pieces");
    }
    add_geometry(*geometry, id, tags);
  }

  void add_geometry(const OGRGeometry& geometry, const std::string& id, const Tags& tags) {
    switch (wkbFlatten(geometry.getGeometryType())) {
      case wkbPoint: {
        const OGRPoint& point = *geometry.toPoint();
        if (!point.IsEmpty())
          map_.features.push_back(
              {id, Shape::point, {vertex(point.getX(), point.getY(), point.getZ(), point.Is3D())}, tags});
        return;
      }
      case wkbLineString:
        add_line(*geometry.toLineString(), id, Shape::line, tags);
        return;
      case wkbPolygon:
        if (const OGRLinearRing* ring = geometry.toPolygon()->getExteriorRing()) add_line(*ring, id, Shape::area, tags);
        return;
      case wkbMultiPoint:
      case wkbMultiLineString:
      case wkbMultiPolygon:
      case wkbGeometryCollection: {
        const OGRGeometryCollection& parts = *geometry.toGeometryCollection();
        if (parts.getNumGeometries() > 1 && wkbFlatten(geometry.getGeometryType()) != wkbMultiPolygon)
          add_finding("several-parts", Severity::note, id,
                      fmt::format("a feature of {} parts; each is taken as a line of its own", parts.getNumGeometries()));
        for (const OGRGeometry* part : parts) add_geometry(*part, id, tags);
        return;
      }
      default:
        add_finding("geometry-not-read", Severity::caution, id,
                    std::string("a geometry of type ") + geometry.getGeometryName() + " is left out");
    }
  }

  void add_line(const OGRSimpleCurve& line, const std::string& id, Shape shape, const Tags& tags) {
    RawFeature feature{id, shape, {}, tags};
    feature.vertices.reserve(static_cast<std::size_t>(line.getNumPoints()));
    for (int i = 0; i < line.getNumPoints(); ++i)
      feature.vertices.push_back(vertex(line.getX(i), line.getY(i), line.getZ(i), line.Is3D()));
    map_.features.push_back(std::move(feature));
  }

  RawVertex vertex(double x, double y, double z, bool has_height) {
    RawVertex out;
    // What cannot be transformed stays NaN, to be refused with the feature's id.
    if (transformation_ && (!std::isfinite(x) || !std::isfinite(y) || !transformation_->Transform(1, &x, &y))) x = y = NAN;
    out.lat_deg = y;
    out.lon_deg = x;
    if (has_height) out.height_m = z * height_unit_m_;
    return out;
  }

  /// Exporters write 0 for heights they do not have.
  void drop_zero_heights(std::size_t first, const std::string& layer) {
    bool any = false;
    for (std::size_t i = first; i < map_.features.size(); ++i)
      for (const RawVertex& v : map_.features[i].vertices) {
        if (v.height_m && *v.height_m != 0.0) return;
        any = any || v.height_m;
      }
    if (!any) return;
    for (std::size_t i = first; i < map_.features.size(); ++i)
      for (RawVertex& v : map_.features[i].vertices) v.height_m.reset();
    add_finding("heights-all-zero", Severity::note, layer,
                "every height in layer \"" + layer + "\" is 0; it is taken to have none");
  }

  std::string file_;
  const Mapping& mapping_;
  airfield::RawMap map_;
  bool shapefile_ = false;
  double height_unit_m_ = 1.0;
  struct Destroy {
    void operator()(OGRCoordinateTransformation* t) const { OGRCoordinateTransformation::DestroyCT(t); }
  };
  std::unique_ptr<OGRCoordinateTransformation, Destroy> transformation_;
};

}  // namespace

airfield::RawMap read_vector(const std::filesystem::path& file, const Mapping& mapping) {
  return VectorReading(file, mapping).run();
}

}  // namespace solotaxi::io
