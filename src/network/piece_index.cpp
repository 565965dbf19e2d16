#include "network/piece_index.hpp"

#include <algorithm>

namespace solotaxi::network::detail {

PieceIndex::PieceIndex(const Draft& draft) : draft_(draft) {
  for (std::uint32_t l = 0; l < draft.lines.size(); ++l)
    for (std::uint32_t at = 0; at + 1 < draft.lines[l].vertices.size(); ++at) pieces_.push_back({l, at});
  const auto handle = draft.geos.handle();
  tree_ = GeosTree(GEOSSTRtree_create_r(handle, 10), {handle});
  boxes_.reserve(pieces_.size());
  for (auto& piece : pieces_) {
    const LocalXY ends[] = {draft.start(piece), draft.end(piece)};
    boxes_.push_back(geos_line(draft.geos, ends));
    GEOSSTRtree_insert_r(handle, tree_.get(), boxes_.back().get(), &piece);
  }
}

const std::vector<Piece>& PieceIndex::near(LocalXY a, LocalXY b, double reach_m) const {
  found_.clear();
  if (pieces_.empty()) return found_;
  const LocalXY box[] = {{std::min(a.x_m, b.x_m) - reach_m, std::min(a.y_m, b.y_m) - reach_m},
                         {std::max(a.x_m, b.x_m) + reach_m, std::max(a.y_m, b.y_m) + reach_m}};
  const auto query = geos_line(draft_.geos, box);
  GEOSSTRtree_query_r(
      draft_.geos.handle(), tree_.get(), query.get(),
      [](void* item, void* found) { static_cast<std::vector<Piece>*>(found)->push_back(*static_cast<const Piece*>(item)); },
      &found_);
  std::sort(found_.begin(), found_.end());
  return found_;
}

}  // namespace solotaxi::network::detail
