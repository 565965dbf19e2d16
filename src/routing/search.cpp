#include "solotaxi/routing/search.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <stdexcept>

namespace solotaxi::routing {
namespace {

constexpr PathWeight kFar = std::numeric_limits<PathWeight>::max();
constexpr std::uint32_t kOpen = 1, kGoal = 2;
/// With more goals than this the bound is taken to the box around them.
constexpr std::size_t kManyGoals = 8;

void check(const SearchGraph& graph, std::span<const Terminal> terminals) {
  for (const Terminal& t : terminals)
    if (index(t.arc) >= graph.arc_count() || t.weight < 0)
      throw std::logic_error("search: a seed or goal is no arc of the graph or its weight is negative");
}

}  // namespace

ArcSearch::ArcSearch(const SearchGraph& graph)
    : graph_(&graph),
      state_(graph.arc_count(), State{kFar, kNone, 0}),
      left_(graph.arc_count(), 0),
      bits_(graph.bucket_bits()) {
  pool_.reserve(2 * graph.arc_count());
}

void ArcSearch::begin() {
  if (++round_ == (1U << 30U)) {  // numbers are used up: old states must not look new
    for (State& s : state_) s.mark = 0;
    round_ = 1;
  }
  pool_.clear();
  later_.clear();
  used_.fill(0);
  later_least_ = kFar;
  best_ = kFar;
  goal_ = kNone;
  scanned_ = 0;
}

void ArcSearch::set_goals(std::span<const Terminal> goals) {
  goals_.clear();
  targets_.clear();
  goal_least_ = kFar;
  for (const Terminal& g : goals) {
    goals_.emplace_back(index(g.arc), g.weight);
    goal_least_ = std::min(goal_least_, g.weight);
  }
  std::sort(goals_.begin(), goals_.end());
  goals_.erase(std::unique(goals_.begin(), goals_.end(), [](auto a, auto b) { return a.first == b.first; }), goals_.end());
  low_ = high_ = graph_->head(goals_.front().first);
  for (auto& [arc, weight] : goals_) {
    weight -= goal_least_;
    const LocalXY at = graph_->head(arc);
    targets_.push_back({at, weight});
    low_ = {std::min(low_.x_m, at.x_m), std::min(low_.y_m, at.y_m)};
    high_ = {std::max(high_.x_m, at.x_m), std::max(high_.y_m, at.y_m)};
  }
  for (const auto& [arc, weight] : goals_) {
    state_[arc] = {kFar, kNone, round_ << 2U | kGoal};
    left_[arc] = bound_from(arc);
  }
}

std::uint32_t ArcSearch::bound_from(std::uint32_t arc) const {
  constexpr double kMost = std::numeric_limits<std::uint32_t>::max();
  const auto [rate, slack] = graph_->bound();
  const LocalXY at = graph_->head(arc);
  double least = kMost;
  if (targets_.size() > kManyGoals) {
    const double dx = std::max({low_.x_m - at.x_m, 0.0, at.x_m - high_.x_m});
    const double dy = std::max({low_.y_m - at.y_m, 0.0, at.y_m - high_.y_m});
    least = std::min(least, std::max(0.0, rate * std::sqrt(dx * dx + dy * dy) - slack));
  } else {
    for (const Target& t : targets_) {
      const double dx = t.at.x_m - at.x_m, dy = t.at.y_m - at.y_m;
      least = std::min(least, std::max(0.0, rate * std::sqrt(dx * dx + dy * dy) - slack) + static_cast<double>(t.weight));
    }
  }
  return static_cast<std::uint32_t>(least);
}

void ArcSearch::push(std::uint32_t arc, PathWeight key) {
  // A key behind the current bucket (the bound is not consistent where slack is taken) is scanned with it.
  const PathWeight bucket = std::max(key >> bits_, current_);
  if (bucket - current_ >= PathWeight{kBuckets}) {
    later_.push_back({key, arc});
    later_least_ = std::min(later_least_, bucket);
    return;
  }
  const auto slot = static_cast<std::uint32_t>(bucket) & (kBuckets - 1);
  const auto entry = static_cast<std::uint32_t>(pool_.size());
  pool_.push_back({arc, kNone});
  const std::uint64_t bit = std::uint64_t{1} << (slot & 63U);
  if (used_[slot / 64] & bit) {
    pool_[rear_[slot]].next = entry;
  } else {
    used_[slot / 64] |= bit;
    front_[slot] = entry;
  }
  rear_[slot] = entry;
}

bool ArcSearch::next_bucket() {
  const auto slot = static_cast<std::uint32_t>(current_) & (kBuckets - 1);
  const std::uint32_t start = slot / 64;
  constexpr std::uint32_t kWords = kBuckets / 64;
  PathWeight found = kFar;
  for (std::uint32_t i = 0; i <= kWords; ++i) {  // the first word twice: its upper part, at last its lower part
    const std::uint32_t word = (start + i) % kWords;
    std::uint64_t bits = used_[word];
    if (i == 0) bits &= ~std::uint64_t{0} << (slot & 63U);
    if (bits == 0) continue;
    const auto at = word * 64 + static_cast<std::uint32_t>(std::countr_zero(bits));
    found = current_ + ((at - slot) & (kBuckets - 1));
    break;
  }
  if (found == kFar && later_.empty()) return false;
  current_ = std::min(found, later_least_);
  if (later_least_ <= current_) bring_in_later();
  return true;
}

void ArcSearch::bring_in_later() {
  std::vector<Later> waiting;
  waiting.swap(later_);
  later_least_ = kFar;
  for (const Later& l : waiting) push(l.arc, l.key);
}

void ArcSearch::take_goal(std::uint32_t arc, PathWeight label) {
  const auto at =
      std::lower_bound(goals_.begin(), goals_.end(), arc, [](const auto& g, std::uint32_t a) { return g.first < a; });
  const PathWeight total = label + at->second;
  if (total < best_ || (total == best_ && arc < goal_)) {
    best_ = total;
    goal_ = arc;
  }
}

template <bool kGoalDirected>
inline void ArcSearch::improve(std::uint32_t arc, PathWeight label, std::uint32_t parent) {
  State& s = state_[arc];
  if (s.mark >> 2U == round_) {
    if (label >= s.label) {
      // Of equal ways the lower arc id before; a step of no weight keeps what it has, or parents could go round in a ring.
      if (label == s.label && parent < s.parent && s.parent != kNone && state_[parent].label < label) s.parent = parent;
      return;
    }
  } else {
    s.mark = round_ << 2U;
    s.label = kFar;
    if constexpr (kGoalDirected) left_[arc] = bound_from(arc);
  }
  PathWeight key = label;
  if constexpr (kGoalDirected) {
    key += left_[arc];
    if (key > best_) return;
  }
  s.label = label;
  s.parent = parent;
  s.mark |= kOpen;
  if constexpr (kGoalDirected)
    if (s.mark & kGoal) take_goal(arc, label);
  push(arc, key);
}

template <bool kGoalDirected>
void ArcSearch::run(std::span<const Terminal> seeds) {
  if (seeds.empty()) return;
  current_ = kFar;
  for (const Terminal& s : seeds) current_ = std::min(current_, s.weight);
  current_ >>= bits_;
  for (const Terminal& s : seeds) improve<kGoalDirected>(index(s.arc), s.weight, kNone);
  while (next_bucket()) {
    if constexpr (kGoalDirected)
      if (best_ >> bits_ < current_) return;
    const auto slot = static_cast<std::uint32_t>(current_) & (kBuckets - 1);
    for (std::uint32_t e = front_[slot]; e != kNone; e = pool_[e].next) {
      const std::uint32_t arc = pool_[e].arc;
      State& s = state_[arc];
      if (!(s.mark & kOpen)) continue;
      s.mark &= ~kOpen;
      ++scanned_;
      const PathWeight label = s.label;
      if constexpr (kGoalDirected)
        if (label + left_[arc] > best_) continue;
      for (const SearchGraph::Step& step : graph_->steps(arc)) improve<kGoalDirected>(step.to, label + step.weight, arc);
    }
    used_[slot / 64] &= ~(std::uint64_t{1} << (slot & 63U));
  }
}

std::optional<PathWeight> ArcSearch::find(std::span<const Terminal> seeds, std::span<const Terminal> goals) {
  check(*graph_, seeds);
  check(*graph_, goals);
  begin();
  all_ = false;
  if (goals.empty()) return std::nullopt;
  set_goals(goals);
  run<true>(seeds);
  if (goal_ == kNone) return std::nullopt;
  return best_ + goal_least_;
}

void ArcSearch::find_all(std::span<const Terminal> seeds) {
  check(*graph_, seeds);
  begin();
  all_ = true;
  run<false>(seeds);
}

bool ArcSearch::reached(std::uint32_t arc) const {
  if (!all_) throw std::logic_error("search: weights and ways to any arc are known after find_all only");
  return state_[arc].mark >> 2U == round_;
}

std::optional<PathWeight> ArcSearch::weight(network::ArcId arc) const {
  if (!reached(index(arc))) return std::nullopt;
  return state_[index(arc)].label;
}

std::vector<network::ArcId> ArcSearch::path_to(network::ArcId arc) const {
  if (!reached(index(arc))) return {};
  return trace(index(arc));
}

network::ArcId ArcSearch::goal() const {
  if (goal_ == kNone) throw std::logic_error("search: no goal was reached");
  return network::ArcId{goal_};
}

std::vector<network::ArcId> ArcSearch::path() const {
  if (goal_ == kNone) return {};
  return trace(goal_);
}

std::vector<network::ArcId> ArcSearch::trace(std::uint32_t arc) const {
  std::vector<network::ArcId> way;
  for (std::uint32_t a = arc; a != kNone; a = state_[a].parent) way.push_back(network::ArcId{a});
  std::reverse(way.begin(), way.end());
  return way;
}

}  // namespace solotaxi::routing
