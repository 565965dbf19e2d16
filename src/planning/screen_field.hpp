// The searches of a screen: which stands share one, and their plans. Shared by the parts of screen; not public.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "planning/rules_on_field.hpp"
#include "solotaxi/planning/screen.hpp"

namespace solotaxi::planning {

/// The best plans of one stand over the running sets.
struct ScreenAnswer {
  std::optional<PlannedWay> reference, one;
  std::size_t one_set = 0;  ///< of `one`
};

class ScreenField {
 public:
  /// All must outlive it. Throws as screen.
  ScreenField(const network::Network& network, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions,
              const ScreenRequest& request);
  ScreenField(const ScreenField&) = delete;
  ScreenField& operator=(const ScreenField&) = delete;

  /// Stands asked in one search, of one runway end and direction.
  struct Group {
    ScreenMove end;  ///< its stand is not meant
    routing::Question question;
    routing::Attempt every;
    FieldStands stands;
  };
  /// Stands without a way are in none.
  [[nodiscard]] const std::vector<Group>& groups() const { return groups_; }
  /// By stand of the group. `fields`, where it is given, holds the field of each running set afterwards.
  [[nodiscard]] std::vector<ScreenAnswer> solve(const Group& group, const Barred& barred,
                                                std::vector<std::unique_ptr<PhaseField>>* fields = nullptr) const;
  /// By running set.
  [[nodiscard]] std::vector<std::unique_ptr<PhaseField>> fields(const Group& group, const Barred& barred) const;
  [[nodiscard]] const Barred& rules() const { return rules_; }
  [[nodiscard]] const std::vector<aircraft::RunningSet>& sets() const { return sets_; }
  [[nodiscard]] const motion::CostTable& one(std::size_t set) const { return *one_[set]; }
  [[nodiscard]] const motion::CostTable& all() const { return *all_; }
  [[nodiscard]] const network::Network& parted() const { return parted_.network; }
  /// By segment of the parted network: the one screened it is part of.
  [[nodiscard]] network::SegmentId original(network::ArcId a) const { return parted_.original[index(segment_of(a))]; }

 private:
  void add_groups(const ScreenMove& end);
  void add_groups(const ScreenMove& end, routing::Question question, const std::vector<int>& stands);
  [[nodiscard]] std::vector<std::uint8_t> reach(const routing::Question& q, const routing::Attempt& attempt) const;

  const network::Network* network_;
  const aircraft::Aircraft* aircraft_;
  motion::Conditions conditions_;
  PlanRequest plan_;
  routing::PartedNetwork parted_;
  routing::Question base_;
  std::unique_ptr<motion::CostTable> all_;
  std::vector<aircraft::RunningSet> sets_;
  std::vector<std::unique_ptr<motion::CostTable>> one_;
  Barred rules_;
  std::vector<std::vector<routing::Beginning>> pushed_;  ///< by stand
  std::vector<int> shared_, alone_;                      ///< stands that may share a search, and those that may not
  std::vector<Group> groups_;
};

/// Bends of what is changed made no tighter than asked.
void widen_bends(routing::Question& question, const std::vector<Change>& changes);

}  // namespace solotaxi::planning
