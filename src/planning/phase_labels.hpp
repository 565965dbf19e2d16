// Labels, their dominance and the order they are settled in: what both directions of the search share.
#pragma once

#include <cstdint>
#include <span>
#include <stdexcept>
#include <vector>

#include "planning/phase_bound.hpp"
#include "planning/phase_radix.hpp"
#include "solotaxi/planning/phase_graph.hpp"

namespace solotaxi::planning {

inline constexpr std::uint32_t kNone = 0xFFFFFFFF;

struct Label {
  double cost;           ///< c, kg
  double time;           ///< t, s, in the phase that is timed
  double rank;           ///< k; of two labels the one with no more c and no more k replaces the other
  double relief;         ///< h, s; START carried into a queue only, else 0
  std::uint32_t place;   ///< state and layer, see `place_of`
  std::uint32_t parent;  ///< label it was made from
  std::uint32_t step;    ///< step between them
  std::uint32_t below;   ///< label settled before it at the same place

  [[nodiscard]] std::uint32_t state() const { return place & kMostStates; }
  [[nodiscard]] std::uint32_t layer() const { return place >> 28U; }
};
constexpr std::uint32_t place_of(std::uint32_t layer, std::uint32_t state) { return layer << 28U | state; }

class PhaseLabels {
 public:
  static constexpr std::uint32_t kLayers = 9;

  /// What a run may assume: nothing that costs `ceiling` or more is wanted; the bound guides it (none: settled in order of
  /// cost); `relieved` layers hold labels with relief, worth `relief_rate` a second at most.
  struct Setting {
    const PhaseBound* bound = nullptr;
    std::span<const std::uint32_t> critical;  ///< arcs no way may use twice
    std::uint32_t relieved = 0;               ///< bit set of layers
    double relief_rate = 0.0;
    std::size_t most = 0;
  };

  void begin(const PhaseGraph& graph, const Setting& setting);
  /// Adds a label unless it is dominated, dear, or its way uses a critical arc again.
  void add(const Label& label) {
    const double key = label.cost + (setting_.bound ? setting_.bound->at(label.state()) : 0.0);
    if (!(key < ceiling_)) return;
    if (words_ == 0) {
      if (!represent(label)) return;
    } else if (uses_again(label)) {
      return;
    }
    if (labels_.size() >= setting_.most) throw_full();
    const auto id = static_cast<std::uint32_t>(labels_.size());
    labels_.push_back(label);
    if (words_ != 0) remember(label);
    queue_.push(key, id);
  }
  /// The next label to be settled, kNone at the end.
  std::uint32_t settle() {
    while (!queue_.empty()) {
      const auto entry = queue_.pop();
      if (!(entry.cost() < ceiling_)) break;
      if (take(entry.value)) return entry.value;
    }
    return kNone;
  }
  void lower_ceiling(double cost) { ceiling_ = std::min(ceiling_, cost); }

  [[nodiscard]] const Label& operator[](std::uint32_t id) const { return labels_[id]; }
  [[nodiscard]] std::size_t size() const { return labels_.size(); }

 private:
  struct Slot {
    double cost, rank, relief;  ///< of a label made here, to drop worse ones at once
    double settled_rank;        ///< of the last label settled
    std::uint32_t mark = 0;
    std::uint32_t last;
  };

  Slot& slot(const Label& label) { return slots_[std::size_t{label.layer()} * states_ + label.state()]; }
  Slot& fresh(const Label& label) {
    Slot& s = slot(label);
    if (s.mark != round_) s = {kBarred, kBarred, 0.0, kBarred, round_, kNone};
    return s;
  }
  bool represent(const Label& l) {
    Slot& s = fresh(l);
    if (s.cost <= l.cost && s.rank <= l.rank && s.relief >= l.relief) return false;
    if (s.cost >= l.cost && s.rank >= l.rank && s.relief <= l.relief) {
      s.cost = l.cost;
      s.rank = l.rank;
      s.relief = l.relief;
    }
    return true;
  }
  bool take(std::uint32_t id);
  [[nodiscard]] bool any_below(std::uint32_t id, std::uint32_t top) const;
  [[nodiscard]] bool uses_again(const Label& label) const;
  void remember(const Label& label);
  [[noreturn]] void throw_full() const;

  const PhaseGraph* graph_ = nullptr;
  Setting setting_;
  std::size_t states_ = 0;
  std::uint32_t round_ = 0;
  double ceiling_ = kBarred;
  std::vector<Slot> slots_;
  std::vector<Label> labels_;
  RadixQueue queue_;

  // Critical arcs: their numbers, and for each label the set of those its way has used.
  std::size_t words_ = 0;
  std::vector<std::uint32_t> number_;  ///< by arc, kNone for others; empty where there are none
  std::vector<std::uint64_t> used_;
};

}  // namespace solotaxi::planning
