// Finding pieces of lines by place: a GEOS STRtree over every straight between two vertices of a draft.
#pragma once

#include <vector>

#include "network/draft.hpp"

namespace solotaxi::network::detail {

/// The index holds the pieces as they were when it was made; build a new one after lines have changed.
class PieceIndex {
 public:
  explicit PieceIndex(const Draft& draft);
  /// Pieces whose box comes within `reach_m` of the box of a and b, ascending. Not thread safe.
  [[nodiscard]] const std::vector<Piece>& near(LocalXY a, LocalXY b, double reach_m) const;
  [[nodiscard]] const std::vector<Piece>& near(LocalXY p, double reach_m) const { return near(p, p, reach_m); }
  [[nodiscard]] const std::vector<Piece>& all() const { return pieces_; }

 private:
  const Draft& draft_;
  std::vector<Piece> pieces_;
  std::vector<GeosGeometry> boxes_;
  GeosTree tree_;
  mutable std::vector<Piece> found_;
};

}  // namespace solotaxi::network::detail
