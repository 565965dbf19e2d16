// One question under one set of conditions, made ready once and asked with several queues. Shared by the parts of
// make_plan; not public.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "planning/drive_plan.hpp"

namespace solotaxi::planning {

/// A plan as the search has it, to be driven again.
struct KeptWay {
  PlannedWay planned;
  std::size_t set = 0;  ///< of the solver's
};

/// The best plans by simulation, and the exact minima of the search.
struct Solution {
  std::optional<DrivenPlan> one, reference;
  KeptWay one_way, reference_way;  ///< of those
  std::optional<double> minimum_kg;  ///< of search cost, with ONE
  double reference_kg = 0.0;         ///< of search cost, without
  /// Where the simulation does not bear out what the search allows, so that every engine was asked for there.
  Findings findings;
};

/// Phases may change so often at least [m].
inline constexpr double kPart_m = 100.0;

/// Charges for what is to be used as little as possible are alike up to so much.
inline constexpr double kSameCharge_kg = 1e-3;

/// What keeps the running sets from driving a way in ONE.
struct Obstacles {
  std::vector<std::string> lines;
  bool unknown_grade = false;
};

class Solver {
 public:
  /// All must outlive the solver. `only`: the one way to plan on. Throws as make_plan.
  Solver(const network::Network& parted, const aircraft::Aircraft& aircraft, const motion::Conditions& conditions,
         const PlanRequest& request, const routing::Way* only = nullptr);

  /// Whether every engine finds a way; of an assigned way only `solve` can tell.
  [[nodiscard]] bool possible() const { return every_.has_value(); }
  /// Looks for ways that burn less driven than their search cost says: those that avoid one piece of a cheapest way each.
  /// The best of them are driven by every later `solve` too. A search for each fork of the cheapest ways.
  void look_around(double queue_s);
  /// The answer does not depend on the queues asked before.
  [[nodiscard]] Solution solve(double queue_s);
  /// The same way and phases under other conditions, the start or stop set anew. Nothing where it stalls. Of the plan only
  /// time, fuel and phases are told. Aircraft and conditions as the solver's in all that the shape of turns hangs on.
  [[nodiscard]] std::optional<DrivenPlan> drive_again(const KeptWay& kept, double queue_s,
                                                      const aircraft::Aircraft& aircraft,
                                                      const motion::Conditions& conditions);
  [[nodiscard]] const routing::Question& question() const { return question_; }
  [[nodiscard]] double probability(const DrivenPlan& plan, std::uint64_t seed) const;
  /// Other ways than those given, each overlapping them and each other by less than `overlap` of its length.
  [[nodiscard]] std::vector<DrivenPlan> others(const DrivenPlan& shown, std::size_t most, double overlap, double queue_s);
  /// Verdict of the hardest place at which a plan with ONE, made under whatever conditions, drives on few engines.
  [[nodiscard]] motion::Verdict verdict_alone(const DrivenPlan& plan) const;
  [[nodiscard]] Obstacles obstacles(const DrivenPlan& plan) const;

 private:
  struct Set {
    aircraft::RunningSet set;
    std::unique_ptr<motion::CostTable> one;
    std::unique_ptr<Barred> barred;
    std::unique_ptr<PhaseField> field;
    std::vector<routing::Way> around;  ///< ways to drive besides
  };
  void renew(Set& set) const;
  [[nodiscard]] std::string engines_text(aircraft::RunningSet set) const;
  [[nodiscard]] std::vector<PlannedWay> candidates(const Set& set, const PlannedWays& exact, double queue_s) const;
  [[nodiscard]] std::vector<routing::Way> deviations(const Set& set, const PlannedWays& exact, double queue_s) const;
  void look_around(Set& set, double queue_s) const;
  [[nodiscard]] PlannedWays cheapest(const Set& set, double queue_s) const;
  [[nodiscard]] Solution solve(Set& set, double queue_s);
  [[nodiscard]] std::optional<std::size_t> trouble(const DrivenPlan& plan) const;
  [[nodiscard]] bool keeps_times(const DrivenPlan& plan) const;
  [[nodiscard]] Finding barred_finding(const Set& set, network::ArcId arc) const;
  [[nodiscard]] const Set& set_of(const DrivenPlan& plan) const;

  const network::Network* net_;
  const aircraft::Aircraft* aircraft_;
  const PlanRequest* request_;
  const routing::Way* only_;
  motion::Conditions conditions_;
  routing::Question question_;
  std::unique_ptr<motion::CostTable> all_;
  std::optional<routing::Answer> every_;
  std::vector<Set> sets_;
};

}  // namespace solotaxi::planning
