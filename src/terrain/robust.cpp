#include "terrain/robust.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "terrain/buckets.hpp"

namespace solotaxi::terrain {
namespace {

constexpr double kOutlier = 3.0;     // standard deviations; the ground-movement model, section 8
constexpr double kCertain = 4.5;     // a group with a reading so far off is no noise; assumed
constexpr double kBelongs = 1.5;     // so far off the same way, beside an outlier, a reading is taken to be part of it; assumed
constexpr double kBeside = 1.5;      // pixels: the eight around
constexpr double kPointsBeside = 15.0;  // m, for points
constexpr int kRounds = 8;
constexpr double kSettled = 0.10;    // change of a weight below which another round is not worth it
constexpr double kLeftOut = std::numeric_limits<double>::infinity();

/// Residuals in standard deviations, signed.
std::vector<double> deviations(const StateSystem& system, const Observations& observed) {
  std::vector<double> out;
  out.reserve(observed.list.size());
  for (const Observation& o : observed.list) out.push_back((o.height_m - system.ground_at(o)) / o.sigma_m);
  return out;
}

/// Grows connected groups of one sign from the outliers.
std::vector<OutlierGroup> find_groups(const Observations& observed, const std::vector<double>& t) {
  std::vector<Buckets> near;
  for (const ObservedSource& s : observed.sources) near.emplace_back(s.pixel_m > 0.0 ? kBeside * s.pixel_m : kPointsBeside);
  bool any = false;
  for (std::uint32_t k = 0; k < t.size(); ++k) {
    any = any || std::abs(t[k]) > kOutlier;
    if (std::abs(t[k]) > kBelongs) near[observed.list[k].source].add(observed.list[k].at, k);
  }
  std::vector<OutlierGroup> groups;
  if (!any) return groups;
  std::vector<char> taken(t.size(), 0);
  for (std::uint32_t seed = 0; seed < t.size(); ++seed) {
    if (taken[seed] != 0 || std::abs(t[seed]) <= kOutlier) continue;
    OutlierGroup group{{seed}, 0.0};
    taken[seed] = 1;
    for (std::size_t next = 0; next < group.members.size(); ++next) {
      const Observation& o = observed.list[group.members[next]];
      const Buckets& beside = near[o.source];
      beside.near(o.at, beside.cell_m(), [&](std::uint32_t k) {
        if (taken[k] != 0 || (t[k] > 0.0) != (t[seed] > 0.0) || distance_m(observed.list[k].at, o.at) > beside.cell_m()) return;
        taken[k] = 1;
        group.members.push_back(k);
      });
    }
    groups.push_back(std::move(group));
  }
  return groups;
}

/// An observation t deviations off gets (t/3)⁴ times its variance: continuous at t = 3, and ten deviations off it hardly
/// counts.
Judgement judge(const StateSystem& system, const Observations& observed) {
  const std::vector<double> t = deviations(system, observed);
  Judgement out;
  out.inflation.reserve(t.size());
  for (const double d : t) {
    out.inflation.push_back(std::max(1.0, std::pow(d / kOutlier, 4)));
    if (std::abs(d) > kOutlier) ++out.doubted;
  }
  for (OutlierGroup& group : find_groups(observed, t)) {
    double farthest = 0.0;
    for (const std::uint32_t k : group.members) farthest = std::max(farthest, std::abs(t[k]));
    if (group.members.size() < 2 || farthest < kCertain) continue;
    for (const std::uint32_t k : group.members) {
      if (std::abs(t[k]) > kOutlier) --out.doubted;
      out.inflation[k] = kLeftOut;
      group.mean_residual_m += t[k] * observed.list[k].sigma_m / static_cast<double>(group.members.size());
    }
    out.groups.push_back(std::move(group));
  }
  return out;
}

bool settled(const std::vector<double>& before, const std::vector<double>& after) {
  for (std::size_t k = 0; k < before.size(); ++k) {
    if (std::isinf(before[k]) != std::isinf(after[k])) return false;
    if (!std::isinf(before[k]) && std::abs(after[k] - before[k]) > kSettled * before[k]) return false;
  }
  return true;
}

}  // namespace

Judgement trust_all(const Observations& observed) { return {std::vector<double>(observed.list.size(), 1.0), {}, 0}; }

Judgement solve_robustly(StateSystem& system, const Observations& observed, double wander, Judgement from) {
  for (int round = 0;; ++round) {
    system.solve(wander, from.inflation);
    if (round == kRounds) return from;
    Judgement next = judge(system, observed);
    if (settled(from.inflation, next.inflation)) return from;
    from = std::move(next);
  }
}

}  // namespace solotaxi::terrain
