// GEOS through its C API, owned: handles free themselves and an error of the library becomes an Error here.
#pragma once

#include <geos_c.h>

#include <memory>
#include <span>
#include <string>
#include <vector>

#include "solotaxi/geo/position.hpp"

namespace solotaxi::network::detail {

/// One GEOS context with the message of its last error. The library keeps a pointer to it, so it does not move.
class GeosContext {
 public:
  GeosContext();
  ~GeosContext();
  GeosContext(const GeosContext&) = delete;
  GeosContext& operator=(const GeosContext&) = delete;

  [[nodiscard]] GEOSContextHandle_t handle() const { return handle_; }
  /// Throws Error with the library's message.
  [[noreturn]] void fail(const char* doing) const;

 private:
  static void on_error(const char* message, void* self);
  GEOSContextHandle_t handle_;
  std::string message_;
};

struct GeosFree {
  GEOSContextHandle_t handle = nullptr;
  void operator()(GEOSGeometry* g) const { GEOSGeom_destroy_r(handle, g); }
  void operator()(const GEOSPreparedGeometry* g) const { GEOSPreparedGeom_destroy_r(handle, g); }
  void operator()(GEOSSTRtree* t) const { GEOSSTRtree_destroy_r(handle, t); }
};
using GeosGeometry = std::unique_ptr<GEOSGeometry, GeosFree>;
using GeosTree = std::unique_ptr<GEOSSTRtree, GeosFree>;

[[nodiscard]] GeosGeometry geos_line(const GeosContext& geos, std::span<const LocalXY> line);
[[nodiscard]] GeosGeometry geos_point(const GeosContext& geos, LocalXY at);
/// A polygon from its closed outer ring (first vertex repeated; at least 4).
[[nodiscard]] GeosGeometry geos_polygon(const GeosContext& geos, std::span<const LocalXY> ring);
[[nodiscard]] double geos_distance(const GeosContext& geos, const GEOSGeometry* a, const GEOSGeometry* b);

/// Douglas and Peucker's simplification; the ends stay, the vertices that stay are unchanged.
[[nodiscard]] std::vector<LocalXY> simplified(const GeosContext& geos, std::span<const LocalXY> line, double tolerance_m);

/// Drawing noise: lines are judged simplified to this [m] (the ground-movement model, section 2).
inline constexpr double kDrawingNoise = 0.3;

}  // namespace solotaxi::network::detail
