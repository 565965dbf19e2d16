#include "runway_chain.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace solotaxi::airfield {
namespace {

constexpr double kNear_m = 5.0;         // assumed: as near-miss ends of taxiways: larger gaps are separate drawings
constexpr double kSameRunway_m = 60.0;  // assumed: a piece missing between two of the same designators
constexpr double kStraight_deg = 10.0;  // assumed: pieces of one runway lie in line

bool same_runway(const RunwayRef& a, const RunwayRef& b) {
  const auto has = [](const RunwayRef& ref, const std::string& d) {
    return !d.empty() && (same_designator(ref.designators[0], d) || same_designator(ref.designators[1], d));
  };
  return has(b, a.designators[0]) || has(b, a.designators[1]);
}

/// Whether any two pieces say the same designators (+1), any two say different ones (-1), or there is nothing to compare
/// (0).
int compare_refs(const RunwayChain& a, const RunwayChain& b) {
  int verdict = 0;
  for (const RunwayPiece& p : a.pieces)
    for (const RunwayPiece& q : b.pieces) {
      if (!p.ref || !q.ref || p.ref->designators[0].empty() || q.ref->designators[0].empty()) continue;
      if (!same_runway(*p.ref, *q.ref)) return -1;
      verdict = 1;
    }
  return verdict;
}

/// Turns a chain round.
void reverse(RunwayChain& chain) {
  std::reverse(chain.pieces.begin(), chain.pieces.end());
  std::reverse(chain.line.begin(), chain.line.end());
  for (RunwayPiece& piece : chain.pieces) piece.reversed = !piece.reversed;
}

/// Direction in which the chain leaves its last vertex, over its last 50 m at least.
Radians end_direction(const std::vector<Vertex>& line) {
  std::size_t i = line.size() - 1;
  do --i;
  while (i > 0 && geodesic_length(line[i].at, line.back().at).value() < 50.0);
  return azimuth(line[i].at, line.back().at);
}

struct Joint {
  std::size_t first = 0, second = 0;
  bool reverse_first = false, reverse_second = false;
  double turn_deg = 0.0, gap_m = 0.0;
};

std::optional<Joint> judge(const std::vector<RunwayChain>& chains, std::size_t i, std::size_t j, bool reverse_i,
                           bool reverse_j) {
  const RunwayChain &a = chains[i], &b = chains[j];
  const Vertex& end = reverse_i ? a.line.front() : a.line.back();
  const Vertex& start = reverse_j ? b.line.back() : b.line.front();
  const double gap = same_vertex(end, start) ? 0.0 : geodesic_length(end.at, start.at).value();
  if (gap > kSameRunway_m) return std::nullopt;
  const int refs = compare_refs(a, b);
  if (refs < 0 || (gap > kNear_m && refs == 0)) return std::nullopt;
  if (a.pieces[0].closed != b.pieces[0].closed || a.pieces[0].layer != b.pieces[0].layer) return std::nullopt;
  std::vector<Vertex> first = a.line, second = b.line;
  if (reverse_i) std::reverse(first.begin(), first.end());
  if (!reverse_j) std::reverse(second.begin(), second.end());
  const Radians out = end_direction(first);
  const Radians in = end_direction(second);  // second, seen from its far end, comes toward the joint
  const double turn = 180.0 - std::abs(deflection(out, in).in_degrees());
  if (turn > kStraight_deg) return std::nullopt;
  if (gap > kNear_m && std::abs(deflection(out, azimuth(end.at, start.at)).in_degrees()) > kStraight_deg)
    return std::nullopt;
  return Joint{i, j, reverse_i, reverse_j, turn, gap};
}

}  // namespace

std::vector<RunwayChain> chain_pieces(std::vector<RunwayPiece> pieces, Findings& findings) {
  std::vector<RunwayChain> chains;
  for (RunwayPiece& piece : pieces) {
    std::vector<Vertex> line = piece.feature->line;
    chains.push_back({{std::move(piece)}, std::move(line)});
  }
  while (true) {
    std::optional<Joint> best;
    for (std::size_t i = 0; i < chains.size(); ++i)
      for (std::size_t j = i + 1; j < chains.size(); ++j)
        for (const bool reverse_i : {false, true})
          for (const bool reverse_j : {false, true}) {
            const auto joint = judge(chains, i, j, reverse_i, reverse_j);
            if (joint && (!best || std::pair(joint->gap_m > kNear_m, joint->turn_deg) <
                                       std::pair(best->gap_m > kNear_m, best->turn_deg)))
              best = joint;
          }
    if (!best) break;
    RunwayChain &a = chains[best->first], &b = chains[best->second];
    if (best->reverse_first) reverse(a);
    if (best->reverse_second) reverse(b);
    if (best->gap_m > 0.01)
      findings.push_back(finding_at("runway-gap-joined", best->gap_m > kNear_m ? Severity::caution : Severity::note,
                                    *b.pieces.front().feature,
                                    fmt::format("joined to {} across a gap of {:.1f} m between two pieces of one runway",
                                                a.pieces.back().feature->id(), best->gap_m)));
    a.line.insert(a.line.end(), b.line.begin() + (best->gap_m > 0.01 ? 0 : 1), b.line.end());
    a.pieces.insert(a.pieces.end(), b.pieces.begin(), b.pieces.end());
    chains.erase(chains.begin() + static_cast<std::ptrdiff_t>(best->second));
  }
  for (RunwayChain& chain : chains) {
    const auto longest = std::max_element(chain.pieces.begin(), chain.pieces.end(),
                                          [](const RunwayPiece& a, const RunwayPiece& b) { return a.length < b.length; });
    if (longest->reversed) reverse(chain);
  }
  return chains;
}

}  // namespace solotaxi::airfield
