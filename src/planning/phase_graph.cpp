#include "solotaxi/planning/phase_graph.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <stdexcept>
#include <string>
#include <utility>

namespace solotaxi::planning {
namespace {

/// first[key] … first[key + 1] of items sorted by key.
template <class T, class Key>
std::vector<std::uint32_t> count_up(const std::vector<T>& items, std::size_t keys, Key key) {
  std::vector<std::uint32_t> first(keys + 1, 0);
  for (const T& item : items) ++first[key(item) + 1];
  for (std::size_t k = 0; k < keys; ++k) first[k + 1] += first[k];
  return first;
}

float rounded_down(double value) {
  const auto near = static_cast<float>(std::min(value, static_cast<double>(std::numeric_limits<float>::max())));
  return static_cast<double>(near) > value ? std::nextafter(near, 0.0F) : near;
}

}  // namespace

PhaseGraph::PhaseGraph(std::vector<std::uint32_t> arc_of, std::vector<PhaseStep> steps)
    : arc_of_(std::move(arc_of)), steps_(std::move(steps)) {
  check();
  for (const std::uint32_t arc : arc_of_) arc_limit_ = std::max<std::size_t>(arc_limit_, arc + std::size_t{1});
  std::stable_sort(steps_.begin(), steps_.end(),
                   [](const auto& a, const auto& b) { return std::pair(a.from, a.to) < std::pair(b.from, b.to); });
  first_out_ = count_up(steps_, state_count(), [](const PhaseStep& s) { return s.from; });
  first_into_ = count_up(steps_, state_count(), [](const PhaseStep& s) { return s.to; });
  into_.resize(steps_.size());
  out_of_.reserve(steps_.size());
  std::vector<std::uint32_t> next(first_into_.begin(), first_into_.end() - 1);
  const auto one = index(Phase::one), start = index(Phase::start), all = index(Phase::all);
  for (std::uint32_t i = 0; i < steps_.size(); ++i) {
    const PhaseStep& s = steps_[i];
    into_[next[s.to]++] = {s.cost_kg[one], s.cost_kg[start], s.cost_kg[all],    s.time_s[start], s.time_s[all],
                           s.from,         i & 0x3FFFFFFFU,  s.may_begin_start, s.queue_here};
    out_of_.push_back({s.cost_kg[one], s.cost_kg[all], s.time_s[all], s.to, i});
  }
}

void PhaseGraph::check() const {
  const auto fail = [](std::size_t i, const char* what) {
    throw std::logic_error("phase graph: step " + std::to_string(i) + " " + what);
  };
  if (state_count() > kMostStates || steps_.size() >= (1U << 30U))
    throw std::logic_error("phase graph: too many steps or states");
  for (std::size_t i = 0; i < steps_.size(); ++i) {
    const PhaseStep& s = steps_[i];
    if (s.from >= state_count() || s.to >= state_count()) fail(i, "leads to or from a state the graph does not have");
    for (std::size_t p = 0; p < 3; ++p) {
      if (!(s.cost_kg[p] >= 0.0)) fail(i, "has a negative cost");
      if (s.cost_kg[p] > kMostCost && s.cost_kg[p] < kBarred) fail(i, "costs more than 1e9 kg");
      if (s.cost_kg[p] < kBarred && !(s.time_s[p] >= 0.0 && s.time_s[p] < kBarred)) fail(i, "has no time");
    }
  }
}

const PhaseGraph::PlainSteps& PhaseGraph::plain(Bound b) const {
  PlainSteps& plain = plain_[static_cast<std::size_t>(b)];
  std::call_once(plain.made_, [&] { make_plain(b, plain); });
  return plain;
}

void PhaseGraph::make_plain(Bound bound, PlainSteps& plain) const {
  static constexpr std::array<Phase, 3> kPhases{Phase::one, Phase::start, Phase::all};
  const auto used = [&](Phase p) {
    return p == Phase::all ||
           (p == Phase::one && (bound == Bound::departure_with_one || bound == Bound::arrival_with_one)) ||
           (p == Phase::start && (bound == Bound::departure_with_one || bound == Bound::departure_reference));
  };
  const bool along = bound == Bound::departure_with_one || bound == Bound::departure_reference;
  struct Edge {
    std::uint32_t at;
    PlainStep step;
  };
  std::vector<Edge> edges;
  edges.reserve(steps_.size());
  for (const PhaseStep& s : steps_) {
    double least = kBarred;
    for (const Phase p : kPhases)
      if (used(p)) least = std::min(least, s.cost_kg[index(p)]);
    if (least < kBarred) edges.push_back({along ? s.from : s.to, {along ? s.to : s.from, rounded_down(least)}});
  }
  plain.first_ = count_up(edges, state_count(), [](const Edge& e) { return e.at; });
  plain.steps_.resize(edges.size());
  std::vector<std::uint32_t> next(plain.first_.begin(), plain.first_.end() - 1);
  for (const Edge& e : edges) plain.steps_[next[e.at]++] = e.step;
  std::vector<float> costs;
  costs.reserve(edges.size());
  for (const Edge& e : edges)
    if (e.step.cost_kg > 0.0F) costs.push_back(e.step.cost_kg);
  if (costs.empty()) return;
  const auto middle = costs.begin() + static_cast<std::ptrdiff_t>(costs.size() / 2);
  std::nth_element(costs.begin(), middle, costs.end());
  // Numbers of buckets stay whole numbers that a double holds exactly, whatever a way costs.
  constexpr double kMostBuckets = 1e12;
  const double dearest = std::accumulate(costs.begin(), costs.end(), kMostCost);
  plain.buckets_per_kg_ = std::min(4.0 / static_cast<double>(*middle), kMostBuckets / dearest);
}

}  // namespace solotaxi::planning
