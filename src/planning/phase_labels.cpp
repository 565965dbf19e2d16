#include "planning/phase_labels.hpp"

#include <algorithm>
#include <string>

namespace solotaxi::planning {

void PhaseLabels::begin(const PhaseGraph& graph, const Setting& setting) {
  graph_ = &graph;
  setting_ = setting;
  ceiling_ = kBarred;
  states_ = graph.state_count();
  if (++round_ == 0 || slots_.size() != kLayers * states_) {
    slots_.assign(kLayers * states_, Slot{kBarred, kBarred, 0.0, kBarred, 0, kNone});
    round_ = 1;
  }
  labels_.clear();
  queue_.clear();
  words_ = (setting.critical.size() + 63) / 64;
  used_.clear();
  if (words_ == 0) return;
  number_.assign(graph.arc_limit(), kNone);
  for (std::uint32_t i = 0; i < setting.critical.size(); ++i) number_[setting.critical[i]] = i;
}

bool PhaseLabels::take(std::uint32_t id) {
  Label& label = labels_[id];
  Slot& s = fresh(label);
  if (words_ == 0 && !(setting_.relieved >> label.layer() & 1U)) {
    if (s.settled_rank <= label.rank) return false;
    s.settled_rank = label.rank;
  } else if (any_below(id, s.last)) {
    return false;
  }
  label.below = s.last;
  s.last = id;
  return true;
}

bool PhaseLabels::any_below(std::uint32_t id, std::uint32_t top) const {
  const Label& label = labels_[id];
  for (std::uint32_t i = top; i != kNone; i = labels_[i].below) {
    const Label& other = labels_[i];
    const double dearer = setting_.relief_rate * std::max(0.0, label.relief - other.relief);
    if (other.cost + dearer > label.cost || other.rank + dearer > label.rank) continue;
    bool no_more = true;
    for (std::size_t w = 0; w < words_ && no_more; ++w) no_more = (used_[i * words_ + w] & ~used_[id * words_ + w]) == 0;
    if (no_more) return true;
  }
  return false;
}

bool PhaseLabels::uses_again(const Label& label) const {
  const std::uint32_t number = number_[graph_->arc_of(label.state())];
  // A label beside its parent at the same state drives no arc anew.
  if (number == kNone || label.parent == kNone) return false;
  return used_[label.parent * words_ + number / 64] >> (number % 64) & 1U;
}

void PhaseLabels::remember(const Label& label) {
  const std::size_t at = used_.size();
  used_.resize(at + words_, 0);
  if (label.parent != kNone)
    std::copy_n(used_.begin() + static_cast<std::ptrdiff_t>(label.parent * words_), words_,
                used_.begin() + static_cast<std::ptrdiff_t>(at));
  if (const std::uint32_t number = number_[graph_->arc_of(label.state())]; number != kNone)
    used_[at + number / 64] |= std::uint64_t{1} << (number % 64);
}

void PhaseLabels::throw_full() const {
  throw std::runtime_error("phase search: the exact answer needs more labels than the limit of " +
                           std::to_string(setting_.most));
}

}  // namespace solotaxi::planning
