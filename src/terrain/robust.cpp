#include "terrain/robust.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "terrain/buckets.hpp"

namespace solotaxi::terrain {
namespace {

constexpr double kOutlier = 3.0;   // standard deviations; the ground-movement model, section 8
constexpr double kStrained = 2.0;  // standard deviations: one in twenty by chance, and then it does no harm
constexpr double kCertain = 4.5;   // a group with a reading so far off is no noise; assumed
constexpr double kBelongs =
    1.5;                         // so far off the same way, beside an outlier, a reading is taken to be part of it; assumed
constexpr double kBeside = 1.5;  // pixels: the eight around
constexpr double kPointsBeside = 15.0;  // m, for points
constexpr double kBank = 0.06;          // twice the 3 % of code A and B [ICAO Annex 14]; assumed
constexpr double kMostOutliers = 0.2;   // of a source's readings; assumed
constexpr std::size_t kFew = 3;         // readings may be off anyway
constexpr int kRoundsToSay = 4;
constexpr int kRounds = 10;
constexpr double kSettled = 0.10;  // change of a weight below which another round is not worth it
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
        if (taken[k] != 0 || (t[k] > 0.0) != (t[seed] > 0.0) || distance_m(observed.list[k].at, o.at) > beside.cell_m())
          return;
        taken[k] = 1;
        group.members.push_back(k);
      });
    }
    groups.push_back(std::move(group));
  }
  return groups;
}

/// Whether a group may be a hill or a hollow: it rises no steeper from the readings around it than ground beside a pavement
/// may. Buildings and blunders stand out from one pixel to the next.
bool could_be_ground(const Observations& observed, const std::vector<double>& t, const OutlierGroup& group) {
  double steepest = 0.0;
  for (const std::uint32_t k : group.members) {
    const Observation& o = observed.list[k];
    double nearest = std::numeric_limits<double>::infinity();
    for (std::uint32_t j = 0; j < t.size(); ++j)
      if (t[j] * (t[k] > 0.0 ? 1.0 : -1.0) <= kBelongs) nearest = std::min(nearest, distance_m(o.at, observed.list[j].at));
    steepest = std::max(steepest, std::abs(t[k]) * o.sigma_m / nearest);
  }
  return steepest < kBank;
}

/// Outliers are few. A source of which many readings do not fit is rough as a whole, or declared too good: leaving out what
/// does not fit would only hide it, so all its readings count.
/// Said only after some rounds: at first a few gross readings pull everything with them.
void trust_rough_sources(const Observations& observed, bool say, const Judgement& before, Judgement& judgement) {
  std::vector<std::size_t> off(observed.sources.size(), 0);
  for (std::size_t k = 0; k < observed.list.size(); ++k)
    if (judgement.inflation[k] > 1.0) ++off[observed.list[k].source];
  judgement.rough = before.rough;
  for (std::size_t s = 0; say && s < off.size(); ++s)
    if (static_cast<double>(off[s]) > kMostOutliers * static_cast<double>(observed.sources[s].fit.readings) &&
        off[s] > kFew)
      judgement.rough[s] = 1;
  if (std::none_of(judgement.rough.begin(), judgement.rough.end(), [](char c) { return c != 0; })) return;
  const auto rough = [&](std::uint32_t k) { return judgement.rough[observed.list[k].source] != 0; };
  std::erase_if(judgement.groups, [&](const OutlierGroup& g) { return rough(g.members.front()); });
  for (std::uint32_t k = 0; k < observed.list.size(); ++k) {
    if (!rough(k)) continue;
    if (!std::isinf(judgement.inflation[k]) && judgement.inflation[k] > 1.0) --judgement.doubted;
    judgement.inflation[k] = 1.0;
  }
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
    if (group.members.size() < 2) continue;
    if (could_be_ground(observed, t, group)) {
      for (const std::uint32_t k : group.members) {
        if (out.inflation[k] > 1.0) --out.doubted;
        out.inflation[k] = 1.0;
      }
      out.hills.push_back(std::move(group));
      continue;
    }
    if (farthest < kCertain) continue;
    for (const std::uint32_t k : group.members) {
      if (std::abs(t[k]) > kOutlier) --out.doubted;
      out.inflation[k] = kLeftOut;
      group.mean_residual_m += t[k] * observed.list[k].sigma_m / static_cast<double>(group.members.size());
    }
    out.groups.push_back(std::move(group));
  }
  // Readings whose noise has nothing in common with their neighbours' strain the ground one by one.
  for (std::uint32_t k = 0; k < t.size(); ++k)
    if (std::abs(t[k]) > kStrained && observed.list[k].noise < 0 && !std::isinf(out.inflation[k]))
      out.strained.push_back(k);
  out.rough.assign(observed.sources.size(), 0);
  return out;
}

/// Hills stay hills: the ground near them, and near strained readings, may bend more. True where there is a new one.
bool roughen(StateSystem& system, const Observations& observed, Judgement& next, const Judgement& before) {
  std::vector<char> known(observed.list.size(), 0);
  for (const OutlierGroup& g : before.hills)
    for (const std::uint32_t k : g.members) known[k] = 1;
  for (const std::uint32_t k : before.strained) known[k] = 1;
  std::vector<LocalXY> at;
  std::vector<OutlierGroup> hills = before.hills;
  for (OutlierGroup& g : next.hills) {
    if (std::any_of(g.members.begin(), g.members.end(), [&](std::uint32_t k) { return known[k] != 0; })) continue;
    for (const std::uint32_t k : g.members) at.push_back(observed.list[k].at);
    hills.push_back(std::move(g));
  }
  next.hills = std::move(hills);
  std::vector<std::uint32_t> strained = before.strained;
  for (const std::uint32_t k : next.strained) {
    if (known[k] != 0) continue;
    at.push_back(observed.list[k].at);
    strained.push_back(k);
  }
  next.strained = std::move(strained);
  if (at.empty()) return false;
  system.roughen(at);
  return true;
}

bool settled(const std::vector<double>& before, const std::vector<double>& after) {
  for (std::size_t k = 0; k < before.size(); ++k) {
    if (std::isinf(before[k]) != std::isinf(after[k])) return false;
    if (!std::isinf(before[k]) && std::abs(after[k] - before[k]) > kSettled * before[k]) return false;
  }
  return true;
}

}  // namespace

Judgement trust_all(const Observations& observed) {
  return {std::vector<double>(observed.list.size(), 1.0), {}, {}, {}, 0, std::vector<char>(observed.sources.size(), 0)};
}

Judgement solve_robustly(StateSystem& system, const Observations& observed, double wander, Judgement from) {
  for (int round = 0;; ++round) {
    system.solve(wander, from.inflation);
    if (round == kRounds) return from;
    Judgement next = judge(system, observed);
    trust_rough_sources(observed, round >= kRoundsToSay, from, next);
    const bool new_hills = roughen(system, observed, next, from);
    if (!new_hills && settled(from.inflation, next.inflation)) return from;
    from = std::move(next);
  }
}

}  // namespace solotaxi::terrain
