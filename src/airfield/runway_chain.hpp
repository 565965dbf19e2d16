// Pieces of runway centreline joined end to end.
#pragma once

#include <optional>
#include <vector>

#include "feature.hpp"
#include "solotaxi/airfield/runway_ref.hpp"
#include "solotaxi/geo/geodesic.hpp"

namespace solotaxi::airfield {

struct RunwayPiece {
  const Feature* feature = nullptr;
  std::optional<RunwayRef> ref;
  bool displaced = false;  ///< pavement before a displaced landing threshold
  bool closed = false;
  bool reversed = false;  ///< lies in its chain against its own direction
  int layer = 0;
  std::optional<Metres> width;
  Metres length;
};

struct RunwayChain {
  std::vector<RunwayPiece> pieces;  ///< in order along the line
  std::vector<Vertex> line;
};

/// Pieces belong together where an end of one lies on an end of another (same vertex, or 5 m off; up to 60 m off where both
/// carry the same designators), they run on with under 10° of turn, and nothing speaks against it (other designators,
/// closed, layer). Straightest joints first, so that runways split where they cross stay apart. A chain runs the way its
/// longest piece is drawn. Gaps closed become findings.
[[nodiscard]] std::vector<RunwayChain> chain_pieces(std::vector<RunwayPiece> pieces, Findings& findings);

}  // namespace solotaxi::airfield
