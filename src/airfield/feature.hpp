// Raw features with their positions checked, and the findings they give.
#pragma once

#include <string>
#include <vector>

#include "solotaxi/airfield/airfield.hpp"
#include "solotaxi/airfield/raw_map.hpp"

namespace solotaxi::airfield {

struct Feature {
  const RawFeature* raw = nullptr;
  std::vector<Vertex> line;  ///< every vertex, repeated neighbours removed

  [[nodiscard]] const std::string& id() const { return raw->id; }
  [[nodiscard]] const std::string& tag(const std::string& key) const { return raw->tag(key); }
  [[nodiscard]] bool is(RawFeature::Shape shape) const { return raw->shape == shape; }
  /// A line whose first and last vertex are the same.
  [[nodiscard]] bool is_ring() const;
};

/// Same node of the map, or the same position.
[[nodiscard]] bool same_vertex(const Vertex& a, const Vertex& b);

/// Throws Error (data) with the id of the first feature that has a NaN or out-of-range coordinate. Features without any
/// vertex are left out; repeated neighbouring vertices are merged; both become findings.
[[nodiscard]] std::vector<Feature> check_features(const RawMap& map, Findings& findings);

[[nodiscard]] Finding finding_at(std::string code, Severity severity, const Feature& feature, std::string text);

/// One finding for many features alike: at the first of them, its text followed by the number and the first few ids. Adds
/// nothing where there are none.
void add_counted(Findings& findings, std::string code, Severity severity, const std::vector<const Feature*>& features,
                 const std::string& text);

}  // namespace solotaxi::airfield
