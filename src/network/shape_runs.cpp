#include "network/shape_runs.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace solotaxi::network::detail {
namespace {

/// How far a bend's own turning reaches toward the bend `next`, or the straight there, over a leg [m]; `behind` is the bend
/// on its other side. Arcs are drawn with chords or with tangents: bends alike have half of the leg between them each; one
/// that turns half as much as the one behind it is where the arc ends, and one that turns as much lies half a chord inside
/// it.
double reach_m(const VertexBend& bend, const VertexBend* next, double leg_m, const VertexBend* behind) {
  double shared = 0.0, ending = 0.0;
  if (next != nullptr) shared = 0.5 * leg_m * std::min(1.0, 2.0 * std::abs(next->angle_rad / bend.angle_rad));
  if (behind != nullptr) {
    const double share = std::min(1.0, std::abs(bend.angle_rad / behind->angle_rad));
    ending = 0.5 * std::min(leg_m, std::abs(behind->at_m - bend.at_m)) * std::max(0.0, 2.0 * share - 1.0);
  }
  return std::max(shared, ending);
}

/// What the bends of a run turn beside the sharpest of them, in terms of what a straight beside that one may turn.
double beside_sharpest(const Bends& bends, std::size_t first, std::size_t past) {
  double sharpest = 0.0, all = 0.0;
  for (std::size_t i = first; i < past; ++i) {
    sharpest = std::max(sharpest, std::abs(bends[i].angle_rad));
    all += std::abs(bends[i].angle_rad);
  }
  return (all - sharpest) / straight_rad(sharpest);
}

/// How far a run is one corner, 1 … 0: where little lies beside its sharpest bend, or all of it is slight.
double corner_share(double beside, double angle_rad) {
  constexpr double kNone = 3.0, kSlight = 30.0 * kDegree, kMarked = 40.0 * kDegree;  // assumed
  const double one = (kNone - beside) / (kNone - 1.0), slight = (kMarked - std::abs(angle_rad)) / (kMarked - kSlight);
  return std::clamp(std::max(one, slight), 0.0, 1.0);
}

/// The run from bend `first` to before `past`. Every bend's turning lies evenly over its reach. The middle 90, 70, 50, 30
/// and 10 % of the turning each say over how much way all of it would be, and where; the mean of the five is taken. So the
/// curvature that counts is that of the curve, and neither a faint bend far off nor one vertex drawn askew says much.
CurveRun measured(const Bends& bends, std::size_t first, std::size_t past) {
  struct Piece {
    double from_m, to_m, angle_rad;
  };
  CurveRun run;
  std::vector<Piece> pieces;
  pieces.reserve(past - first);
  for (std::size_t i = first; i < past; ++i) {
    const VertexBend& b = bends[i];
    const VertexBend* before = i > first ? &bends[i - 1] : nullptr;
    const VertexBend* after = i + 1 < past ? &bends[i + 1] : nullptr;
    const double leg_before = i > 0 ? b.at_m - bends[i - 1].at_m : kCurveLeg;
    const double leg_after = i + 1 < bends.size() ? bends[i + 1].at_m - b.at_m : kCurveLeg;
    pieces.push_back({b.at_m - reach_m(b, before, leg_before, after), b.at_m + reach_m(b, after, leg_after, before),
                      std::abs(b.angle_rad)});
    run.angle_rad += b.angle_rad;
  }
  const auto at_share = [&](double share) {
    double left = share * std::abs(run.angle_rad);
    auto p = pieces.begin();
    for (; p + 1 != pieces.end() && p->angle_rad < left; ++p) left -= p->angle_rad;
    return p->from_m + (p->to_m - p->from_m) * std::min(1.0, left / p->angle_rad);
  };
  constexpr std::array kTails{0.05, 0.15, 0.25, 0.35, 0.45};
  double middle = 0.0;
  for (const double tail : kTails) {
    const double low = at_share(tail), high = at_share(1.0 - tail);
    run.way_m += (high - low) / (1.0 - 2.0 * tail) / kTails.size();
    middle += 0.5 * (low + high) / kTails.size();
  }
  run.corner = corner_share(beside_sharpest(bends, first, past), run.angle_rad);
  run.first_bend_m = bends[first].at_m;
  run.last_bend_m = bends[past - 1].at_m;
  run.first_m = std::max(run.first_bend_m, middle - 0.5 * run.way_m);
  run.last_m = std::min(run.last_bend_m, middle + 0.5 * run.way_m);
  return run;
}

bool goes_on(const VertexBend& bend, const VertexBend& next, double sharpest_rad) {
  if ((next.angle_rad > 0.0) != (bend.angle_rad > 0.0)) return false;
  if (std::max(std::abs(bend.angle_rad), std::abs(next.angle_rad)) >= sharpest_rad) return false;
  return next.at_m - bend.at_m < std::min(curve_leg_m(bend.angle_rad), curve_leg_m(next.angle_rad));
}

/// Calls `take(first, past)` for each run of two bends or more between two bends that is more than a corner.
template <typename Take>
void split(const Bends& bends, std::size_t first, std::size_t end, double sharpest_rad, const Take& take) {
  for (std::size_t past; first < end; first = past) {
    past = first + 1;
    while (past < end && goes_on(bends[past - 1], bends[past], sharpest_rad)) ++past;
    if (past - first >= 2 && beside_sharpest(bends, first, past) >= 1.0) take(first, past);
  }
}

}  // namespace

