#include "network/geos.hpp"

#include "solotaxi/base/error.hpp"

namespace solotaxi::network::detail {

GeosContext::GeosContext() : handle_(GEOS_init_r()) {
  GEOSContext_setErrorMessageHandler_r(handle_, &GeosContext::on_error, this);
}

GeosContext::~GeosContext() { GEOS_finish_r(handle_); }

void GeosContext::on_error(const char* message, void* self) { static_cast<GeosContext*>(self)->message_ = message; }

void GeosContext::fail(const char* doing) const {
  throw data_error(std::string("geometry library failed while ") + doing + (message_.empty() ? "" : ": " + message_));
}

namespace {

GEOSCoordSequence* sequence(const GeosContext& geos, std::span<const LocalXY> line) {
  auto* s = GEOSCoordSeq_create_r(geos.handle(), static_cast<unsigned>(line.size()), 2);
  if (s == nullptr) geos.fail("making a line");
  for (unsigned i = 0; i < line.size(); ++i) GEOSCoordSeq_setXY_r(geos.handle(), s, i, line[i].x_m, line[i].y_m);
  return s;
}

}  // namespace

GeosGeometry geos_line(const GeosContext& geos, std::span<const LocalXY> line) {
  GeosGeometry g(GEOSGeom_createLineString_r(geos.handle(), sequence(geos, line)), {geos.handle()});
  if (!g) geos.fail("making a line");
  return g;
}

GeosGeometry geos_point(const GeosContext& geos, LocalXY at) {
  GeosGeometry g(GEOSGeom_createPointFromXY_r(geos.handle(), at.x_m, at.y_m), {geos.handle()});
  if (!g) geos.fail("making a point");
  return g;
}

GeosGeometry geos_polygon(const GeosContext& geos, std::span<const LocalXY> ring) {
  GEOSGeometry* edge = GEOSGeom_createLinearRing_r(geos.handle(), sequence(geos, ring));
  if (edge == nullptr) geos.fail("making the edge of an area");
  GeosGeometry g(GEOSGeom_createPolygon_r(geos.handle(), edge, nullptr, 0), {geos.handle()});
  if (!g) geos.fail("making an area");
  return g;
}

double geos_distance(const GeosContext& geos, const GEOSGeometry* a, const GEOSGeometry* b) {
  double d = 0.0;
  if (GEOSDistance_r(geos.handle(), a, b, &d) == 0) geos.fail("measuring a distance");
  return d;
}

std::vector<LocalXY> simplified(const GeosContext& geos, std::span<const LocalXY> line, double tolerance_m) {
  if (line.size() <= 2) return {line.begin(), line.end()};
  const auto whole = geos_line(geos, line);
  const GeosGeometry simple(GEOSSimplify_r(geos.handle(), whole.get(), tolerance_m), {geos.handle()});
  const GEOSCoordSequence* s = simple ? GEOSGeom_getCoordSeq_r(geos.handle(), simple.get()) : nullptr;
  unsigned n = 0;
  if (s == nullptr || GEOSCoordSeq_getSize_r(geos.handle(), s, &n) == 0) geos.fail("simplifying a line");
  if (n < 2) return {line.begin(), line.end()};
  std::vector<LocalXY> out(n);
  for (unsigned i = 0; i < n; ++i) GEOSCoordSeq_getXY_r(geos.handle(), s, i, &out[i].x_m, &out[i].y_m);
  return out;
}

}  // namespace solotaxi::network::detail
