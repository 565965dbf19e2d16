// The drawing behind a network's shape: its segments joined into lines through nodes where just two meet, simplified, with
// the bend at each vertex, and how each line goes on at its ends.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "network/shape_runs.hpp"
#include "solotaxi/network/network.hpp"

namespace solotaxi::network::detail {

inline constexpr double kEndless = 10000.0;  ///< no straight is followed farther [m]
inline constexpr std::uint32_t kNone = 0xFFFFFFFF;

/// Line l driven forward is way 2 l, backward way 2 l + 1.
using Way = std::uint32_t;

/// How a way goes on at its end.
struct Continuation {
  Way next = kNone;  ///< the straightest, kNone where there is none or two equally straight
  double angle_rad = 0.0;
  bool dead_end = false;
};

/// A straight piece.
struct Straight {
  double length_m = 0.0;
  bool dead_end = false;
  /// Half is left to the bend at the other end; a dead end lends the whole.
  [[nodiscard]] double tangent_m() const { return dead_end ? length_m : 0.5 * length_m; }
};

class Lines {
 public:
  Lines(const Network& network, double simplify_m);

  [[nodiscard]] std::size_t size() const { return lines_.size(); }
  [[nodiscard]] double length_m(Way w) const { return lines_[w / 2].length_m; }
  /// Bends of a line, forward.
  [[nodiscard]] std::span<const VertexBend> bends(std::size_t line) const {
    return {bends_.data() + lines_[line].first_bend, lines_[line].bends};
  }
  /// Arcs of a line, forward.
  [[nodiscard]] std::span<const ArcId> arcs(std::size_t line) const {
    return {arcs_.data() + lines_[line].first_arc, lines_[line].arcs};
  }
  [[nodiscard]] const Continuation& beyond(Way w) const { return beyond_[w]; }
  /// Straight beside a bend of this angle: from a place on a way, over its straightest continuations, to where it has
  /// turned by more than a straight may.
  [[nodiscard]] Straight straight(Way w, double at_m, double bend_rad) const;
  /// Bends of one hand, as met from the start of a way, `at_m` from there; none where none is within a curve's leg.
  [[nodiscard]] const Bends& run(Way w) const { return run_[w]; }
  /// Adds the bends within a distance of the start of a way, on over its straightest continuations; `at_m` counts from
  /// `offset_m` at that start, angles are the way's.
  void bends_within(Way w, double distance_m, double offset_m, Bends& out) const;
  /// The same within a distance beyond the end of a way, the node included.
  void bends_beyond(Way w, double distance_m, double offset_m, Bends& out) const;
  /// Headings of a way's first and last leg.
  [[nodiscard]] Radians first_heading(Way w) const { return Radians{first_heading_[w]}; }
  [[nodiscard]] Radians last_heading(Way w) const;

  [[nodiscard]] Way way_of(ArcId a) const { return way_of_[index(a)]; }
  /// Start of an arc along its own way.
  [[nodiscard]] double start_m(ArcId a) const { return start_m_[index(a)]; }
  /// Whether `b` is what the same line goes on with after `a`, over a node where just two segments meet.
  [[nodiscard]] bool goes_on(ArcId a, ArcId b) const {
    return way_of(a) == way_of(b) && place_[index(b)] == place_[index(a)] + 1;
  }

 private:
  struct Line {
    std::uint32_t first_arc = 0, arcs = 0, first_bend = 0, bends = 0;
    double length_m = 0.0;
  };
  /// Bend k of a way in its own direction.
  [[nodiscard]] VertexBend bend(Way w, std::size_t k) const;
  [[nodiscard]] std::size_t bend_count(Way w) const { return lines_[w / 2].bends; }
  void join_segments(const Network& network);
  void add_line(const Network& network, ArcId first, const std::vector<ArcId>& next);
  void draw(const Network& network, double simplify_m);
  void find_continuations(const Network& network);
  [[nodiscard]] Bends trace_run(Way w) const;

  double noise_m_;
  std::vector<Line> lines_;
  std::vector<ArcId> arcs_;
  Bends bends_;
  std::vector<double> first_heading_;  ///< by way
  std::vector<Continuation> beyond_;   ///< by way
  std::vector<Bends> run_;             ///< by way
  std::vector<Way> way_of_;            ///< by arc
  std::vector<std::uint32_t> place_;   ///< by arc: its number along its way
  std::vector<double> start_m_;        ///< by arc
};

}  // namespace solotaxi::network::detail