double curve_leg_m(double angle_rad) {
  // Up to 20° as the model has it. From 30° on no longer than the fillets of two such bends want, so that whether they are
  // one curve or two corners hardly matters; assumed.
  constexpr double kSlight = 20.0 * kDegree, kMarked = 30.0 * kDegree, kMarkedLeg = 25.0;
  const double marked = std::clamp((std::abs(angle_rad) - kSlight) / (kMarked - kSlight), 0.0, 1.0);
  return kCurveLeg + marked * (kMarkedLeg - kCurveLeg);
}

double straight_rad(double bend_rad) {
  // 5° is the model's, over nodes; the shares are assumed: a slight bend is not to pass over another that tells, and a
  // sharp one not to end at every kink.
  constexpr double kStraightOn = 5.0 * kDegree, kOfSlight = 0.25, kOfSharp = 0.125;
  const double bend = std::abs(bend_rad);
  return std::max({kNoBend, std::min(kStraightOn, kOfSlight * bend), kOfSharp * bend});
}

void leave_out_dents(Bends& bends, double noise_m) {
  for (std::size_t k = 1; k + 1 < bends.size();) {
    VertexBend &before = bends[k - 1], &after = bends[k + 1];
    const VertexBend here = bends[k];
    const double behind = here.at_m - before.at_m, ahead = after.at_m - here.at_m, both = behind + ahead;
    const bool turns_back = here.angle_rad * before.angle_rad < 0.0 && here.angle_rad * after.angle_rad < 0.0;
    if (!turns_back || std::abs(here.angle_rad) * behind * ahead >= 2.0 * noise_m * both) {
      ++k;
      continue;
    }
    before.angle_rad += here.angle_rad * ahead / both;
    after.angle_rad += here.angle_rad * behind / both;
    bends.erase(bends.begin() + static_cast<std::ptrdiff_t>(k));
  }
}

std::vector<CurveRun> curve_runs(const Bends& bends, double from_m, double to_m,
                                 const std::function<bool(double, double)>& refused) {
  std::vector<CurveRun> runs;
  split(bends, 0, bends.size(), kCurveBend, [&](std::size_t first, std::size_t past) {
    if (bends[past - 1].at_m < from_m || bends[first].at_m > to_m) return;
    CurveRun whole = measured(bends, first, past);
    if (refused(whole.angle_rad, whole.way_m)) {
      std::vector<CurveRun> parts;
      whole.in_parts = true;
      split(bends, first, past, kSlightBend, [&](std::size_t from, std::size_t to) {
        parts.push_back(measured(bends, from, to));
        if (refused(parts.back().angle_rad, parts.back().way_m)) whole.in_parts = false;
      });
      if (!whole.in_parts) {
        runs.insert(runs.end(), parts.begin(), parts.end());
        return;
      }
    }
    runs.push_back(whole);
  });
  std::erase_if(runs, [](const CurveRun& run) { return !(run.last_m > run.first_m); });
  return runs;
}

}  // namespace solotaxi::network::detail
