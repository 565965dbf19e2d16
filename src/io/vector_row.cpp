#include "io/vector_row.hpp"

#include <fmt/format.h>
#include <ogrsf_frmts.h>

#include <cmath>

#include "solotaxi/base/error.hpp"

namespace solotaxi::io {

bool VectorRow::has(const char* column) const {
  const int i = feature_.GetFieldIndex(column);
  return i >= 0 && feature_.IsFieldSetAndNotNull(i);
}

std::string VectorRow::text(const char* column) const {
  return has(column) ? feature_.GetFieldAsString(feature_.GetFieldIndex(column)) : "";
}

std::optional<double> VectorRow::number(const char* column) const {
  if (!has(column)) return std::nullopt;
  const double value = feature_.GetFieldAsDouble(feature_.GetFieldIndex(column));
  if (!std::isfinite(value)) refuse(std::string(column) + " is no number");
  return value;
}

bool VectorRow::flag(const char* column) const { return number(column).value_or(0.0) != 0.0; }

std::optional<std::int64_t> VectorRow::whole(const char* column) const {
  if (!has(column)) return std::nullopt;
  return static_cast<std::int64_t>(feature_.GetFieldAsInteger64(feature_.GetFieldIndex(column)));
}

std::optional<double> VectorRow::positive(const char* column) const {
  const auto value = number(column);
  if (value && !(*value > 0.0)) refuse(fmt::format("{} is {}; it must be above zero or empty", column, *value));
  return value;
}

std::vector<LatLon> VectorRow::line() const {
  std::vector<LatLon> out;
  const OGRGeometry* g = feature_.GetGeometryRef();
  if (g == nullptr || g->IsEmpty()) return out;
  if (wkbFlatten(g->getGeometryType()) == wkbPoint)
    out.push_back(LatLon::degrees(g->toPoint()->getY(), g->toPoint()->getX()));
  if (wkbFlatten(g->getGeometryType()) == wkbMultiLineString && g->toMultiLineString()->getNumGeometries() == 1)
    g = g->toMultiLineString()->getGeometryRef(0);  // as some programs store edited lines
  if (wkbFlatten(g->getGeometryType()) == wkbLineString)
    for (const OGRPoint& p : *g->toLineString()) out.push_back(LatLon::degrees(p.getY(), p.getX()));
  return out;
}

void VectorRow::refuse(const std::string& message, const std::string& hint) const {
  throw data_error(message, Where{file_, std::nullopt, layer_ + "/" + std::to_string(feature_.GetFID())}, hint);
}

}  // namespace solotaxi::io
