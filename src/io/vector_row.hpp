// One feature of a GDAL layer, asked by column. For .cpp files that have GDAL's headers in any case.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "solotaxi/geo/position.hpp"

class OGRFeature;

namespace solotaxi::io {

class VectorRow {
 public:
  /// All must outlive the row.
  VectorRow(const OGRFeature& feature, const std::string& file, const std::string& layer)
      : feature_(feature), file_(file), layer_(layer) {}

  [[nodiscard]] bool has(const char* column) const;
  /// "" where there is none.
  [[nodiscard]] std::string text(const char* column) const;
  [[nodiscard]] std::optional<double> number(const char* column) const;
  [[nodiscard]] bool flag(const char* column) const;
  [[nodiscard]] std::optional<std::int64_t> whole(const char* column) const;
  /// A length, mass or speed: throws Error (data) where it is not above zero.
  [[nodiscard]] std::optional<double> positive(const char* column) const;
  /// Vertices of a point, a line, or a group of one line; none for anything else. Throws Error (data) out of range.
  [[nodiscard]] std::vector<LatLon> line() const;
  /// Throws Error (data) that names the file and the feature as "layer/fid".
  [[noreturn]] void refuse(const std::string& message, const std::string& hint = {}) const;

 private:
  const OGRFeature& feature_;
  const std::string& file_;
  const std::string& layer_;
};

}  // namespace solotaxi::io
